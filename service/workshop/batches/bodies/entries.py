"""Bodies of single entries: weighings, notes, yields, transitions, corrections."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator

from service.web.corrections import Traced
from service.web.fields import (
    Amount,
    Code,
    Figure,
    In,
    Instant,
    Line,
    Out,
    Paragraph,
    Remark,
    Utc,
    Written,
    refusal,
)
from service.workshop.batches.bodies.balance import BalanceIn, Grams, Tare, Weight
from service.workshop.batches.bodies.devices import Clock, DeviceIn
from service.workshop.batches.bodies.retargets import OpenLine
from service.workshop.deviations.bodies import Flag

_FIGURES = "What a complete batch told of its version by this: the loss, measured."
LineNumber = Annotated[int, Field(ge=1, le=200)]


class PartIn(BalanceIn):
    """What of a weighing came from one lot; of one lot it may be the rest."""

    lot: Line
    amount: Grams | None = Field(default=None, description="Where absent, the rest of the whole.")
    balance: Code | None = None
    substitute: bool = Field(default=False, description="Of this part alone.")

    @property
    def said(self) -> bool:
        """Whether it says how much it was."""
        return any(each is not None for each in (self.amount, self.gross, self.tare, self.net))

    @model_validator(mode="after")
    def _once(self) -> "PartIn":
        if self.said:
            self.check_said("amount", self.amount)
        return self


class WeighedOfLineIn(BalanceIn):
    """What went in; the line, or the material if it stands on one line only."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    line: Annotated[int, Field(ge=0, le=200)] | None = Field(
        default=None, description="From the sheet; 0: beside the plan, with `material`."
    )
    material: Code | None = None
    amount: Grams | None = Field(default=None, description="What went in, as one number.")
    lot: Line | None = Field(default=None, description="Where absent, the only one there is.")
    from_: list[PartIn] | None = Field(
        default=None, alias="from", min_length=1, max_length=20, description="Split over lots."
    )
    balance: Code | None = Field(default=None, description="Where absent, the last used.")
    substitute: bool = Field(
        default=False, description="Another material than planned, and it really went in."
    )
    part: bool = Field(default=False, description="More follows for this line.")
    by: Code | None = None
    checked_by: Code | None = None

    @model_validator(mode="after")
    def _addressed(self) -> "WeighedOfLineIn":
        if self.line is None and self.material is None:
            hint = 'Send "line" from the sheet, or "material".'
            raise refusal("line-missing", "It is not said for which line this is.", hint)
        if self.line == 0 and self.material is None:
            wrong = "It is not said what went in beside the plan."
            raise refusal("material-missing", wrong, 'Send "material".', below=("material",))
        if self.from_ is None:
            self.check_said("amount", self.amount)
        else:
            _check_split(self, self.from_)
        return self


def _check_split(wanted: WeighedOfLineIn, parts: list[PartIn]) -> None:
    """Raises a payload error unless each part, or all but one of a whole, says how much it was."""
    for name in ("lot", "gross", "tare", "net"):
        if getattr(wanted, name) is not None:
            wrong = f"Of what is split over lots, each part says its own {name}."
            raise refusal("split-twice", wrong, "Leave it out here.", below=(name,))
    silent = [number for number, part in enumerate(parts) if not part.said]
    if len(silent) > (wanted.amount is not None):
        hint = "Send its amount, or `amount` for the whole and one part without."
        raise refusal(
            "part-unsaid", "It cannot be told how much this was.", hint, below=("from", silent[-1])
        )


class WeighingIn(WeighedOfLineIn, DeviceIn):
    """A weighing as it comes alone, by hand or from a device."""


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
    gross: Figure | None = Field(description="With the vessel; null where the net was read.")
    tare: Figure | None
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
    late: bool = Field(description="It happened before the batch ended and was entered after.")
    device_id: str | None
    device_seq: int | None


class WeighingMade(WeighingOut, Written):
    target: Figure | None = Field(description="What was aimed at.")
    moved: list[OpenLine] = Field(description="Open lines that follow what was weighed.")
    split: list[WeighingOut] = Field(description="Each entry, where it was split over lots.")
    clock: Clock | None = Field(description="Of a device whose clock could be told.")
    state: str
    flags: list[Flag]
    figures: list[WrittenFigure] = Field(description=_FIGURES)


class NoteIn(DeviceIn):
    text: Remark
    by: Code | None = None


class NoteOut(Traced):
    entry: int
    batch: str
    text: str
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc
    entered_from: str
    late: bool = Field(description="It happened before the batch ended and was entered after.")
    device_id: str | None
    device_seq: int | None


class NoteMade(NoteOut, Written):
    clock: Clock | None = Field(description="Of a device whose clock could be told.")
    flags: list[Flag]


class YieldIn(In):
    amount: Weight
    balance: Code | None = Field(default=None, description="Where absent, the last used.")
    checked_by: Code | None = None
    by: Code | None = None
    happened_at: Instant | None = None


class YieldMade(Written):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    yield_: Figure = Field(alias="yield")
    theory: Figure
    of_theory: Figure
    balance: str | None
    by: str | None
    checked_by: str | None
    happened_at: Utc
    flags: list[Flag]


class TransitionIn(In):
    to: Literal["running", "held", "complete", "aborted"]
    text: Paragraph | None = None
    by: Code | None = None
    happened_at: Instant | None = None


class TransitionMade(Written):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    entry: int
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

    weighed: Grams | None = Field(default=None, description="The net.")
    gross: Grams | None = None
    tare: Tare | None = None
    lot: Line | None = None
    substitute: bool = False
    balance: Code | None = None
    checked_by: Code | None = None
    yield_: Weight | None = Field(default=None, alias="yield")
    saw: Paragraph | None = Field(default=None, description="For a line that is not weighed.")
    happened_at: Instant | None = Field(
        default=None, description="When it really was; a time that was about is so no longer."
    )


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
