"""Colours as they were read: on which scale, and on the melt, a cube or a solution.

What was read stays as it is. A grade on a cube and a Gardner colour of a solution are two facts
that nothing turns into each other, so readings of different kinds are not compared.
"""

import re
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.gardner import DARKER, DARKEST, LIGHTER, LIGHTEST, rosin_grades
from service.science.names import words
from service.science.ranges import above, one_of

NOT_ON_SCALE = "not on this scale"
_GARDNER = "Gardner"
_ROSIN = "rosin grade"
_SOLUTION = "solution"
# Whole steps and halves, 1 to 18.
_GARDNER_READING = re.compile(r"(?:[1-9]|1[0-7])(?:\.5)?|18")


class ColourReading(NamedTuple):
    """A colour as it was read.

    Fields: scale [one of `colour_scales()`]; reading [text, such as 11, 11.5, < 1, > 18, WW, or
    not on this scale]; sample [one of `colour_samples()`; what was looked at]; solvent [text,
    only of a solution]; solids_percent [%, above 0 up to 100; in the solution, only of a
    solution].
    """

    scale: str
    reading: str
    sample: str
    solvent: str | None = None
    solids_percent: Decimal | None = None


class ColourOrder(NamedTuple):
    """Which is darker (first, second, neither), and by how many steps where that can be said."""

    darker: str
    steps: Decimal | None
    notes: tuple[str, ...]


def colour_scales() -> tuple[str, ...]:
    """List the scales on which a colour is read by eye.

    Parameters: none. Raises: nothing. Returns: the scales. Source: common practice.

    >>> colour_scales()
    ('Gardner', 'rosin grade')
    """
    return (_GARDNER, _ROSIN)


def colour_samples() -> tuple[str, ...]:
    """List what is looked at when a colour is read.

    Parameters: none. Raises: nothing. Returns: the words. Source: common practice.

    >>> colour_samples()
    ('liquid', 'melt', 'cube', 'solution')
    """
    return ("liquid", "melt", "cube", _SOLUTION)


def compare_colour_readings(first: ColourReading, second: ColourReading) -> ColourOrder:
    """Tell which of two readings is the darker, if they can be compared at all.

    Parameters: first, second [a `ColourReading`].
    Returns: which is darker, and by how many steps of the scale; no steps beyond its ends.
    Raises: OutOfRange for a word or a reading that the scale has not; NotApplicable for two
    scales, two kinds of sample, two solutions, or a colour that is not on the scale.
    Source: common practice: readings are kept as read and compared like with like.

    >>> compare_colour_readings(ColourReading("Gardner", "7", "liquid"),
    ...                         ColourReading("Gardner", "8.5", "liquid"))
    ColourOrder(darker='second', steps=Decimal('1.5'), notes=())
    """
    at, other = _order(first, "first"), _order(second, "second")
    _alike(first, second)
    beyond = {each.reading for each in (first, second)} & {LIGHTER, DARKER}
    if at == other:
        notes = ("both lie beyond the end of the scale, which does not tell them apart",)
        return ColourOrder("neither", None if beyond else Decimal(0), notes if beyond else ())
    darker = "first" if at > other else "second"
    notes = ("one lies beyond the end of the scale: by how much is not known",)
    return ColourOrder(darker, None if beyond else abs(at - other), notes if beyond else ())


def _order(reading: ColourReading, name: str) -> Decimal:
    """Where the reading stands on its scale, counted towards the dark."""
    one_of(reading.scale, colour_scales(), name=f"{name}/scale")
    one_of(reading.sample, colour_samples(), name=f"{name}/sample")
    if reading.sample == _SOLUTION:
        _check_solution(reading, name)
    if reading.solids_percent is not None:
        above(reading.solids_percent, 0, high=100, name=f"{name}/solids_percent")
    if reading.reading == NOT_ON_SCALE:
        raise NotApplicable(
            "a colour that is not on the scale has no place in its order",
            "keep the reading as it is, or measure L*, a* and b*",
            field=f"{name}/reading",
        )
    if reading.scale == _ROSIN:
        grade = one_of(reading.reading, rosin_grades(), name=f"{name}/reading")
        return Decimal(rosin_grades().index(grade))
    return _gardner(reading.reading, f"{name}/reading")


def _gardner(reading: str, name: str) -> Decimal:
    ends = {LIGHTER: LIGHTEST - 1, DARKER: DARKEST + 1}
    if reading in ends:
        return Decimal(ends[reading])
    if not _GARDNER_READING.fullmatch(reading):
        raise OutOfRange(
            f"“{reading[:40]}” is no Gardner colour",
            f"send 1 to 18 by halves, {LIGHTER}, {DARKER} or {NOT_ON_SCALE}",
            field=name,
        )
    return Decimal(reading)


def _check_solution(reading: ColourReading, name: str) -> None:
    if not reading.solvent or not reading.solvent.strip():
        raise NotApplicable(
            "a colour of a solution is not stated without its solvent",
            "name the solvent",
            field=f"{name}/solvent",
        )
    if reading.solids_percent is None:
        raise NotApplicable(
            "a colour of a solution is not stated without its strength",
            "send the percent of solids in it",
            field=f"{name}/solids_percent",
        )


def _alike(first: ColourReading, second: ColourReading) -> None:
    for name, one, other in zip(
        ("scale", "sample", "solvent", "solids_percent"), _kind(first), _kind(second), strict=True
    ):
        if one != other:
            raise NotApplicable(
                f"one was read with {words(name)} {one!s:.40}, the other with {other!s:.40}",
                "compare readings of the same kind only",
                field=f"second/{name}",
            )


def _kind(reading: ColourReading) -> tuple[str | Decimal | None, ...]:
    """What two readings must share to be compared."""
    if reading.sample != _SOLUTION:
        return reading.scale, reading.sample, None, None
    solvent = (reading.solvent or "").strip().casefold()
    return reading.scale, reading.sample, solvent, reading.solids_percent
