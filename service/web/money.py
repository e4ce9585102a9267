"""Money in bodies: in the workshop's currency, to four decimals, shown with two at least."""

from decimal import Decimal
from typing import Any

from service.science.rounding import plain
from service.web.fields import Amount, number, refusal

Price: Any = number("0", "1000000")


def cents(value: Decimal | None) -> Decimal | None:
    """Money as it may be sent; raises a payload error beyond four decimals."""
    if value is not None and value != round(value, 4):
        raise refusal("number-malformed", "Money is taken to four decimals.", 'Send "18.50".')
    return value


def money(value: Decimal | None, unit: str | None) -> Amount | None:
    """Money with two decimals at least, or nothing where the workshop has no currency."""
    if value is None or unit is None:
        return None
    whole, _, decimals = plain(value).partition(".")
    return Amount(value=f"{whole}.{decimals.rstrip('0').ljust(2, '0')}", unit=unit)
