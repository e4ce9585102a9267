"""Bodies of single entries: weighings, notes, yields, transitions, corrections."""

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, ConfigDict, Field, model_validator

from service.science.units import Quantity
from service.web.amounts import whole
from service.web.fields import (
    Amount,
    Code,
    Figure,
    In,
    Instant,
    Line,
    Mass,
    Out,
    Paragraph,
    Remark,
    Utc,
    Written,
    amount,
    refusal,
)
from service.workshop.deviations.bodies import Flag


def _weighs(value: Quantity) -> Quantity:
    """The ledger counts milligrams; what rounds to none of them weighs nothing."""
    if not whole(value):
        raise refusal("out-of-range", f"{value} is less than a milligram.")
    return value


_GRAMS: Any = amount("mass", unit="g", low="0", high="1000000000")
Grams: Any = Annotated[_GRAMS, AfterValidator(_weighs)]
Weight: Any = Annotated[Mass, AfterValidator(_weighs)]
_FIGURES = "What a complete batch told of its version by this: the loss, measured."
LineNumber = Annotated[int, Field(ge=1, le=200)]


class WeighingIn(In):
    """What went in; the line, or the material if it stands on one line only."""

    line: LineNumber | None = None
    material: Code | None = None
    amount: Grams
    lot: Line | None = Field(default=None, description="Where absent, the only one there is.")
    balance: Code | None = Field(default=None, description="Where absent, the last used.")
    substitute: bool = Field(
        default=False, description="Another material than planned, and it really went in."
    )
    part: bool = Field(default=False, description="More follows for this line.")
    by: Code | None = None
    checked_by: Code | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _addressed(self) -> "WeighingIn":
        if self.line is None and self.material is None:
            hint = 'Send "line" from the sheet, or "material".'
            raise refusal("line-missing", "It is not said for which line this is.", hint)
        return self


class WrittenFigure(Amount):
    """A figure that an entry wrote, corrected or voided."""

    figure: str
    subject: str
    property: str
    label: str
    basis: str
    void: bool = Field(description="It cannot be worked out any longer.")


class WeighingOut(Out):
    entry: int
    batch: str
    line: int
    material: str
    lot: str
    weighed: Figure
    verdict: str
    substitute: bool
    balance: str | None
    by: str | None
    checked_by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc
    entered_from: str
    corrects: int | None
    corrected_by: int | None
    void: bool
    reason: str | None


class WeighingMade(WeighingOut, Written):
    target: Figure | None
    state: str
    flags: list[Flag]
    figures: list[WrittenFigure] = Field(description=_FIGURES)


class NoteIn(In):
    text: Remark
    by: Code | None = None
    happened_at: Instant | None = None


class NoteOut(Out):
    entry: int
    batch: str
    text: str
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc
    entered_from: str


class NoteMade(NoteOut, Written):
    pass


class YieldIn(In):
    amount: Weight
    by: Code | None = None
    happened_at: Instant | None = None


class YieldMade(Written):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    yield_: Figure = Field(alias="yield")
    theory: Figure
    of_theory: Figure
    by: str | None
    happened_at: Utc


class TransitionIn(In):
    to: Literal["running", "held", "complete", "aborted"]
    text: Paragraph | None = None
    by: Code | None = None
    happened_at: Instant | None = None


class TransitionMade(Written):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    from_: str = Field(alias="from")
    to: str
    lot: str | None = Field(description="The lot that was made.")
    figures: list[WrittenFigure] = Field(description=_FIGURES)
    flags: list[Flag]
    open_deviations: list[str]
    happened_at: Utc


class Replacement(In):
    """What the entry should have said; which of these follows from the line."""

    weighed: Grams | None = None
    lot: Line | None = None
    substitute: bool = False
    balance: Code | None = None
    yield_: Weight | None = Field(default=None, alias="yield")
    saw: Paragraph | None = Field(default=None, description="For a line that is not weighed.")


class LineCorrectionIn(In):
    """Either what replaces the entry, or `void`; always with the reason."""

    replaces: Replacement | None = None
    void: bool = False
    entry: Annotated[int, Field(ge=1, lt=2**63)] | None = Field(
        default=None, description="Which one, where several stand at the line."
    )
    reason: Line
    by: Code | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "LineCorrectionIn":
        if self.void == (self.replaces is not None):
            raise refusal("one-of-two", "A correction replaces or voids: send one of the two.")
        return self


class LineCorrected(Written):
    batch: str
    line: int
    entry: int
    corrects: int
    was: str
    now: str | None
    void: bool
    reason: str
    figures: list[WrittenFigure] = Field(description=_FIGURES)
    flags: list[Flag]
