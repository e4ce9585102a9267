"""Many entries at once: what a queue held while there was no wifi."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from service.web.fields import (
    Code,
    In,
    Instant,
    Line,
    Mark,
    Out,
    Paragraph,
    Remark,
    Written,
    refusal,
)
from service.workshop.batches.bodies.cook_log import Clock, CookTemperature
from service.workshop.batches.bodies.devices import Seq, TimedIn
from service.workshop.batches.bodies.entries import LineNumber, WeighedOfLineIn, WrittenFigure
from service.workshop.batches.bodies.events import DropValues, EventValues
from service.workshop.deviations.bodies import Flag

MOST_ENTRIES = 500
_KINDS = ("weighing", "note", "saw", "temperature", "event", "drop")
_ORDER = "The rows are not in the order in which they happened, and that is right."


class SawIn(In):
    """What was seen at a line that is not weighed."""

    line: LineNumber
    text: Paragraph


class EntryIn(TimedIn):
    """One row: a weighing, a note, what was seen at a line, a temperature, an event, a drop."""

    seq: Seq | None = None
    weighing: WeighedOfLineIn | None = None
    note: Remark | None = None
    saw: SawIn | None = None
    temperature: CookTemperature | None = None
    event: EventValues | None = None
    drop: DropValues | None = Field(default=None, description="Of the colour ladder.")
    remark: Line | None = Field(default=None, description="To the temperature.")
    by: Code | None = None

    @property
    def kind(self) -> str:
        """Which of the kinds it is."""
        return next(name for name in _KINDS if getattr(self, name) is not None)

    @model_validator(mode="after")
    def _one_kind(self) -> "EntryIn":
        there = [name for name in _KINDS if getattr(self, name) is not None]
        if len(there) != 1:
            hint = f"Send one of {', '.join(_KINDS)} in each row."
            raise refusal("one-kind", f"This row holds {len(there)} entries.", hint)
        if self.remark is not None and self.temperature is None:
            hint = "Send it as `note`."
            raise refusal("stray-remark", "Only a temperature has a remark.", hint)
        return self


class EntriesIn(In):
    """All of it is written, or nothing. With `device_id` each row needs its `seq`."""

    device_id: Mark | None = None
    sent_at: Instant | None = Field(default=None, description="The device's clock as it sends.")
    by: Code | None = Field(default=None, description="Of the rows that say nobody.")
    any_order: bool = Field(default=False, description=_ORDER)
    entries: Annotated[list[EntryIn], Field(min_length=1, max_length=MOST_ENTRIES)]

    @model_validator(mode="after")
    def _numbered(self) -> "EntriesIn":
        if self.device_id is None and self.sent_at is not None:
            hint = "Send `device_id` too, or leave `sent_at` out."
            wrong = "Only of a device the clock is put right."
            raise refusal("device-half-named", wrong, hint, below=("sent_at",))
        for number, row in enumerate(self.entries):
            if (row.seq is None) != (self.device_id is None):
                hint = "A device numbers what it sends, and never uses a number twice."
                wrong = f"Row {number + 1}: `device_id` and the `seq` of each row go together."
                raise refusal("seq-missing", wrong, hint, below=("entries", number, "seq"))
        return self


class EntryKept(Out):
    row: int = Field(description="Counted from 1.")
    seq: int | None
    kind: Literal["weighing", "note", "saw", "temperature", "event", "drop"]
    entries: list[int] = Field(description="More than one where it was split over lots.")
    known: bool = Field(description="The device had sent it before; nothing was written.")
    line: int | None
    verdict: str | None


class EntriesMade(Written):
    batch: str
    state: str
    stored: int = Field(description="Rows that were written now.")
    known: int
    last_seq: int | None
    entries: list[EntryKept]
    clock: Clock | None = Field(description="Of a device whose clock could be told.")
    figures: list[WrittenFigure]
    flags: list[Flag]
    open_deviations: list[str]
