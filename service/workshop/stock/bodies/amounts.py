"""Amounts of stock as people write them: a mass, a volume, or a number of pieces; and money."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, PlainSerializer, WithJsonSchema

from service.science import units
from service.science.errors import ScienceError
from service.science.rounding import plain
from service.science.units import Quantity
from service.web.fields import Amount, read_quantity, refusal
from service.web.money import Price as Price
from service.web.money import cents as cents
from service.web.money import money as money

Held = Amount | int  # a mass, or a number of pieces

_MOST = {"mass": Decimal(10) ** 9, "volume": Decimal(10) ** 9, "count": Decimal(10) ** 6}
_SEND = 'Send "5 kg", "10 l", or a whole number of pieces.'


@dataclass(frozen=True, slots=True)
class Entered:
    """An amount as it was written: its size, and its sign where one was given."""

    quantity: Quantity
    sign: Literal["", "+", "-"]

    def __str__(self) -> str:
        if self.quantity.dimension == "count":
            return f"{self.sign}{plain(self.quantity.value)}"
        return f"{self.sign}{self.quantity}"


def _entered(value: Any) -> Entered:
    if isinstance(value, Entered):
        return value
    quantity = _quantity(value)
    size = abs(units.canonical(quantity))
    if not 0 < size <= _MOST[quantity.dimension]:
        raise refusal("out-of-range", f"{quantity} cannot be right here.", _SEND)
    if quantity.dimension == "count" and size != size.to_integral_value():
        raise refusal("not-whole", f"{quantity.value} pieces cannot be counted.", _SEND)
    bare = Quantity(abs(quantity.value), quantity.unit, quantity.dimension)
    return Entered(bare, _sign(value, quantity))


def _quantity(value: Any) -> Quantity:
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal | dict):
        raise refusal("wrong-type", "An amount is needed here.", _SEND)
    if isinstance(value, int | Decimal) or _is_bare(value):
        return read_quantity(value, "count", "pcs")
    return read_quantity(value, _dimension(value), None)


def _is_bare(value: Any) -> bool:
    text = value.strip().lstrip("+-\u2212") if isinstance(value, str) else ""
    return text.replace(".", "", 1).isdigit()


def _dimension(value: Any) -> str:
    """Volume or count where the unit belongs there; else mass, whose refusals fit the rest."""
    text = value if isinstance(value, str) else f"1 {value.get('unit')}"
    for dimension in ("volume", "count"):
        try:
            units.parse(text, dimension)
        except ScienceError:
            continue
        return dimension
    return "mass"


def _sign(value: Any, quantity: Quantity) -> Literal["", "+", "-"]:
    if quantity.value < 0:
        return "-"
    text = value["value"] if isinstance(value, dict) else value
    return "+" if isinstance(text, str) and text.strip().startswith("+") else ""


def _unsigned(value: Entered) -> Entered:
    if value.sign == "-":
        raise refusal("out-of-range", f"{value} cannot be right: send what came, above 0.", _SEND)
    return value


_AMOUNT_SCHEMA = {
    "oneOf": [
        {"type": "string", "maxLength": 64, "examples": ["5 kg", "10 l", "100"]},
        {"type": "integer"},
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
    "description": "A mass, a volume, or a whole number of pieces",
}
SignedAmount = Annotated[
    Entered,
    BeforeValidator(_entered),
    PlainSerializer(str, return_type=str),
    WithJsonSchema(_AMOUNT_SCHEMA),
]
StockAmount = Annotated[SignedAmount, AfterValidator(_unsigned)]
FOR_ALL = "For all of it, in the workshop's currency"
