"""The two ways a number can lie outside the range of a rule."""

from decimal import Decimal

from service.science.errors import OutOfRange


def positive(value: Decimal, what: str) -> Decimal:
    """Pass a number above zero on.

    Parameters: value [the unit named, above 0]; what [name and unit].
    Raises: OutOfRange for zero, below, or not finite. Source: common practice.

    >>> positive(Decimal("0.93"), "density in kg/l")
    Decimal('0.93')
    """
    if not value.is_finite() or value <= 0:
        raise OutOfRange(f"{what} is {value:f}", f"send a {what} above 0")
    return value


def within(value: Decimal, low: Decimal | int, *, high: Decimal | int, what: str) -> Decimal:
    """Pass a number between two limits on, the limits included.

    Parameters: value [any unit]; low, high [the same unit]; what [name and unit].
    Raises: OutOfRange outside the limits or not finite. Source: common practice.

    >>> within(Decimal(20), 0, high=100, what="purity in %")
    Decimal('20')
    """
    if not value.is_finite() or not low <= value <= high:
        raise OutOfRange(f"{what} is {value:f}", f"send a value from {low} to {high}")
    return value
