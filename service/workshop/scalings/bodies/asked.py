"""What is asked of a scaling."""

from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    WithJsonSchema,
    model_validator,
)

from service.science import units
from service.science.errors import ScienceError
from service.science.units import Quantity
from service.web.fields import Code, In, Line, Mass, Volume, amount, read_quantity, refusal
from service.workshop.products.bodies import PackName
from service.workshop.recipes.bodies import MOST_LINES, Loss
from service.workshop.recipes.rules import Stage

_SEND = (
    'Send "1.2 kg", "5 l", {"pack", "jars"}, {"jars", "each"}, {"material", "amount"}, '
    '{"kettle"} or "stock".'
)
ALL_OF_IT = "stock"
MOST_MADE = 1_000_000_000  # mg or µl
Density: Any = amount("density", low="0.6", high="2")
AcidValue: Any = amount("acid-value", unit="mg KOH/g", low="0", high="200")
VersionNumber = Annotated[int, Field(ge=1, le=100000)]
LineNumber = Annotated[str, Field(pattern=r"^[1-9][0-9]{0,2}$")]


def _share(low: int, high: int, what: str) -> Any:
    def check(value: Quantity) -> Quantity:
        if not low <= units.canonical(value) <= high:
            wrong = f"{value} cannot be right for {what}: {low} to {high} % is taken."
            raise refusal("out-of-range", wrong)
        return value

    return Annotated[amount("fraction", unit="%", low=None, high=None), AfterValidator(check)]


Overage: Any = _share(0, 50, "an overage")
Ullage: Any = _share(0, 50, "an ullage")


class JarsIn(In):
    """So many jars of a pack."""

    pack: PackName
    jars: Annotated[int, Field(ge=1, le=100000)]
    product: Code | None = Field(default=None, description="Where absent, the one in this pack.")

    @model_validator(mode="before")
    @classmethod
    def _as_the_pack_says(cls, value: Any) -> Any:
        """What a jar of a pack holds is known."""
        if isinstance(value, dict) and "ullage" in value:
            wrong = "An ullage belongs to jars given by `each`."
            hint = "Leave it out, or send `each` in place of `pack`."
            raise refusal("no-ullage", wrong, hint, below=("ullage",))
        return value


class FilledIn(In):
    """So many jars of a size that is no pack yet."""

    jars: Annotated[int, Field(ge=1, le=100000)]
    each: Volume = Field(description="What one jar holds to the brim.")
    ullage: Ullage | None = Field(
        default=None, description="Of the brimful jar, left empty; where absent, none."
    )


class KettleIn(In):
    """As much as a kettle takes with the room that it needs."""

    kettle: Code


class IngredientIn(In):
    """As much as this amount of one line's material makes."""

    material: Code
    amount: Mass


def _made(value: Any) -> Quantity:
    """A mass or a volume; raises a payload error that tells of masses where it is neither."""
    if isinstance(value, Quantity):
        return value
    text = value if isinstance(value, str) else f"1 {value.get('unit')}"
    try:
        units.parse(text, "volume")
        dimension = "volume"
    except ScienceError:
        dimension = "mass"
    found = read_quantity(value, dimension, None)
    if not 0 < units.canonical(found) <= MOST_MADE:
        most = "1000 kg" if dimension == "mass" else "1000 l"
        wrong = f"{found} cannot be made: more than 0 and at most {most} is taken."
        raise refusal("out-of-range", wrong)
    return found


_MADE_SCHEMA = {
    "oneOf": [
        {"type": "string", "maxLength": 64, "examples": ["1.2 kg", "5 l"]},
        {
            "type": "object",
            "properties": {
                "value": {"anyOf": [{"type": "string"}, {"type": "number"}]},
                "unit": {"type": "string"},
            },
            "required": ["value", "unit"],
            "additionalProperties": False,
        },
    ],
    "description": "A mass or a volume of what comes out",
}
Made: Any = Annotated[Quantity, BeforeValidator(_made), WithJsonSchema(_MADE_SCHEMA)]


_KINDS: tuple[tuple[str, type[In], set[str]], ...] = (
    ("FilledIn", FilledIn, {"each"}),
    ("JarsIn", JarsIn, {"pack"}),
    ("FilledIn", FilledIn, {"ullage"}),
    ("JarsIn", JarsIn, {"jars"}),
    ("IngredientIn", IngredientIn, {"material"}),
    ("KettleIn", KettleIn, {"kettle"}),
)


def _kind(value: Any) -> str | None:
    if value == ALL_OF_IT:
        return "StockIn"
    for kind, model, told in _KINDS:
        if isinstance(value, model) or (isinstance(value, dict) and told & set(value)):
            return kind
    if isinstance(value, str | Quantity) or (isinstance(value, dict) and "unit" in value):
        return "MadeIn"
    return None


# The tags end like the names of bodies, which pointers leave out.
Asked: Any = Annotated[
    Annotated[Made, Tag("MadeIn")]
    | Annotated[JarsIn, Tag("JarsIn")]
    | Annotated[FilledIn, Tag("FilledIn")]
    | Annotated[IngredientIn, Tag("IngredientIn")]
    | Annotated[KettleIn, Tag("KettleIn")]
    | Annotated[Literal["stock"], Tag("StockIn")],
    Discriminator(
        _kind, custom_error_type="asked_unknown", custom_error_message=f"What is asked? {_SEND}"
    ),
]


class ChosenIn(In):
    """What a line is fed from: a lot on the shelf, or a version that makes it."""

    lot: Code | None = None
    version: VersionNumber | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "ChosenIn":
        if (self.lot is None) == (self.version is None):
            raise refusal("one-of-two", "A choice is a lot or a version.", "Send one of them.")
        return self


class MeasuredIn(In):
    """What was measured in the pot at the end of a stage; later derived lines follow from it."""

    stage: Stage
    acid_value: AcidValue | None = None
    mass: Mass | None = None

    @model_validator(mode="after")
    def _something(self) -> "MeasuredIn":
        if self.acid_value is None and self.mass is None:
            raise refusal("nothing-measured", "Send the acid value, the mass, or both.")
        return self


class BenchIn(In):
    """The first weights as they fell, of a scaling that was worked out before."""

    scaling: Code = Field(examples=["SC-26-031"])
    weighed: Annotated[dict[LineNumber, Mass], Field(min_length=1, max_length=MOST_LINES)]
    lots: Annotated[dict[Code, Line], Field(max_length=MOST_LINES)] = Field(
        default={}, description="By material: which lot it fell from, though it be used up by now."
    )


def _told(value: Any) -> Any:
    """A value as a body says it: an amount as text, of an object only what was sent."""
    if isinstance(value, Quantity):
        return str(value)
    if isinstance(value, In):
        sent = {name: getattr(value, name) for name in type(value).model_fields}
        return {name: _told(each) for name, each in sent.items() if each is not None}
    if isinstance(value, dict):
        return {name: _told(each) for name, each in value.items()}
    return [_told(each) for each in value] if isinstance(value, list) else value


class ScalingIn(In):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    for_: Asked | None = Field(default=None, alias="for", description="What should come out.")
    bench: BenchIn | None = Field(
        default=None, description="In place of `for`: all other lines follow what was weighed."
    )
    version: VersionNumber | None = Field(
        default=None, description="Where absent, the newest approved; a draft only by its number."
    )
    density: Density | None = Field(default=None, description="Of what comes out.")
    balance: Code | None = Field(default=None, description="Where absent, the only one there is.")
    kettle: Code | None = Field(default=None, description="Where absent, the only one there is.")
    loss_cook: Loss | None = Field(default=None, description="Where absent, the recipe's.")
    loss_strain: Loss | None = Field(default=None, description="Where absent, the recipe's.")
    overage: Overage | None = Field(
        default=None, description="More than was asked; where absent, 2 % for jars."
    )
    choose: Annotated[dict[Code, ChosenIn], Field(max_length=MOST_LINES)] = Field(
        default={}, description="By material: which lot feeds it, or which version makes it."
    )
    measured: list[MeasuredIn] = Field(default=[], max_length=20)
    override_reason: Line | None = Field(
        default=None, description="Why a lot is chosen that is not open; needs the scope release."
    )

    def told(self) -> dict[str, Any]:
        """What was sent beside what is asked, as a body says it."""
        asked = {"for_", "bench", "overage"}
        sent = {name: getattr(self, name) for name in self.model_fields_set - asked}
        return {
            name: _told(sent[name]) for name in sorted(sent) if sent[name] not in (None, {}, [])
        }

    @model_validator(mode="after")
    def _asked_once(self) -> "ScalingIn":
        if self.for_ is None and self.bench is None:
            raise refusal("missing", "What is asked is missing.", _SEND, below=("for",))
        if self.for_ is not None and self.bench is not None:
            raise refusal("one-of-two", "Ask by `for` or by `bench`.", "Send one of them.")
        stages = [each.stage for each in self.measured]
        if len(stages) != len(set(stages)):
            raise refusal("stage-twice", "A stage is measured once.", "Send each stage once.")
        return self
