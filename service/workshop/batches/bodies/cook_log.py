"""Bodies of the cook log: a person's points, and the stream of a device."""

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PrivateAttr,
    TypeAdapter,
    ValidationError,
    model_validator,
)
from pydantic_core import ErrorDetails

from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.web.corrections import Traced
from service.web.fields import (
    Amount,
    Code,
    In,
    Instant,
    Line,
    Mark,
    Out,
    Utc,
    Written,
    amount,
    refusal,
)
from service.workshop.batches.rules import probe_reading, temperature_problem

MOST_ROWS = 5000
_OLDEST = datetime(2000, 1, 1, tzinfo=UTC)
_NEWEST = datetime(2200, 1, 1, tzinfo=UTC)
Place = Callable[[int, str], tuple[str | int, ...]]


def _possible(value: Quantity) -> Quantity:
    if wrong := temperature_problem(units.canonical(value)):
        raise refusal("out-of-range", f"{wrong[:1].upper()}{wrong[1:]}.", "Look at it again.")
    return value


_READ: Any = amount("temperature", unit="°C", low=None, high=None)
CookTemperature: Any = Annotated[_READ, AfterValidator(_possible)]


class Point(BaseModel):
    """One row of a table of points; what a device cannot have meant is judged later."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    seq: Annotated[int, Field(ge=0, lt=2**63)] | None = None
    # An age rounded on the way may come out a little below zero.
    age_s: Annotated[Decimal, Field(ge=-60, le=10**9)] | None = None
    at: int | Decimal | str | None = None
    temperature_c: Any = None
    remark: Line | None = None
    _spoilt: str | None = PrivateAttr(default=None)

    def spoilt(self, why: str) -> "Point":
        """The same row, kept for its number alone."""
        self._spoilt = why
        return self

    @property
    def reading(self) -> tuple[Decimal | None, str | None]:
        """The temperature, or why the row cannot say one for any time."""
        celsius, wrong = probe_reading(self.temperature_c)
        why = self._spoilt
        if self.age_s is None and self.at is not None and self.clock is None:
            why = f"its time {str(self.at)[:40]!r} cannot be read"
        if celsius is None or why is None:
            return celsius, wrong
        return None, f"{why[:160]}; it says {plain(celsius)} °C"

    @property
    def clock(self) -> datetime | None:
        """What the clock showed: seconds since 1970 or a text with its zone; None if unreadable."""
        try:
            if isinstance(self.at, str):
                found = datetime.fromisoformat(self.at.strip())
            else:
                found = datetime.fromtimestamp(float(self.at or 0), UTC)
        except (ValueError, OverflowError, OSError):
            return None
        return found if found.tzinfo and _OLDEST <= found < _NEWEST else None


_POINTS = TypeAdapter(list[Point])


def _read(rows: Sequence[Mapping[str, Any]], place: Place, *, strict: bool) -> list[Point]:
    """The rows as points; raises a payload error at the first that is none. Of a device, a row
    that has its number is kept."""
    try:
        points = _POINTS.validate_python(rows)
    except ValidationError as error:
        faults = error.errors(include_url=False)
        stuck = next((one for one in faults if strict or not _may_spoil(one)), None)
        if stuck is not None:
            raise _moved(stuck, place) from None
        points = _POINTS.validate_python(_without(rows, faults))
        for one in faults:
            points[int(one["loc"][0])].spoilt(f"{one['loc'][1]}: {one['msg']}")
    for number, point in enumerate(points if strict else ()):
        if wrong := probe_reading(point.temperature_c)[1]:
            detail = f"{wrong[:1].upper()}{wrong[1:]}."
            raise refusal("out-of-range", detail, below=place(number, "temperature_c"))
        if point.at is not None and point.clock is None:
            hint = 'Send "2026-11-25T13:05:00Z", or seconds since 1970.'
            raise refusal("bad-time", "This is no instant.", hint, below=place(number, "at"))
    return points


def _may_spoil(error: ErrorDetails) -> bool:
    """Whether a row without this cell is still a row; a jammed queue would lose those after it."""
    return len(error["loc"]) > 1 and error["loc"][1] in {"age_s", "at", "remark"}


def _without(
    rows: Sequence[Mapping[str, Any]], wrong: Sequence[ErrorDetails]
) -> list[dict[str, Any]]:
    """The rows without the cells that cannot be read."""
    gone = {(error["loc"][0], error["loc"][1]) for error in wrong}
    return [
        {name: cell for name, cell in row.items() if (number, name) not in gone}
        for number, row in enumerate(rows)
    ]


def _moved(error: ErrorDetails, place: Place) -> Exception:
    number, *rest = error["loc"]
    name = str(rest[0]) if rest else ""
    return refusal(
        "bad-row", f"Row {int(number) + 1}: {error['msg']}.", below=place(int(number), name)
    )


def _table(columns: Sequence[str], rows: Sequence[Sequence[Any]], *, strict: bool) -> list[Point]:
    if "temperature_c" not in columns or len(set(columns)) != len(columns):
        wrong = "The columns need temperature_c, and none of them twice."
        raise refusal("bad-columns", wrong, below=("columns",))
    uneven = {
        number: f"Row {number + 1} has {len(row)} cells; there are {len(columns)} columns."
        for number, row in enumerate(rows)
        if len(row) != len(columns)
    }
    numbered = columns.index("seq") if "seq" in columns else len(columns)
    for number, why in uneven.items():
        if strict or len(rows[number]) <= numbered:
            raise refusal("bad-row", why, below=("rows", number))

    def place(number: int, name: str) -> tuple[str | int, ...]:
        return ("rows", number, columns.index(name)) if name in columns else ("rows", number)

    points = _read([dict(zip(columns, row, strict=False)) for row in rows], place, strict=strict)
    for number, why in uneven.items():
        points[number].spoilt(why)
    return points


def _listed(points: Sequence[Mapping[str, Any]], *, strict: bool) -> list[Point]:
    def place(number: int, name: str) -> tuple[str | int, ...]:
        return ("points", number, name) if name else ("points", number)

    return _read(points, place, strict=strict)


Rows = Annotated[list[list[Any]], Field(min_length=1, max_length=MOST_ROWS)]


class CookPointsIn(In):
    """One point, or many as `columns` and `rows`."""

    temperature: CookTemperature | None = None
    remark: Line | None = None
    happened_at: Instant | None = None
    columns: list[Literal["at", "temperature_c", "remark"]] | None = None
    rows: Rows | None = None
    by: Code | None = None
    _points: list[Point] = PrivateAttr(default=[])

    @model_validator(mode="after")
    def _one_or_many(self) -> "CookPointsIn":
        single = self.temperature is not None
        if single == (self.rows is not None) or (self.rows is None) != (self.columns is None):
            hint = 'Send "temperature", or "columns" and "rows".'
            raise refusal("one-of-two", "This is neither one point nor a table of them.", hint)
        if self.rows is not None and self.columns is not None:
            self._points = _table(self.columns, self.rows, strict=True)
        return self

    @property
    def points(self) -> list[Point]:
        """The rows of the table, where one was sent."""
        return self._points


class StreamIn(In):
    """What a logger sends: a table, or the same as objects. With `device`, rows need `seq`."""

    device: Mark | None = None
    columns: list[Literal["seq", "age_s", "at", "temperature_c", "remark"]] | None = None
    rows: Rows | None = None
    points: Annotated[list[dict[str, Any]], Field(min_length=1, max_length=MOST_ROWS)] | None = None
    sent_at: Instant | None = Field(default=None, description="The device's clock as it sent.")
    by: Code | None = None
    _read_points: list[Point] = PrivateAttr(default=[])

    @model_validator(mode="after")
    def _readable(self) -> "StreamIn":
        strict = self.device is None
        if self.points is not None and self.rows is None and self.columns is None:
            self._read_points = _listed(self.points, strict=strict)
        elif self.points is None and self.rows is not None and self.columns is not None:
            self._read_points = _table(self.columns, self.rows, strict=strict)
        else:
            hint = 'Send "columns" and "rows", or "points".'
            raise refusal("one-of-two", "There is no table of points.", hint)
        if self.device is not None and any(point.seq is None for point in self.each):
            hint = "Number the readings as they are taken, and never use a number twice."
            raise refusal("seq-missing", "A device's rows need their seq.", hint)
        return self

    @property
    def each(self) -> list[Point]:
        """The points, in the order sent."""
        return self._read_points


class SetAside(Out):
    seq: int | None
    why: str


class Behind(Out):
    value: str
    unit: str


class Clock(Out):
    device_is: Utc | None = Field(description="What the device's clock shows now.")
    behind: Behind | None = Field(description="How far it is behind; negative: ahead.")
    times_from: Literal["age_s", "sent_at", "at", "arrival"]


class StreamStored(Written):
    batch: str | None
    stored: int
    known: int
    set_aside: list[SetAside]
    last_seq: int | None
    clock: Clock


class CookPointOut(Traced):
    entry: int
    batch: str | None
    kettle: str | None
    device: str | None
    seq: int | None
    temperature: Amount | None
    remark: str | None
    set_aside: str | None = Field(description="Why it cannot be a temperature, where it cannot.")
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc
    entered_from: str


class CookPointsMade(Written):
    batch: str
    stored: int
    points: list[CookPointOut] = Field(description="At most the first fifty.")
