"""Amounts as columns give them back."""

from decimal import Decimal
from typing import overload

from service.science import units
from service.science.units import Quantity
from service.store.columns import nine_places


@overload
def kept(quantity: Quantity) -> Decimal: ...


@overload
def kept(quantity: None) -> None: ...


def kept(quantity: Quantity | None) -> Decimal | None:
    """An amount in its canonical unit, so that the answer to a POST reads as a later GET does."""
    if quantity is None:
        return None
    return nine_places(units.canonical(quantity)).normalize() + 0
