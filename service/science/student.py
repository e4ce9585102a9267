"""The quantile of the Student distribution, from its finite series."""

import functools
import math
from decimal import Decimal

from service.science.ranges import above, within
from service.science.rounding import from_float

# Halving the angle so often leaves an interval below the spacing of floats.
_HALVINGS = 60


def student_quantile(probability: Decimal, degrees_of_freedom: int) -> Decimal:
    """Find the t that a Student distribution stays below with a probability.

    Parameters: probability [1, above 0.5 up to 0.9999; one-sided: 0.975 for 95 % on both sides];
    degrees_of_freedom [1, 1-9999; the readings less one].
    Returns: [1] t, to 10 digits.
    Raises: OutOfRange for either.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4
    (from memory).

    >>> round(student_quantile(Decimal("0.995"), 29), 4)
    Decimal('2.7564')
    """
    above(probability, Decimal("0.5"), high=Decimal("0.9999"), name="probability")
    within(Decimal(degrees_of_freedom), 1, high=9999, name="degrees_of_freedom")
    return _quantile(probability, degrees_of_freedom)


@functools.lru_cache(maxsize=256)
def _quantile(probability: Decimal, degrees: int) -> Decimal:
    """Halve the angle whose tangent is t over the root of the degrees of freedom."""
    wanted = float(2 * probability - 1)
    low, high = 0.0, math.pi / 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _within(middle, degrees) < wanted else (low, middle)
    return from_float(math.sqrt(degrees) * math.tan((low + high) / 2))


def _within(angle: float, degrees: int) -> float:
    """The probability of lying between -t and t, for t of that angle."""
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = degrees % 2
    term, total = (cosine, 0.0) if odd else (1.0, 0.0)
    for step in range(2 + odd, degrees + 1, 2):
        total += term
        term *= cosine * cosine * (step - 1) / step
    return (angle + sine * total) * 2 / math.pi if odd else sine * total
