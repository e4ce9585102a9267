"""Bending a coated sheet over mandrels: the smallest that leaves the film whole."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import count, number
from service.science.rounding import plain

_DIAMETERS_MM = (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32)
_PANELS = 3


class Bend(NamedTuple):
    """One panel bent.

    Fields: mandrel_mm [mm, 2-32; one of `mandrels()`]; cracked [yes or no, whether the film
    cracked].
    """

    mandrel_mm: Decimal
    cracked: bool


class BendResult(NamedTuple):
    """The smallest mandrel without a crack, None if all cracked, and the largest with one."""

    smallest_mm: Decimal | None
    cracked_at_mm: Decimal | None
    panels: int
    notes: tuple[str, ...]


def mandrels() -> tuple[str, ...]:
    """List the diameters of the mandrels in mm.

    Parameters: none. Raises: nothing. Returns: the diameters. Source: ISO 1519 (from memory).

    >>> mandrels()[0], mandrels()[-1]
    ('2', '32')
    """
    return tuple(str(diameter) for diameter in _DIAMETERS_MM)


def bend_result(bends: Sequence[Bend]) -> BendResult:
    """Find the smallest mandrel over which a film bends without a crack.

    Parameters: bends [list of `Bend`; three panels a mandrel].
    Returns: the smallest mandrel that is larger than every one that cracked the film.
    Raises: OutOfRange for a mandrel that is not in the set, NotApplicable for an empty list.
    Source: ISO 1519 (from memory); lower is better.

    >>> bend_result([Bend(Decimal(5), False), Bend(Decimal(4), True)]).smallest_mm
    Decimal('5')
    """
    taken = count(bends, 1, name="bends")
    for place, each in enumerate(bends):
        _check(each.mandrel_mm, f"bends/{place}/mandrel_mm")
    crack = max((each.mandrel_mm for each in bends if each.cracked), default=None)
    whole = [each.mandrel_mm for each in bends if not each.cracked]
    smallest = min((size for size in whole if crack is None or size > crack), default=None)
    notes = []
    if smallest is not None and whole.count(smallest) < _PANELS:
        notes.append(f"{whole.count(smallest)} of {_PANELS} panels at the smallest without a crack")
    if crack is not None:
        notes.extend(_passed_below(crack, whole))
    if smallest is None:
        cracked = "the largest mandrel tried" if whole else "every mandrel"
        notes.append(f"{cracked} cracked it: go on to larger ones")
    elif crack is None:
        notes.append("no mandrel cracked it: go on to smaller ones, or report the smallest tried")
    return BendResult(smallest, crack, taken, tuple(notes))


def _passed_below(crack: Decimal, whole: Sequence[Decimal]) -> tuple[str, ...]:
    """A smaller mandrel bends harder, so a pass there speaks against the crack."""
    passed = [plain(size) for size in sorted(set(whole)) if size <= crack]
    if not passed:
        return ()
    return (f"it passed on {' and '.join(passed)} mm but cracked on {plain(crack)} mm: repeat",)


def _check(mandrel_mm: Decimal, name: str) -> None:
    if number(mandrel_mm, name) not in _DIAMETERS_MM:
        raise OutOfRange(
            f"there is no mandrel of {mandrel_mm:.6g} mm",
            f"use one of: {', '.join(mandrels())}",
            field=name,
        )
