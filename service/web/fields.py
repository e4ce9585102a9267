"""The kinds of field that bodies are made of; pydantic only, nothing of HTTP."""

import unicodedata
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Annotated, Any, Literal, ParamSpec, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema

from service.science import units
from service.science.check_characters import code_problem
from service.science.errors import ScienceError
from service.science.rounding import plain
from service.science.units import Quantity
from service.web.refusals import refusal as refusal
from service.web.refusals import refusal_below as refusal_below
from service.web.refusals import refused_at as refused_at

P = ParamSpec("P")
T = TypeVar("T")
YEARS = range(1900, 2200)


class In(BaseModel):
    """What comes in: unknown names are refused, since a typing mistake would be lost in silence."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Out(BaseModel):
    """What goes out; no defaults, so that OpenAPI says what is always there."""

    model_config = ConfigDict(frozen=True)


class Written(Out):
    """The answer to every POST: what was filled in, and the effect in one line."""

    assumed: dict[str, Any] = Field(description="What was not sent and was filled in.")
    summary: str = Field(description="What was done, in one line.")


def _science(call: Callable[P, T], *given: P.args, **named: P.kwargs) -> T:
    try:
        return call(*given, **named)
    except ScienceError as error:
        detail = error.message[:1].upper() + error.message[1:] + "."
        hint = error.hint[:1].upper() + error.hint[1:] + "." if error.hint else None
        raise refusal(error.code, detail, hint) from None


def _text(limit: int, *, lines: bool = False) -> Callable[[Any], Any]:
    def read(value: Any) -> Any:
        if not isinstance(value, str):
            return value
        value = value.strip()
        if not value:
            raise refusal("empty-text", "An empty text says nothing.", "Leave the field out.")
        if len(value) > limit:
            raise refusal("too-long", f"The text has {len(value)} characters; {limit} fit.")
        allowed = "\n\t" if lines else ""
        if any(unicodedata.category(c) in {"Cc", "Cs"} and c not in allowed for c in value):
            raise refusal("control-character", "The text holds a control character.")
        return value

    return read


def text(limit: int, *, lines: bool = False) -> Any:
    """A text of 1 to `limit` characters, trimmed; control characters are refused."""
    return Annotated[
        str, Field(min_length=1, max_length=limit), BeforeValidator(_text(limit, lines=lines))
    ]


Mark = text(40)
Short = text(80)
Line = text(200)
Paragraph = text(600, lines=True)
Remark = text(2000, lines=True)


def _code(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    value = value.strip().upper()
    if wrong := code_problem(value):
        raise refusal(
            "bad-code",
            f"{value[:40]!r} cannot be a code: {wrong}.",
            "Begin with two letters that name no month; then letters, digits and hyphens; "
            "20 characters at most.",
        )
    return value


Code = Annotated[
    str, Field(min_length=2, max_length=20, examples=["OIL-LIN"]), BeforeValidator(_code)
]


def _instant(value: Any) -> Any:
    if isinstance(value, datetime):
        found = value
    elif isinstance(value, str):
        try:
            found = datetime.fromisoformat(value.strip())
        except ValueError:
            raise refusal("bad-time", "This is no instant.", _SEND_TIME) from None
    else:
        raise refusal("bad-time", "An instant is a text.", _SEND_TIME)
    if found.tzinfo is None:
        raise refusal("time-without-zone", "The time does not say its zone.", _SEND_TIME)
    if found.year not in YEARS:
        raise refusal("bad-time", "The year is outside 1900 to 2199.", _SEND_TIME)
    return found


_LONGEST_BOUND = 12  # characters; what is longer is no round number in the unit that was sent
_SEND_TIME = 'Send it with its offset: "2026-11-25T13:05:00+00:00" or "…Z".'
_TIME_SCHEMA = {"type": "string", "format": "date-time", "examples": ["2026-11-25T13:05:00Z"]}

Instant = Annotated[datetime, BeforeValidator(_instant), WithJsonSchema(_TIME_SCHEMA)]


def _day(value: Any) -> Any:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    try:
        found = datetime.strptime(value.strip(), "%Y-%m-%d").date()  # noqa: DTZ007 a day, no time
    except (AttributeError, ValueError):
        found = None
    if found is None or found.year not in YEARS or len(value.strip()) != 10:
        raise refusal("bad-day", "This is no day between 1900 and 2199.", 'Send "2026-11-25".')
    return found


Day = Annotated[
    date,
    BeforeValidator(_day),
    WithJsonSchema({"type": "string", "format": "date", "examples": ["2026-11-25"]}),
]


def read_number(value: Any) -> Decimal:
    """A plain decimal number from a JSON number or a text; raises a payload error."""
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise refusal("wrong-type", "A number is needed here.", 'Send 1.5 or "1.50".')
    if isinstance(value, str):
        return _science(units.parse_number, value)
    # JSON numbers pass through the same gate as texts, so 1e999 or thirty digits end here.
    return _science(units.parse_number, _written(Decimal(value)))


def _written(value: Decimal) -> str:
    exponent = value.as_tuple().exponent
    if not isinstance(exponent, int) or abs(exponent) > 30 or value.adjusted() > 30:
        raise refusal("number-malformed", "The number is too large or too small to mean anything.")
    return plain(value)


def number(low: str, high: str) -> Any:
    """A plain decimal number from low to high, both included."""

    def read(value: Any) -> Decimal:
        found = read_number(value)
        if not Decimal(low) <= found <= Decimal(high):
            raise refusal("out-of-range", f"{found} is outside {low} to {high}.")
        return found

    schema = {
        "oneOf": [{"type": "number"}, {"type": "string", "pattern": r"^-?\d{1,12}(\.\d{1,12})?$"}],
        "description": f"From {low} to {high}",
    }
    return Annotated[Decimal, BeforeValidator(read), WithJsonSchema(schema)]


def amount(dimension: str, *, unit: str | None = None, low: str | None, high: str | None) -> Any:
    """A quantity as "1.50 kg", as {"value", "unit"}, or as a bare number where `unit` is given.

    `low` (exclusive when "0") and `high` bound it in the dimension's canonical unit.
    """

    def read(value: Any) -> Quantity:
        found = read_quantity(value, dimension, unit)
        size = units.canonical(found)
        too_low = low is not None and (size < Decimal(low) or (low == "0" and size == 0))
        if too_low or (high is not None and size > Decimal(high)):
            raise refusal("out-of-range", _outside(found, dimension, low, high))
        return found

    return Annotated[
        Quantity, BeforeValidator(read), WithJsonSchema(_amount_schema(dimension, unit))
    ]


def _outside(found: Quantity, dimension: str, low: str | None, high: str | None) -> str:
    canonical, unit = units.CANONICAL[dimension], found.unit
    ends = [
        None if end is None else units.convert(units.quantity(end, canonical, dimension), unit)
        for end in (low, high)
    ]
    if any(end is not None and len(plain(end)) > _LONGEST_BOUND for end in ends):
        unit, ends = canonical, [end if end is None else Decimal(end) for end in (low, high)]
    least, most = (None if end is None else plain(end.normalize() + 0) for end in ends)
    bounds = "more than 0" if low == "0" else f"at least {least}"
    ceiling = "" if most is None else f" and at most {most}"
    return f"{found} cannot be right here: {bounds}{ceiling} {unit} is taken."


def read_quantity(value: Any, dimension: str, unit: str | None) -> Quantity:
    """A quantity in any of its three spellings; raises a payload error."""
    if isinstance(value, Quantity):
        return value
    if isinstance(value, dict) and set(value) == {"value", "unit"}:
        if not isinstance(value["unit"], str):
            raise refusal("wrong-type", "The unit must be a text.")
        value = f"{read_number(value['value']):f} {value['unit'][:70]}"
    if isinstance(value, str):
        return _from_text(value, dimension, unit)
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise refusal("wrong-type", "An amount is needed here.", _send_amount(dimension, unit))
    if unit is None:
        raise refusal("unit-missing", "The unit is missing.", _send_amount(dimension, unit))
    return _science(units.quantity, read_number(value), unit, dimension)


def _from_text(value: str, dimension: str, unit: str | None) -> Quantity:
    bare = value.strip()
    if unit is not None and bare and bare.lstrip("+-").replace(".", "", 1).isdigit():
        bare = f"{bare} {unit}"
    return _science(units.parse, bare, dimension)


def _send_amount(dimension: str, unit: str | None) -> str:
    return f'Send for example "1.5 {unit or units.spellings(dimension)[0]}".'


def _amount_schema(dimension: str, unit: str | None) -> dict[str, Any]:
    forms: list[dict[str, Any]] = [
        {"type": "string", "maxLength": 64, "examples": [f"1.50 {unit or ''}".strip()]},
        {
            "type": "object",
            "properties": {
                "value": {"anyOf": [{"type": "string"}, {"type": "number"}]},
                "unit": {"type": "string"},
            },
            "required": ["value", "unit"],
            "additionalProperties": False,
        },
    ]
    if unit is not None:
        forms.append({"type": "number"})
    bare = f"; a bare number is in {unit}" if unit else ""
    return {"oneOf": forms, "description": f"{dimension}: number and unit{bare}"}


Mass = amount("mass", low="0", high="1000000000")  # a tonne: far above any kettle of the trade
Volume = amount("volume", low="0", high="1000000000")
Temperature = amount("temperature", unit="°C", low="-60", high="1200")

Basis = Literal["measured", "calculated", "declared", "handbook"]


class Amount(Out):
    """An amount asked for or moved: the value as decimal text, so that its digits survive."""

    value: str
    unit: str


class Figure(Amount):
    """A figure says something about the world, so it states its basis; `note`: a footnote."""

    basis: Basis
    note: str | None = Field(default=None, description="Name of an entry in `notes`.")


def shown(quantity: Quantity) -> Amount:
    """A quantity with the digits it was entered with."""
    return Amount(value=plain(quantity.value), unit=quantity.unit)


Utc = Annotated[
    datetime,
    PlainSerializer(lambda at: at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"), return_type=str),
    WithJsonSchema(_TIME_SCHEMA),
]
