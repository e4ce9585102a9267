"""Bodies of the scalings slice."""

from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    WithJsonSchema,
)

from service.science import units
from service.science.errors import ScienceError
from service.science.units import Quantity
from service.web.fields import (
    Amount,
    Code,
    Figure,
    In,
    Mass,
    Out,
    Written,
    amount,
    read_quantity,
    refusal,
)
from service.workshop.materials.bodies import NamedFigure
from service.workshop.products.bodies import PackName
from service.workshop.recipes.bodies import Loss, NotApplicableOut, Undecided

_SEND = 'Send "1.2 kg", "5 l", {"pack", "jars"} or {"material", "amount"}.'
_MOST = 1_000_000_000  # mg or µl
Density: Any = amount("density", low="0.6", high="2")


def _overage(value: Quantity) -> Quantity:
    if not 0 <= units.canonical(value) <= 50:
        raise refusal("out-of-range", f"{value} cannot be right: 0 to 50 % is taken.")
    return value


Overage: Any = Annotated[
    amount("fraction", unit="%", low=None, high=None), AfterValidator(_overage)
]


class JarsIn(In):
    """So many jars of a pack."""

    pack: PackName
    jars: Annotated[int, Field(ge=1, le=100000)]
    product: Code | None = Field(default=None, description="Where absent, the one in this pack.")


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
    if not 0 < units.canonical(found) <= _MOST:
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


def _kind(value: Any) -> str | None:
    if isinstance(value, JarsIn) or (isinstance(value, dict) and {"pack", "jars"} & set(value)):
        return "JarsIn"
    if isinstance(value, IngredientIn) or (isinstance(value, dict) and "material" in value):
        return "IngredientIn"
    if isinstance(value, str | Quantity) or (isinstance(value, dict) and "unit" in value):
        return "MadeIn"
    return None


# The tags end like the names of bodies, which pointers leave out.
Asked: Any = Annotated[
    Annotated[Made, Tag("MadeIn")]
    | Annotated[JarsIn, Tag("JarsIn")]
    | Annotated[IngredientIn, Tag("IngredientIn")],
    Discriminator(
        _kind, custom_error_type="asked_unknown", custom_error_message=f"What is asked? {_SEND}"
    ),
]


class ScalingIn(In):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    for_: Asked = Field(alias="for", description="What should come out.")
    version: Annotated[int, Field(ge=1, le=100000)] | None = Field(
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


class Makes(Out):
    mass: Figure
    volume: Figure | None = Field(description="Null where no density is known.")


class Take(Out):
    lot: str
    take: Amount


class TargetOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    line: int
    material: str
    target: Figure
    exact: str = Field(description="In g, before it was rounded to what the balance reads.")
    from_: list[Take] = Field(alias="from", description="Earliest expiry first, then the oldest.")
    short: Amount | None = Field(description="What no open lot holds.")
    stage: str


class Compared(Out):
    exact: str
    rounded: str


class Rounding(Out):
    to: str
    total: Figure = Field(description="All lines as rounded, less all lines as they were exactly.")
    oil_to_resin: Compared | None


class CostFigure(NamedFigure):
    at_least: bool = Field(description="Whether something has no price, which the note names.")


class Shopping(Out):
    material: str
    amount: Amount | int
    made_by: str | None = Field(description="The recipe, where it is made and not bought.")


class CautionOut(Out):
    line: int | None
    text: str
    rule: str
    note: str | None


class ScalingOut(Out):
    scaling: str
    recipe: str
    version: int
    draft: bool = Field(description="Of a draft: to look at, never to make a batch from.")
    asked: dict[str, Any]
    assumed: dict[str, Any]
    makes: Makes
    lines: list[TargetOut]
    rounding: Rounding
    figures: list[CostFigure | NamedFigure]
    undecided: list[Undecided]
    not_applicable: list[NotApplicableOut]
    shopping: list[Shopping]
    cautions: list[CautionOut]
    kettle: str | None
    balance: str | None
    loss_cook: str
    loss_strain: str
    notes: dict[str, dict[str, Any]]


class ScalingMade(ScalingOut, Written):
    pass
