"""Gloss readings: which angle to read at, their mean, and what an exposure took of it."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, count, one_of, within
from service.science.statistics import mean

_GLOSSIEST = 200
_GLOSSIEST_METAL = 2000
_HIGH_GLOSS, _LOW_GLOSS = 70, 10
_MATT_UP_TO = 25
_FEWEST = 3
_METAL = "metal"
_ALONG, _ACROSS = "wood, along the grain", "wood, across the grain"


class GlossGeometry(NamedTuple):
    """The angle to report in degrees, and matt or glossy by the EU paint directive."""

    geometry: str
    eu_paint_directive: str
    notes: tuple[str, ...]


class GlossMean(NamedTuple):
    """The mean with its angle and ground, which are part of it, and the spread of the readings."""

    mean_gu: Decimal
    geometry: str
    surface: str
    lowest_gu: Decimal
    highest_gu: Decimal
    readings: int
    notes: tuple[str, ...]


class GlossChange(NamedTuple):
    """Gloss after less gloss before, and what is left of it."""

    change_gu: Decimal
    retained_percent: Decimal
    geometry: str


def gloss_geometries() -> tuple[str, ...]:
    """List the angles of incidence at which gloss is read, in degrees.

    Parameters: none. Raises: nothing. Returns: the angles. Source: ISO 2813 (from memory).

    >>> gloss_geometries()
    ('20', '60', '85')
    """
    return ("20", "60", "85")


def gloss_surfaces() -> tuple[str, ...]:
    """List the grounds on which gloss is read.

    Parameters: none. Raises: nothing. Returns: the words. Source: common practice.

    >>> gloss_surfaces()[0]
    'black card'
    """
    return ("black card", "black glass", _ALONG, _ACROSS, _METAL)


def gloss_geometry(gloss_60_gu: Decimal) -> GlossGeometry:
    """Choose the angle at which a gloss is read, from a first reading at 60 degrees.

    Parameters: gloss_60_gu [GU, 0-200; read at 60 degrees].
    Returns: the angle, and matt or glossy by the limit of 25 GU.
    Raises: OutOfRange outside. Source: ISO 2813 practice: above 70 GU read at 20 degrees, below
    10 GU at 85 (from memory); Directive 2004/42/EC Annex I 1.1 (a) and (b) by its German
    transposition.

    >>> gloss_geometry(Decimal(82)).geometry
    '20'
    """
    within(gloss_60_gu, 0, high=_GLOSSIEST, name="gloss_60_gu")
    geometry = "20" if gloss_60_gu > _HIGH_GLOSS else "85" if gloss_60_gu < _LOW_GLOSS else "60"
    border = "matt" if gloss_60_gu <= _MATT_UP_TO else "glossy"
    return GlossGeometry(geometry, border, ("state the angle with every gloss",))


def gloss_mean(readings_gu: Sequence[Decimal], geometry: str, *, surface: str) -> GlossMean:
    """Average gloss readings of one film at one angle.

    Parameters: readings_gu [GU, each 0-2000; above 200 on metal only, three or more]; geometry
    [one of `gloss_geometries()`]; surface [one of `gloss_surfaces()`; the ground of the film].
    Returns: the mean with its angle and ground, the lowest and the highest reading.
    Raises: OutOfRange for a reading, an angle or a ground; NotApplicable for an empty list.
    Source: ISO 2813: mean of three or more readings (from memory); black glass of refractive
    index 1.567 is 100 GU at each angle.

    >>> gloss_mean([Decimal(81), Decimal(83), Decimal(82)], "60", surface="black card").mean_gu
    Decimal('82')
    """
    taken = count(readings_gu, 1, name="readings_gu")
    one_of(geometry, gloss_geometries(), name="geometry")
    one_of(surface, gloss_surfaces(), name="surface")
    for place, reading in enumerate(readings_gu):
        within(reading, 0, high=_GLOSSIEST_METAL, name=f"readings_gu/{place}")
        if reading > _GLOSSIEST and surface != _METAL:
            raise OutOfRange(
                f"a film read {reading:.6g} GU",
                "send up to 200, on metal up to 2000",
                field=f"readings_gu/{place}",
            )
    average = mean(readings_gu)
    notes = _notes(average, geometry, surface=surface, taken=taken)
    return GlossMean(average, geometry, surface, min(readings_gu), max(readings_gu), taken, notes)


def gloss_change(
    before_gu: Decimal, after_gu: Decimal, *, geometry_before: str, geometry_after: str
) -> GlossChange:
    """Work out what an exposure or a year did to the gloss.

    Parameters: before_gu [GU, above 0 up to 2000]; after_gu [GU, 0-2000]; geometry_before [one of
    `gloss_geometries()`]; geometry_after [one of `gloss_geometries()`; the same].
    Returns: the change in GU, below 0 for dulling, and the gloss retained in %.
    Raises: OutOfRange for a number or an angle; NotApplicable for two different angles.
    Source: common practice; gloss units of different angles are different scales.

    >>> gloss_change(Decimal(80), Decimal(60), geometry_before="60", geometry_after="60").change_gu
    Decimal('-20')
    """
    above(before_gu, 0, high=_GLOSSIEST_METAL, name="before_gu")
    within(after_gu, 0, high=_GLOSSIEST_METAL, name="after_gu")
    one_of(geometry_before, gloss_geometries(), name="geometry_before")
    one_of(geometry_after, gloss_geometries(), name="geometry_after")
    if geometry_before != geometry_after:
        raise NotApplicable(
            f"one gloss was read at {geometry_before} degrees, the other at {geometry_after}",
            "read both at the same angle",
            field="geometry_after",
        )
    return GlossChange(after_gu - before_gu, 100 * after_gu / before_gu, geometry_before)


def _notes(average: Decimal, geometry: str, *, surface: str, taken: int) -> tuple[str, ...]:
    notes = []
    if taken < _FEWEST:
        notes.append(f"{taken} of at least {_FEWEST} readings")
    if surface in (_ALONG, _ACROSS):
        notes.append(f"a clear film shows its ground: report it as “on {surface}”")
    if surface == _ACROSS:
        notes.append("wood is read along the grain")
    if geometry == "60" and average > _HIGH_GLOSS:
        notes.append("above 70 GU at 60 degrees: read it at 20")
    if geometry == "60" and average < _LOW_GLOSS:
        notes.append("below 10 GU at 60 degrees: read it at 85")
    return tuple(notes)
