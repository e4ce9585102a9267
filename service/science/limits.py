"""A result beside its limit: compared as it was reckoned, or rounded to the limit's last place."""

from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import number, one_of, positive
from service.science.rounding import plain, round_half_even

_AT_MOST = "at most"
_AT_LEAST = "at least"
_ROUNDING = "rounding"
_ABSOLUTE = "absolute"
_ONLY_ROUNDED = (
    "beyond the limit before rounding: limits of law on VOC, lead and net contents go by the "
    "absolute method"
)


class LimitVerdict(NamedTuple):
    """Whether a result keeps a limit, the figure that was compared, and what is left to it."""

    holds: bool
    compared: Decimal
    margin: Decimal
    step: Decimal | None
    notes: tuple[str, ...]


def limit_sides() -> tuple[str, ...]:
    """List on which side of a limit a result has to lie.

    Parameters: none. Raises: nothing. Returns: the sides. Source: common practice.

    >>> limit_sides()
    ('at most', 'at least')
    """
    return (_AT_MOST, _AT_LEAST)


def comparison_methods() -> tuple[str, ...]:
    """List the two ways of comparing a result with a limit.

    Parameters: none. Raises: nothing. Returns: the methods. Source: ASTM E29 (from memory).

    >>> comparison_methods()
    ('rounding', 'absolute')
    """
    return (_ROUNDING, _ABSOLUTE)


def compare_with_limit(
    value: Decimal,
    limit: Decimal,
    *,
    side: str,
    method: str = _ROUNDING,
    step: Decimal | None = None,
) -> LimitVerdict:
    """Compare a result with a limit, and say by which method.

    Parameters: value [1, any; the result before any rounding, in any unit]; limit [1, any; in the
    same unit, with the places that count]; side [one of `limit_sides()`]; method [one of
    `comparison_methods()`; rounding for test results, absolute for VOC and net contents];
    step [1, above 0; where the result is rounded to, None: the last place of the limit].
    Returns: whether it holds, the compared figure, and the margin, which is below 0 beyond the
    limit.
    Raises: OutOfRange for a number that cannot be reckoned with or an unknown word.
    Source: ASTM E29, rounding method and absolute method (from memory).

    >>> compare_with_limit(Decimal("35.04"), Decimal("35.0"), side="at most").holds
    True
    """
    number(value, "value")
    number(limit, "limit")
    one_of(side, limit_sides(), name="side")
    one_of(method, comparison_methods(), name="method")
    if step is not None:
        positive(step, "step")
    place = (step or _last_place(limit)) if method == _ROUNDING else None
    compared = value if place is None else round_half_even(value, place)
    margin = limit - compared if side == _AT_MOST else compared - limit
    how = "as it stands" if place is None else f"rounded to {plain(place)}, a tie to the even place"
    notes = [f"the result was compared {how}"]
    unrounded = limit - value if side == _AT_MOST else value - limit
    if margin >= 0 > unrounded:
        notes.append(_ONLY_ROUNDED)
    return LimitVerdict(margin >= 0, compared, margin, place, tuple(notes))


def _last_place(limit: Decimal) -> Decimal:
    exponent = limit.as_tuple().exponent
    return Decimal(1).scaleb(min(int(exponent), 0))
