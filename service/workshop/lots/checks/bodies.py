"""Bodies of the checks around a fill, and of their corrections."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import (
    Amount,
    Code,
    Day,
    In,
    Instant,
    Line,
    Paragraph,
    Utc,
    Written,
    refusal,
)
from service.workshop.deviations.bodies import Flag
from service.workshop.stock.bodies import Held, StockAmount

Place = Literal["filling", "labelling", "both"]
Moment = Literal["before", "after"]
SampleKind = Literal["retained", "test"]
Packs = Annotated[int, Field(ge=0, le=10_000)]


class PlaceCheckIn(In):
    """A yes or a no, with a name, before or after packs were filled or labelled."""

    place: Place
    moment: Moment
    clear: bool = Field(description="Whether nothing of another lot or product was left there.")
    text: Paragraph | None = Field(default=None, description="What was found, where not clear.")
    by: Code | None = None
    happened_at: Instant | None = None


class SampleIn(In):
    """What was taken of a lot; it leaves the ledger."""

    kind: SampleKind = Field(description="retained: to keep; test: to be used up.")
    amount: StockAmount
    kept_at: Line | None = Field(default=None, description="Where; needed for what is kept.")
    keep_until: Day | None = None
    text: Paragraph | None = None
    by: Code | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _has_a_place(self) -> "SampleIn":
        if self.kind == "retained" and self.kept_at is None:
            wrong = "It is not said where the sample is kept."
            raise refusal("place-missing", wrong, 'Send for example "kept_at": "shelf 3".')
        return self


class ExaminationIn(In):
    """Filled packs looked at: how many leak, how many look wrong."""

    examined: int = Field(ge=1, le=10_000, description="How many packs were looked at.")
    leaking: Packs = Field(description="Of these, how many leak.")
    marred: Packs = Field(description="Of these, how many look wrong: dented, dirty, crooked.")
    appearance: Paragraph = Field(description="How they look, in words.")
    by: Code | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _adds_up(self) -> "ExaminationIn":
        for name in ("leaking", "marred"):
            count = getattr(self, name)
            if count > self.examined:
                wrong = f"{count} of {self.examined} packs cannot be."
                raise refusal("more-than-examined", wrong, below=(name,))
        return self


class PlaceCheckValues(ReplacementIn):
    """What the entry should have said; what is absent stays."""

    place: Place | None = None
    moment: Moment | None = None
    clear: bool | None = None
    text: Paragraph | None = None


class SampleValues(ReplacementIn):
    """What the entry should have said; what is absent stays."""

    kind: SampleKind | None = None
    amount: StockAmount | None = None
    kept_at: Line | None = None
    keep_until: Day | None = None
    text: Paragraph | None = None


class ExaminationValues(ReplacementIn):
    """What the entry should have said; what is absent stays."""

    examined: int | None = Field(default=None, ge=1, le=10_000)
    leaking: Packs | None = None
    marred: Packs | None = None
    appearance: Paragraph | None = None


class PlaceCheckCorrection(CorrectionIn):
    replaces: PlaceCheckValues | None = None


class SampleCorrection(CorrectionIn):
    replaces: SampleValues | None = None


class ExaminationCorrection(CorrectionIn):
    replaces: ExaminationValues | None = None


class EntryOut(Traced):
    """What every entry says of itself."""

    entry: int
    lot: str
    by: str | None
    happened_at: Utc
    about: str | None = Field(description="How far the time may be off (ISO 8601 duration).")
    entered_at: Utc


class PlaceCheckOut(EntryOut):
    place: Place
    moment: Moment
    clear: bool
    text: str | None


class PlaceCheckMade(PlaceCheckOut, Written):
    flags: list[Flag]


class SampleOut(EntryOut):
    kind: SampleKind
    amount: Held
    entered: Amount = Field(description="As it was entered.")
    kept_at: str | None
    keep_until: Day | None
    text: str | None
    movement: str


class SampleMade(SampleOut, Written):
    left: Held = Field(description="What is left of the lot after it.")
    flags: list[Flag]


class ExaminationOut(EntryOut):
    examined: int
    leaking: int
    marred: int
    appearance: str
    fill_check: str = Field(description="The verdict of the fill on what was weighed.")
    sound: bool = Field(description="Whether none leaks and none looks wrong.")


class ExaminationMade(ExaminationOut, Written):
    flags: list[Flag]
