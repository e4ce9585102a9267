"""Mean, spread and repeatability of a handful of replicate readings."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.ranges import count, number
from service.science.rounding import decimal_of


class Repeatability(NamedTuple):
    """What replicate readings say of a value; spread measures are None for one reading."""

    mean: Decimal
    readings: int
    low: Decimal
    high: Decimal
    range: Decimal
    standard_deviation: Decimal | None
    range_percent: Decimal | None


def mean(values: Sequence[Decimal]) -> Decimal:
    """Average the readings.

    Parameters: values [1, each any; the readings in one unit, one or more].
    Returns: [1] the mean, in the unit of the readings.
    Raises: NotApplicable without readings, OutOfRange for one that cannot be reckoned with.
    Source: ISO 3534-1, arithmetic mean (from memory).

    >>> mean([Decimal("55.24"), Decimal("55.40")])
    Decimal('55.32')
    """
    return decimal_of(_mean(values))


def value_range(values: Sequence[Decimal]) -> Decimal:
    """Take the largest reading less the smallest.

    Parameters: values [1, each any; the readings in one unit, one or more].
    Returns: [1] the range, in the unit of the readings.
    Raises: as `mean`. Source: ISO 3534-1, sample range (from memory).

    >>> value_range([Decimal("61"), Decimal("63"), Decimal("62")])
    Decimal('2')
    """
    _mean(values)
    return max(values) - min(values)


def standard_deviation(values: Sequence[Decimal]) -> Decimal:
    """Take the standard deviation of a sample (divisor n - 1).

    Parameters: values [1, each any; the readings in one unit, two or more].
    Returns: [1] the standard deviation, in the unit of the readings.
    Raises: NotApplicable for fewer than two readings, OutOfRange as `mean`.
    Source: ISO 3534-1, sample standard deviation (from memory).

    >>> standard_deviation([Decimal("2"), Decimal("4"), Decimal("6")])
    Decimal('2')
    """
    count(values, 2, name="values")
    centre = _mean(values)
    squares = sum((Fraction(value) - centre) ** 2 for value in values)
    return decimal_of(Fraction(squares) / (len(values) - 1)).sqrt()


def repeatability(values: Sequence[Decimal]) -> Repeatability:
    """Summarise replicate readings.

    Parameters: values [1, each any; the readings in one unit, one or more].
    Returns: mean, how many, lowest, highest, range, and from two readings on the standard
    deviation (divisor n - 1) and the range in percent of the mean.
    Raises: NotApplicable without readings, OutOfRange for one that cannot be reckoned with.
    Source: ISO 3534-1 (from memory); the range in percent of the mean is common practice.

    >>> repeatability([Decimal("55.24"), Decimal("55.40")]).range
    Decimal('0.16')
    """
    centre = mean(values)
    spread = value_range(values)
    several = len(values) > 1
    return Repeatability(
        mean=centre,
        readings=len(values),
        low=min(values),
        high=max(values),
        range=spread,
        standard_deviation=standard_deviation(values) if several else None,
        range_percent=abs(100 * spread / centre) if several and centre else None,
    )


def _mean(values: Sequence[Decimal]) -> Fraction:
    count(values, 1, name="values")
    for place, value in enumerate(values):
        number(value, f"values/{place}")
    return sum((Fraction(value) for value in values), Fraction(0)) / len(values)
