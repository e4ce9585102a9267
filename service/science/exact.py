"""Sums of exact fractions, added over one denominator: many times faster than one by one."""

import math
from collections.abc import Iterable
from fractions import Fraction


def added(parts: Iterable[Fraction]) -> Fraction:
    """Add up fractions exactly.

    Parameters: parts [any unit, all the same; any].
    Returns: their sum, in that unit; 0 of none. Raises: nothing. Source: arithmetic.

    >>> added([Fraction(1, 3), Fraction(1, 6), Fraction(2)])
    Fraction(5, 2)
    """
    ratios = [part.as_integer_ratio() for part in parts]
    whole = math.lcm(*(below for _, below in ratios))
    return Fraction(sum(above * (whole // below) for above, below in ratios), whole)
