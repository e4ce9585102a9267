"""Thinning to a non-volatile content, raising it with a concentrate, and the Pearson square."""

from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import above, positive, within
from service.science.results import Standing

_NO_LOSS = "nothing may evaporate while it is stirred in"
_MEASURE = "measure the non-volatile of the mixture before it is filled"


class Addition(NamedTuple):
    """What to add, and how much it makes."""

    add_g: Decimal
    total_g: Decimal
    solid_g: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class Square(NamedTuple):
    """The parts of the strong and of the weak liquid, and their shares by mass."""

    strong_parts: Decimal
    weak_parts: Decimal
    strong_share_percent: Decimal
    weak_share_percent: Decimal
    strong_g: Decimal | None
    weak_g: Decimal | None


def thinner_to_non_volatile(
    mass_g: Decimal, non_volatile_percent: Decimal, *, target_percent: Decimal
) -> Addition:
    """Work out how much thinner brings a liquid down to a non-volatile content.

    Parameters: mass_g [g, above 0; of the liquid]; non_volatile_percent [%, above 0 up to 100;
    of the liquid now]; target_percent [%, above 0 up to 100; below the present one].
    Returns: the thinner, the mass it makes, and the solid matter in it.
    Raises: OutOfRange for any of them, or if the target is not below: thinner cannot raise it.
    Source: mass balance, m (NV1 / NV2 - 1).

    >>> thinner_to_non_volatile(Decimal(1000), Decimal(60), target_percent=Decimal(50)).add_g
    Decimal('200')
    """
    mass = positive(mass_g, "mass_g")
    now = above(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    target = above(target_percent, 0, high=100, name="target_percent")
    if target >= now:
        raise OutOfRange(
            f"{target:.6g} % is not below {now:.6g} %, and thinner cannot raise it",
            "send a lower target, or work out how much concentrate raises it",
            field="target_percent",
        )
    add = mass * (now - target) / target
    solid = mass * now / 100
    return Addition(add, mass + add, solid, Standing.EXACT, _NO_LOSS, (_MEASURE,))


def concentrate_to_non_volatile(
    mass_g: Decimal,
    non_volatile_percent: Decimal,
    *,
    concentrate_percent: Decimal,
    target_percent: Decimal,
) -> Addition:
    """Work out how much of a concentrate brings a liquid up to a non-volatile content.

    Parameters: mass_g [g, above 0; of the liquid]; non_volatile_percent [%, 0-100; of the liquid
    now]; concentrate_percent [%, above 0 up to 100; non-volatile of the concentrate];
    target_percent [%, above 0 up to 100; above that of the liquid and below that of the
    concentrate].
    Returns: the concentrate, the mass it makes, and the solid matter in it.
    Raises: OutOfRange for any of them, or if the target does not lie between.
    Source: mass balance, m (NVt - NV1) / (NVc - NVt).

    >>> concentrate_to_non_volatile(Decimal(1000), Decimal(40), concentrate_percent=Decimal(80),
    ...                             target_percent=Decimal(60)).add_g
    Decimal('1000')
    """
    mass = positive(mass_g, "mass_g")
    now = within(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    strong = above(concentrate_percent, 0, high=100, name="concentrate_percent")
    target = above(target_percent, 0, high=100, name="target_percent")
    if not now < target < strong:
        raise OutOfRange(
            f"{target:.6g} % does not lie between {now:.6g} and {strong:.6g} %",
            "send a target above the liquid and below the concentrate",
            field="target_percent",
        )
    add = mass * (target - now) / (strong - target)
    solid = (mass * now + add * strong) / 100
    return Addition(add, mass + add, solid, Standing.EXACT, _NO_LOSS, (_MEASURE,))


def pearson_square(
    strong_percent: Decimal,
    weak_percent: Decimal,
    *,
    target_percent: Decimal,
    total_g: Decimal | None = None,
) -> Square:
    """Work out in which parts by mass a strong and a weak liquid make one between them.

    Parameters: strong_percent [%, 0-100; by mass]; weak_percent [%, 0-100; by mass, below the
    strong]; target_percent [%, 0-100; from the weak up to the strong]; total_g [g, above 0; to
    be made], None for parts alone.
    Returns: the parts, their shares, and the masses if a total is sent.
    Raises: OutOfRange for any of them, or if the weak is not below the strong or the target
    outside.
    Source: Pearson square, target - weak parts of the strong to strong - target of the weak.

    >>> square = pearson_square(Decimal(60), Decimal(35), target_percent=Decimal(45))
    >>> square.strong_parts, square.weak_parts
    (Decimal('10'), Decimal('15'))
    """
    strong = within(strong_percent, 0, high=100, name="strong_percent")
    weak = within(weak_percent, 0, high=100, name="weak_percent")
    target = within(target_percent, 0, high=100, name="target_percent")
    if not weak < strong:
        raise OutOfRange(
            f"{weak:.6g} % is not below {strong:.6g} %",
            "send the stronger first",
            field="weak_percent",
        )
    if not weak <= target <= strong:
        raise OutOfRange(
            f"{target:.6g} % does not lie from {weak:.6g} to {strong:.6g} %",
            "send a target between the two",
            field="target_percent",
        )
    parts = strong - weak
    share = 100 * (target - weak) / parts
    total = None if total_g is None else positive(total_g, "total_g")
    return Square(
        target - weak,
        strong - target,
        share,
        100 - share,
        None if total is None else total * share / 100,
        None if total is None else total * (100 - share) / 100,
    )
