"""Ratings of films: the scales with their direction, and which of two ratings is the better.

Scales run both ways (0 is best in ISO 2409, 5 in EN 12720), so a rating is never read without
the name of its scale.
"""

import functools
import re
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import count, one_of
from service.science.tables import rows

_HALF = re.compile(r"([0-9])\.5")
_STEP = Decimal("0.5")
_TWO_AGREE = "two agree"


class RatingScale(NamedTuple):
    """A scale: its ends, its values from the best to the worst, and how it is used."""

    best: str
    worst: str
    values: tuple[str, ...]
    standard: str
    measures: str
    half_steps: bool
    replicates: int
    report: str


class RatingCheck(NamedTuple):
    """Whether the scale has the rating, and what it has."""

    valid: bool
    values: tuple[str, ...]
    notes: tuple[str, ...]


class RatingOrder(NamedTuple):
    """Which rating is the better (first, second, neither), by how many steps, and the best end."""

    better: str
    steps: Decimal
    best: str


class ReportedRating(NamedTuple):
    """What to report of the replicates (None where they do not agree), and their range."""

    rating: str | None
    best_seen: str
    worst_seen: str
    replicates: int
    notes: tuple[str, ...]


def rating_scales() -> tuple[str, ...]:
    """List the scales on which films are rated.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/rating_scales.csv.

    >>> rating_scales()[0]
    'ISO2409'
    """
    return tuple(_scales())


def rating_scale(scale: str) -> RatingScale:
    """Look up a rating scale with its direction.

    Parameters: scale [one of `rating_scales()`].
    Returns: its best and its worst value, all values from the best on, whether half steps may be
    agreed, how many replicates it wants and how they are reported.
    Raises: OutOfRange for another word.
    Source: ISO 4628-1:2016 clause 3, ISO 2409, ASTM D3359, EN 12720, ASTM D4752, ISO 9117-5, ISO
    15184, in part from memory (tables/rating_scales.csv).

    >>> rating_scale("D3359-B").best
    '5B'
    """
    return _scales()[one_of(scale, rating_scales(), name="scale")]


def rating_valid(scale: str, rating: str, *, half_steps: bool = False) -> RatingCheck:
    """Tell whether a scale has a rating.

    Parameters: scale [one of `rating_scales()`]; rating [text, such as 0, 2.5 or 4B]; half_steps
    [yes or no, whether half steps were agreed].
    Returns: whether it has it, and the values it has from the best to the worst.
    Raises: OutOfRange for an unknown scale. Source: ISO 4628-1:2016 clause 3 on half steps;
    tables/rating_scales.csv.

    >>> rating_valid("ISO4628-QUANTITY", "2.5", half_steps=True).valid
    True
    """
    held = rating_scale(scale)
    steps = _steps(held, rating, half_steps=half_steps)
    notes: tuple[str, ...] = ()
    if steps is None and _steps(held, rating, half_steps=held.half_steps) is not None:
        notes = ("half steps hold only where they were agreed",)
    elif steps is None:
        notes = (f"{held.standard} runs from {held.best}, the best, to {held.worst}",)
    return RatingCheck(steps is not None, held.values, notes)


def better_rating(scale: str, first: str, *, second: str, half_steps: bool = False) -> RatingOrder:
    """Tell which of two ratings on one scale is the better.

    Parameters: scale [one of `rating_scales()`; of both, ratings of two scales are not compared];
    first, second [text, ratings of that scale]; half_steps [yes or no, whether half steps were
    agreed].
    Returns: which is better, by how many steps, and which end of the scale is the best.
    Raises: OutOfRange for a scale or a rating that is not in it.
    Source: the direction of each scale, tables/rating_scales.csv.

    >>> better_rating("ISO2409", "1", second="3").better, better_rating("EN12720", "1",
    ...                                                                second="3").better
    ('first', 'second')
    """
    held = rating_scale(scale)
    one = _in_scale(held, first, half_steps=half_steps, name="first")
    other = _in_scale(held, second, half_steps=half_steps, name="second")
    better = "neither" if one == other else "first" if one < other else "second"
    return RatingOrder(better, abs(one - other), held.best)


def reported_rating(
    scale: str, ratings: Sequence[str], *, half_steps: bool = False
) -> ReportedRating:
    """Say what is reported of ratings of the same test.

    Parameters: scale [one of `rating_scales()`]; ratings [texts, one a panel or a place];
    half_steps [yes or no, whether half steps were agreed].
    Returns: the rating to report, with the best and the worst that was seen: the one on which
    two agree by ISO 2812 and ISO 4628, the worst elsewhere.
    Raises: OutOfRange for a scale or a rating that is not in it; NotApplicable without ratings.
    Source: EN 12720 reports the lower of two, ISO 2812 asks that two of three agree (both from
    memory); the worst on the other scales is common practice.

    >>> reported_rating("EN12720", ["4", "3"]).rating
    '3'
    """
    held = rating_scale(scale)
    taken = count(ratings, 1, name="ratings")
    steps = [
        _in_scale(held, rating, half_steps=half_steps, name=f"ratings/{place}")
        for place, rating in enumerate(ratings)
    ]
    order = sorted(range(taken), key=steps.__getitem__)
    best, worst = ratings[order[0]], ratings[order[-1]]
    agreed = worst if held.report != _TWO_AGREE else _agreed(ratings, worst)
    notes = []
    if taken < held.replicates:
        notes.append(f"{taken} of {held.replicates} replicates")
    if agreed is None:
        notes.append("no two of them agree alone: repeat the test, or report each")
    elif steps[order[-1]] - steps[order[0]] > 1:
        notes.append("they lie more than a step apart: report each")
    return ReportedRating(agreed, best, worst, taken, tuple(notes))


def _agreed(ratings: Sequence[str], alone: str) -> str | None:
    """The rating that most panels have, if two have it; one panel speaks for itself."""
    if len(ratings) == 1:
        return alone
    often = sorted(set(ratings), key=ratings.count, reverse=True)
    most = ratings.count(often[0])
    tied = len(often) > 1 and ratings.count(often[1]) == most
    return None if most == 1 or tied else often[0]


def _in_scale(held: RatingScale, rating: str, *, half_steps: bool, name: str) -> Decimal:
    steps = _steps(held, rating, half_steps=half_steps)
    if steps is None:
        halves = ", and half steps if they were agreed" if held.half_steps else ""
        raise OutOfRange(
            f"“{rating[:40]}” is not in the scale of {held.standard}",
            f"use one of: {', '.join(held.values)}{halves}",
            field=name,
        )
    return steps


def _steps(held: RatingScale, rating: str, *, half_steps: bool) -> Decimal | None:
    """How many steps below the best a rating stands; None where the scale has it not."""
    if rating in held.values:
        return Decimal(held.values.index(rating))
    found = _HALF.fullmatch(rating)
    if not (found and half_steps and held.half_steps):
        return None
    ends = (found[1], str(int(found[1]) + 1))
    if not all(end in held.values for end in ends):
        return None
    return min(Decimal(held.values.index(end)) for end in ends) + _STEP


@functools.cache
def _scales() -> dict[str, RatingScale]:
    return {row["scale"]: _scale(row) for row in rows("rating_scales.csv")}


def _scale(row: dict[str, str]) -> RatingScale:
    values = tuple(row["values"].split("|"))
    return RatingScale(
        best=values[0],
        worst=values[-1],
        values=values,
        standard=row["standard"],
        measures=row["measures"],
        half_steps=row["half_steps"] == "yes",
        replicates=int(row["replicates"]),
        report=row["report"],
    )
