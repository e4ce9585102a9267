"""Bodies of the recipes slice."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator

from service.science import ratios, units
from service.science.errors import ScienceError
from service.science.units import Quantity
from service.web.fields import (
    Amount,
    Code,
    In,
    Line,
    Out,
    Remark,
    Short,
    Temperature,
    Utc,
    Written,
    amount,
    number,
    refusal,
)
from service.workshop.materials.bodies import NamedFigure
from service.workshop.recipes.rules import Do, Stage

MOST_LINES = 60
FINEST = 9  # decimals that a row keeps


def _kept(value: Decimal) -> Decimal:
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -FINEST:
        raise refusal("too-fine", f"At most {FINEST} digits after the point are kept.")
    return value


Parts: Any = Annotated[number("0.000000001", "1000000000"), AfterValidator(_kept)]
Percent: Any = Annotated[number("0.000000001", "100"), AfterValidator(_kept)]
Duration: Any = amount("time", unit="min", low="0", high="31536000")


def _loss(value: Quantity) -> Quantity:
    if not -20 <= units.canonical(value) <= 60:
        hint = "Sun-thickened oil gains up to 20 %, a long cook loses up to 60 %."
        raise refusal("out-of-range", f"{value} cannot be right for a loss.", hint)
    return value


Loss: Any = Annotated[
    amount("fraction", unit="%", low=None, high=None),
    AfterValidator(_loss),
    Field(description="Of what is charged; a gain is negative."),
]


class LineIn(In):
    """One material, by parts or by percent of the whole."""

    material: Code
    parts: Parts | None = Field(default=None, description="By mass, beside the other parts.")
    percent: Percent | None = Field(default=None, description="Of the whole, by mass.")
    stage: Stage | None = Field(default=None, description="Where absent: cook.")

    @model_validator(mode="after")
    def _one_of_two(self) -> "LineIn":
        if (self.parts is None) == (self.percent is None):
            raise refusal("one-of-two", "A line has either parts or percent.", "Send one of them.")
        return self

    @property
    def basis(self) -> Literal["parts", "percent"]:
        return "percent" if self.parts is None else "parts"

    @property
    def amount(self) -> Decimal:
        given: Decimal | None = self.percent if self.parts is None else self.parts
        assert given is not None  # one of the two, as checked when it was read
        return given


class StepIn(In):
    """One thing to do besides weighing; exactly one of heat, hold, cool, strain and note."""

    heat: Temperature | None = Field(default=None, description="Up to this temperature.")
    hold: Duration | None = Field(default=None, description="Keep it there for so long.")
    cool: Temperature | None = Field(default=None, description="Down to this temperature.")
    strain: Line | None = Field(default=None, description="Through what.")
    note: Line | None = None
    until: Line | None = Field(default=None, description="The sign to wait for.")
    stage: Stage | None = Field(default=None, description="Where absent: cook; strain: strain.")

    @model_validator(mode="after")
    def _one_thing(self) -> "StepIn":
        if len([name for name in _DOINGS if getattr(self, name) is not None]) != 1:
            raise refusal("one-of-five", f"A step does one thing: {', '.join(_DOINGS)}.")
        if self.until is not None and self.do in {"strain", "note"}:
            raise refusal("until-without-cook", "Only heat, hold and cool wait for a sign.")
        return self

    @property
    def do(self) -> Do:
        return next(name for name in _DOINGS if getattr(self, name) is not None)


_DOINGS: tuple[Do, ...] = ("heat", "hold", "cool", "strain", "note")


def _check_shares(lines: list[LineIn]) -> list[LineIn]:
    try:
        ratios.shares([(line.basis, line.amount) for line in lines])
    except ScienceError as error:
        detail = error.message[:1].upper() + error.message[1:] + "."
        raise refusal(error.code, detail, error.hint[:1].upper() + error.hint[1:] + ".") from None
    return lines


Lines = Annotated[
    list[LineIn], AfterValidator(_check_shares), Field(min_length=1, max_length=MOST_LINES)
]


class VersionIn(In):
    lines: Lines
    steps: list[StepIn] = Field(default=[], max_length=MOST_LINES)
    loss_cook: Loss | None = None
    loss_strain: Loss | None = None
    remark: Remark | None = None
    by: Code | None = None


class RecipeIn(VersionIn):
    code: Code
    makes: Code | None = Field(default=None, description="A material; where absent, the code.")
    name: Short | None = Field(default=None, description="Where absent, the material's.")


class RecipePatch(In):
    name: Short = ""
    archived: bool = False


class ApprovalIn(In):
    version: Annotated[int, Field(ge=1, le=100000)] | None = Field(
        default=None, description="Where absent, the newest draft."
    )
    by: Code | None = None


class RecipeOut(Out):
    code: str
    name: str
    makes: str
    approved: int | None = Field(description="The version that is used where none is named.")
    newest: int
    created_at: Utc
    archived_at: Utc | None


class VersionBrief(Out):
    recipe: str
    version: int
    state: str
    remark: str | None
    created_by: str | None
    created_at: Utc
    approved_by: str | None
    approved_at: Utc | None


class LineOut(Out):
    line: int
    material: str
    name: str
    parts: str | None
    percent: str | None
    share: Amount = Field(description="Of the whole as it leaves the kettle, rounded.")
    stage: str
    made_by: list[str] = Field(description="The recipes that make this material.")


class StepOut(Out):
    line: int
    do: str
    to: Amount | None
    for_: Amount | None = Field(alias="for")
    until: str | None
    text: str | None
    stage: str


class Undecided(Out):
    """A figure that cannot be worked out yet, and what it still needs."""

    name: str
    label: str
    missing: list[str]


class NotApplicableOut(Out):
    """A figure that this recipe does not have, and why."""

    name: str
    label: str
    reason: str


class Frozen(Out):
    """Where the frozen form of a document is."""

    kind: str
    subject: str
    revision: int
    sha256: str


class VersionOut(VersionBrief):
    lines: list[LineOut]
    steps: list[StepOut]
    loss_cook: Amount | None
    loss_strain: Amount | None
    figures: list[NamedFigure]
    undecided: list[Undecided]
    not_applicable: list[NotApplicableOut]
    document: Frozen | None = Field(description="The frozen form, once it is approved.")
    notes: dict[str, dict[str, Any]]


class VersionMade(VersionOut, Written):
    pass


class RecipeMade(RecipeOut, Written):
    version: VersionOut
