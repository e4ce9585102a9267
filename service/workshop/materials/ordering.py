"""How a material is bought again: from whom, how long it takes, when, and how much at once."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema

from service.errors import Invalid, Remedy, at
from service.science import units
from service.science.units import Quantity
from service.web.amounts import mass
from service.web.fields import Amount, In, Out, Short, read_quantity, refusal
from service.workshop.materials.rules import COUNTED

_SEND = 'Send "5 kg", or a whole number of pieces.'
_MOST = {"mass": Decimal(10) ** 9, "count": Decimal(10) ** 6}


def _size(value: Any) -> Quantity:
    """A mass, or pieces where no unit stands; raises a payload error."""
    if isinstance(value, Quantity):
        return value
    if isinstance(value, bool) or not isinstance(value, str | int | dict):
        raise refusal("wrong-type", "A mass or a number of pieces is needed here.", _SEND)
    bare = isinstance(value, int) or (isinstance(value, str) and value.strip().isdigit())
    found = read_quantity(value, "count" if bare else "mass", "pcs" if bare else None)
    if not 0 < units.canonical(found) <= _MOST[found.dimension]:
        raise refusal("out-of-range", f"{found} cannot be right here.", _SEND)
    return found


_SIZE_SCHEMA = {
    "oneOf": [
        {"type": "string", "maxLength": 64, "examples": ["5 kg", "100"]},
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
    "description": "A mass, or a whole number of pieces of what is counted",
}
OrderSize = Annotated[Quantity, BeforeValidator(_size), WithJsonSchema(_SIZE_SCHEMA)]
LeadDays = Annotated[
    int, Field(ge=0, le=730, description="From the order to the delivery, in days.")
]


class OrderingIn(In):
    supplier: Short | None = Field(default=None, description="From whom it is usually bought.")
    lead_days: LeadDays | None = None
    at: OrderSize | None = Field(
        default=None, description="It is to be ordered when less than this is free."
    )
    amount: OrderSize | None = Field(
        default=None, description="How much comes at once: a drum, a box. Whole ones are ordered."
    )


class OrderingOut(Out):
    supplier: str | None = Field(description="Null for keys without the scope write.")
    lead_days: int | None
    at: Amount | int | None
    amount: Amount | int | None


NO_ORDERING = {"order_from": None, "lead_days": None, "order_at": None, "order_amount": None}


def ordering_columns(wanted: OrderingIn | None, kind: str) -> dict[str, Any]:
    """The columns of what was sent, which replaces all that stood. Raises Invalid."""
    if wanted is None:
        return NO_ORDERING
    return {
        "order_from": wanted.supplier,
        "lead_days": wanted.lead_days,
        "order_at": _kept(wanted.at, "at", kind),
        "order_amount": _kept(wanted.amount, "amount", kind),
    }


def _kept(size: Quantity | None, name: str, kind: str) -> int | None:
    if size is None:
        return None
    counted = kind in COUNTED
    if counted == (size.dimension == "count"):
        return int(units.canonical(size).to_integral_value())
    how = "by count" if counted else "by mass"
    wrong = f"A {kind} is kept {how}, and {size} is not said so."
    remedy = Remedy("that is not known yet", {"order": {name: None}})
    faults = at(f"#/order/{name}", wrong, "wrong-dimension", hint=_SEND, remedies=(remedy,))
    raise Invalid(wrong, faults)


def shown_ordering(row: Any, *, costs: bool) -> OrderingOut | None:
    """How a material is bought again; None where nothing is known of it."""
    if all(getattr(row, name) is None for name in NO_ORDERING):
        return None
    counted = row.kind in COUNTED
    at_least, amount = (
        size if counted else mass(size) for size in (row.order_at, row.order_amount)
    )
    return OrderingOut(
        supplier=row.order_from if costs else None,
        lead_days=row.lead_days,
        at=at_least,
        amount=amount,
    )
