"""The ways a number can lie outside the range of a rule, each refusal naming the number."""

from collections.abc import Sequence
from decimal import Decimal

from service.science.errors import NotApplicable, OutOfRange
from service.science.names import words

# Beyond this nothing of the trade is measured, and arithmetic would run for hours or overflow.
_LARGEST = Decimal("1e15")
_SMALLEST = Decimal("1e-15")
LONGEST_LIST = 10_000


def number(value: Decimal, name: str) -> Decimal:
    """Pass on a number that can be reckoned with.

    Parameters: value [any unit; finite, 0 or from 1e-15 to 1e15 in size]; name [text, the
    parameter's name with its unit, such as `mass_g`].
    Raises: OutOfRange outside. Returns: the value. Source: common practice.

    >>> number(Decimal("-4.5"), "temperature_c")
    Decimal('-4.5')
    """
    if not value.is_finite() or (value and not _SMALLEST <= abs(value) <= _LARGEST):
        raise OutOfRange(
            f"{words(name)} is {_short(value)}",
            "send a plain number that can be measured",
            field=name,
        )
    return value


def positive(value: Decimal, name: str) -> Decimal:
    """Pass on a number above zero.

    Parameters: value [the unit named, above 0]; name [text, the parameter's name with its unit].
    Raises: OutOfRange for zero, below, or not finite. Returns: the value. Source: common practice.

    >>> positive(Decimal("0.93"), "density_kg_l")
    Decimal('0.93')
    """
    number(value, name)
    if value <= 0:
        raise OutOfRange(f"{words(name)} is {_short(value)}", "send a number above 0", field=name)
    return value


def within(value: Decimal, low: Decimal | int, *, high: Decimal | int, name: str) -> Decimal:
    """Pass on a number between two limits, the limits included.

    Parameters: value [the unit named]; low, high [the same unit]; name [text, the parameter's
    name with its unit].
    Raises: OutOfRange outside the limits or not finite. Returns: the value.
    Source: common practice.

    >>> within(Decimal(20), 0, high=100, name="purity_percent")
    Decimal('20')
    """
    number(value, name)
    if not low <= value <= high:
        raise OutOfRange(
            f"{words(name)} is {_short(value)}", f"send a value from {low} to {high}", field=name
        )
    return value


def above(value: Decimal, low: Decimal | int, *, high: Decimal | int, name: str) -> Decimal:
    """Pass on a number above one limit and up to another, the second included.

    Parameters: value [the unit named]; low, high [the same unit]; name [text, the parameter's
    name with its unit].
    Raises: OutOfRange outside the limits or not finite. Returns: the value.
    Source: common practice.

    >>> above(Decimal("0.5"), 0, high=100, name="purity_percent")
    Decimal('0.5')
    """
    number(value, name)
    if not low < value <= high:
        raise OutOfRange(
            f"{words(name)} is {_short(value)}",
            f"send a value above {low} and up to {high}",
            field=name,
        )
    return value


def at_least(value: Decimal, low: Decimal | int, *, name: str) -> Decimal:
    """Pass on a number of a limit or more.

    Parameters: value [the unit named]; low [the same unit]; name [text, the parameter's name
    with its unit].
    Raises: OutOfRange below the limit or not finite. Returns: the value. Source: common practice.

    >>> at_least(Decimal(0), 0, name="thinner_g")
    Decimal('0')
    """
    number(value, name)
    if value < low:
        raise OutOfRange(
            f"{words(name)} is {_short(value)}", f"send a value of {low} or more", field=name
        )
    return value


def count(values: Sequence[object], least: int, *, name: str) -> int:
    """Count the members of a list that has enough of them and not too many.

    Parameters: values [a list of up to 10000]; least [1, 1 or more]; name [text, the
    parameter's name].
    Raises: NotApplicable for fewer, OutOfRange for more. Returns: how many there are.
    Source: common practice.

    >>> count([1, 2], 2, name="replicates")
    2
    """
    if len(values) < least:
        raise NotApplicable(
            f"{words(name)} has {len(values)} of at least {least}",
            f"send {least} or more",
            field=name,
        )
    if len(values) > LONGEST_LIST:
        raise OutOfRange(
            f"{words(name)} has {len(values)}", f"send at most {LONGEST_LIST}", field=name
        )
    return len(values)


def one_of(value: str, known: Sequence[str], *, name: str) -> str:
    """Pass on a word of a closed list.

    Parameters: value [text]; known [the list]; name [text, the parameter's name].
    Raises: OutOfRange for any other word. Returns: the word. Source: common practice.

    >>> one_of("brush", ("brush", "spray"), name="method")
    'brush'
    """
    if value not in known:
        raise OutOfRange(
            f"“{value[:40]}” is not among the choices of {words(name)}",
            f"use one of: {', '.join(known)}",
            field=name,
        )
    return value


def _short(value: Decimal) -> str:
    """The number in few characters, since a refusal is read by a person."""
    if value.is_finite() and abs(value.adjusted()) < 20 and len(value.as_tuple().digits) < 30:
        return format(value, "f")
    return format(value, ".6g") if value.is_finite() else str(value)
