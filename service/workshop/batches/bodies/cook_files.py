"""Bodies of a logger's file: how it is to be read, what was kept of it, its corrections."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator

from service.science import units
from service.science.units import Quantity
from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import Code, In, Instant, Mark, Out, Short, Utc, Written, amount, refusal
from service.workshop.batches.bodies.cook_log import Clock
from service.workshop.deviations.bodies import Flag

MOST_BYTES = 20_000_000
MOST_ROWS = 100_000
Times = Literal["iso", "day-first", "month-first", "unix", "elapsed-s", "elapsed-min"]


class LogForm(In):
    """How a logger's file is to be read; what is not stated is told as assumed."""

    temperature: Short = Field(description="The column of the temperatures, by its heading.")
    at: list[Short] = Field(
        min_length=1,
        max_length=2,
        description="The column of the times; twice where day and time stand apart.",
    )
    seq: Short | None = Field(
        default=None, description="The column of running numbers, which need a device."
    )
    remark: Short | None = Field(default=None, description="The column of remarks.")
    device: Mark | None = Field(
        default=None,
        description="Which logger wrote it: what it cannot have meant is then set aside, not "
        "refused.",
    )
    unit: Literal["C", "F", "K"] = Field(default="C", description="Of the temperatures.")
    times: Times = Field(default="iso", description="How the times are written.")
    zone: Short | None = Field(
        default=None,
        description="Of times that do not say theirs: Europe/London, or +01:00 where the clock "
        "keeps one offset.",
    )
    started_at: Instant | None = Field(
        default=None, description="When the logger was started, for elapsed times."
    )
    sent_at: Instant | None = Field(
        default=None,
        description="What the logger's clock shows as this is sent, by which all times are mended.",
    )
    decimal: Literal["point", "comma"] = "point"
    separator: Literal["comma", "semicolon", "tab"] = "comma"
    encoding: Literal["utf-8", "utf-8-sig", "utf-16", "latin-1"] = "utf-8"
    header_row: Annotated[int, Field(ge=1, le=100)] = Field(
        default=1, description="The row of the headings."
    )
    order: Literal["as-timed", "any"] = Field(
        default="as-timed", description="any: the rows are put in the order of their times."
    )
    every: Annotated[int, Field(ge=1, le=1000)] = Field(
        default=1, description="Keep the first of so many rows."
    )
    skip: Annotated[int, Field(ge=0, le=10_000_000)] = Field(
        default=0, description="Leave out so many rows at the start."
    )
    take: Annotated[int, Field(ge=1, le=MOST_ROWS)] | None = Field(
        default=None, description="Keep no more than so many rows."
    )
    by: Code | None = None

    @model_validator(mode="after")
    def _fits(self) -> "LogForm":
        if self.times.startswith("elapsed") and self.started_at is None:
            wrong = "Elapsed times count from when the logger was started."
            raise refusal("started-at-missing", wrong, "Add started_at.", below=("started_at",))
        if self.seq is not None and self.device is None:
            wrong = "Running numbers are those of a device."
            raise refusal("device-missing", wrong, "Add device, or leave seq.", below=("device",))
        return self

    def stated(self) -> dict[str, Any]:
        """What was stated, as it is kept with the log."""
        return self.model_dump(mode="json", exclude_defaults=True, exclude={"sent_at", "by"})


class AsideOut(Out):
    row: int = Field(description="Of the file, its first row being 1.")
    seq: int | None
    why: str


class CookLogOut(Traced):
    """A logger's file as it was taken in."""

    log: int
    kettle: str | None
    batch: str | None = Field(description="The batch it was sent to, where it was not the kettle.")
    device: str | None
    sha256: str
    read_as: dict[str, Any]
    rows: int
    stored: int
    known: int
    set_aside: int
    first_at: Utc | None
    last_at: Utc | None
    clock: Clock
    by: str | None
    happened_at: Utc
    entered_at: Utc


class CookLogMade(CookLogOut, Written):
    batches: list[str] = Field(description="Which its points joined.")
    aside: list[AsideOut] = Field(description="At most the first fifty that were set aside.")
    flags: list[Flag]


def _moves(value: Quantity) -> Quantity:
    if not units.canonical(value):
        raise refusal("out-of-range", "By nothing nothing moves.")
    return value


_TIME: Any = amount("time", unit="s", low="-31622400", high="31622400")
Shift: Any = Annotated[_TIME, AfterValidator(_moves)]


class CookLogReplacement(ReplacementIn):
    later: Shift = Field(
        description="By how much all points happened later than was kept; less than 0: earlier."
    )

    @property
    def seconds(self) -> Decimal:
        """The shift in seconds."""
        return units.canonical(self.later)


class CookLogCorrectionIn(CorrectionIn):
    replaces: CookLogReplacement | None = None


class CookLogCorrected(CookLogOut, Written):
    batches: list[str] = Field(description="Which its points stand with now.")
    flags: list[Flag]
