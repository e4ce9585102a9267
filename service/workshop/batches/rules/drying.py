"""Whether a stage weighed again and again has come to constant mass: pure."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Protocol


class WeighedIn(Protocol):
    """One weigh-in, of which only the mass matters here."""

    @property
    def amount_mg(self) -> int | None: ...


def change_percent(before_mg: int, now_mg: int) -> Decimal:
    """How much heavier in percent of before, to a hundredth; below 0: lighter."""
    share = 100 * Fraction(now_mg - before_mg, before_mg)
    return round(Decimal(share.numerator) / share.denominator, 2)


def constant(weigh_ins: Sequence[WeighedIn], within_percent: Decimal) -> bool:
    """Whether the last two differ by no more than that, in percent of the last; of fewer than two
    nothing is known."""
    if len(weigh_ins) < 2:
        return False
    before, last = (each.amount_mg or 0 for each in weigh_ins[-2:])
    return 100 * Fraction(abs(last - before)) <= Fraction(within_percent) * last
