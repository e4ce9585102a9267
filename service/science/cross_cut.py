"""Adhesion by cross-cut: the class that a removed area means, and how far apart the cuts are."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import above, one_of, within
from service.science.tables import rows

_THICKEST_UM = 250
_HARD, _SOFT = "hard", "soft"
_CUTS = 6


class CrossCutClass(NamedTuple):
    """The class by ISO 2409, 0 best, and by ASTM D3359 method B, 5B best (None: not defined)."""

    iso_2409: str
    astm_d3359: str | None
    notes: tuple[str, ...]


class CutterSpacing(NamedTuple):
    """The distance of the cuts, and how many there are each way."""

    spacing_mm: Decimal
    cuts: int
    notes: tuple[str, ...]


class _Band(NamedTuple):
    up_to_percent: Decimal
    iso: str
    astm: str
    at_limit: bool


def cross_cut_substrates() -> tuple[str, ...]:
    """List the kinds of ground that decide the distance of the cuts; wood is soft.

    Parameters: none. Raises: nothing. Returns: the words. Source: ISO 2409 (from memory).

    >>> cross_cut_substrates()
    ('hard', 'soft')
    """
    return (_HARD, _SOFT)


def cross_cut_class(removed_percent: Decimal) -> CrossCutClass:
    """Turn the area that a cross-cut removed into its class.

    Parameters: removed_percent [%, 0-100; of the area cut].
    Returns: the class by ISO 2409 and by ASTM D3359 method B; none by ASTM at exactly 5, 15 or
    35 %, where its wording leaves a gap.
    Raises: OutOfRange outside.
    Source: ISO 2409 classes 0 to 3 and ASTM D3359 method B (read), ISO classes 4 and 5 (from
    memory).

    >>> cross_cut_class(Decimal(12)).iso_2409, cross_cut_class(Decimal(12)).astm_d3359
    ('2', '3B')
    """
    within(removed_percent, 0, high=100, name="removed_percent")
    band = next(band for band in _bands() if removed_percent <= band.up_to_percent)
    if removed_percent == band.up_to_percent and not band.at_limit:
        note = f"ASTM D3359 does not define exactly {band.up_to_percent} %: store the inspector's"
        return CrossCutClass(band.iso, None, (f"{note} class",))
    return CrossCutClass(band.iso, band.astm, ())


def cutter_spacing(film_um: Decimal, substrate: str) -> CutterSpacing:
    """Choose the cutter of a cross-cut by the thickness of the film.

    Parameters: film_um [µm, above 0 up to 250; dry film]; substrate [one of
    `cross_cut_substrates()`; wood and plaster are soft].
    Returns: the distance of the cuts and their number each way.
    Raises: OutOfRange for either; thicker films are not tested so.
    Source: ISO 2409 (from memory).

    >>> cutter_spacing(Decimal(45), "soft").spacing_mm
    Decimal('2')
    """
    above(film_um, 0, high=_THICKEST_UM, name="film_um")
    soft = one_of(substrate, cross_cut_substrates(), name="substrate") == _SOFT
    spacing = (2 if soft else 1) if film_um <= 60 else 2 if film_um <= 120 else 3
    notes = ("on wood use ISO 2409 and say so: ASTM D3359 method B is for metal",) if soft else ()
    return CutterSpacing(Decimal(spacing), _CUTS, notes)


@functools.cache
def _bands() -> tuple[_Band, ...]:
    return tuple(
        _Band(
            Decimal(row["up_to_percent"]),
            row["iso_2409"],
            row["astm_d3359"],
            row["at_limit_astm"] == "yes",
        )
        for row in rows("cross_cut_bands.csv")
    )
