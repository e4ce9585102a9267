"""Mean, spread and repeatability of a handful of replicate readings."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.science.errors import NotApplicable, NumberMalformed
from service.science.rounding import decimal_of


@dataclass(frozen=True, slots=True)
class Repeatability:
    """What replicate readings say of a value; spread measures are None for one reading."""

    count: int
    mean: Decimal
    low: Decimal
    high: Decimal
    range: Decimal
    standard_deviation: Decimal | None
    range_percent: Decimal | None


def mean(values: Sequence[Decimal]) -> Decimal:
    """Average the readings.

    Parameters: values [one unit, 1 or more, finite].
    Raises: NotApplicable without readings, NumberMalformed for one that is not finite.
    Source: ISO 3534-1, arithmetic mean (from memory).

    >>> mean([Decimal("55.24"), Decimal("55.40")])
    Decimal('55.32')
    """
    return decimal_of(_mean(values))


def value_range(values: Sequence[Decimal]) -> Decimal:
    """Take the largest reading less the smallest.

    Parameters: values [one unit, 1 or more, finite].
    Raises: as `mean`. Source: ISO 3534-1, sample range (from memory).

    >>> value_range([Decimal("61"), Decimal("63"), Decimal("62")])
    Decimal('2')
    """
    _mean(values)
    return max(values) - min(values)


def standard_deviation(values: Sequence[Decimal]) -> Decimal:
    """Take the standard deviation of a sample (divisor n - 1).

    Parameters: values [one unit, 2 or more, finite].
    Raises: NotApplicable for fewer than two readings, NumberMalformed as `mean`.
    Source: ISO 3534-1, sample standard deviation (from memory).

    >>> standard_deviation([Decimal("2"), Decimal("4"), Decimal("6")])
    Decimal('2')
    """
    if len(values) < 2:
        raise NotApplicable(
            f"a standard deviation needs two readings, and there are {len(values)}",
            "send two readings or more",
        )
    centre = _mean(values)
    squares = sum((Fraction(value) - centre) ** 2 for value in values)
    return decimal_of(Fraction(squares) / (len(values) - 1)).sqrt()


def repeatability(values: Sequence[Decimal]) -> Repeatability:
    """Summarise replicate readings.

    Parameters: values [one unit, 1 or more, finite].
    Raises: as `mean`. Source: common practice; the range in percent is of the mean.

    >>> repeatability([Decimal("55.24"), Decimal("55.40")]).range
    Decimal('0.16')
    """
    centre = mean(values)
    spread = value_range(values)
    several = len(values) > 1
    return Repeatability(
        count=len(values),
        mean=centre,
        low=min(values),
        high=max(values),
        range=spread,
        standard_deviation=standard_deviation(values) if several else None,
        range_percent=abs(100 * spread / centre) if several and centre else None,
    )


def _mean(values: Sequence[Decimal]) -> Fraction:
    if not values:
        raise NotApplicable("there are no readings", "send one reading or more")
    for value in values:
        if not value.is_finite():
            raise NumberMalformed(f"{value} is not a finite number", "send a number such as 1.5")
    return sum((Fraction(value) for value in values), Fraction(0)) / len(values)
