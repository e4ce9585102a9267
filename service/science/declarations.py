"""The net contents as a US label declares them, customary beside metric, never rounded up."""

import functools
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import NamedTuple

from service.science.net_contents import LOCAL_LAW
from service.science.ranges import within
from service.science.rounding import plain
from service.science.tables import rows

_DIGITS = 3
_TENTH = Decimal("0.1")
_LEAST_MEASURE = 1
_LARGEST_MEASURE = 100_000
# How many of the small unit each larger one holds, the largest first.
_OUNCES = 16
_VOLUMES = (("GAL", 8 * _OUNCES), ("QT", 2 * _OUNCES), ("PT", _OUNCES))
_MASSES = (("LB", _OUNCES),)
_JUST_SHORT = Decimal("0.995")
_CUSTOMARY = "16 CFR 500 wants customary and metric on the principal display panel"


class VolumeDeclaration(NamedTuple):
    """The wording for a volume, its two halves, and the figures before and after rounding down."""

    declaration: str
    customary: str
    metric: str
    declared_us_fl_oz: Decimal
    declared_ml: Decimal
    unrounded_us_fl_oz: Decimal
    unrounded_ml: Decimal
    notes: tuple[str, ...]


class MassDeclaration(NamedTuple):
    """The wording for a weight, its two halves, and the figures before and after rounding down."""

    declaration: str
    customary: str
    metric: str
    declared_oz_av: Decimal
    declared_g: Decimal
    unrounded_oz_av: Decimal
    notes: tuple[str, ...]


def volume_declaration(volume_ml: Decimal) -> VolumeDeclaration:
    """Word the US declaration of a volume that is known in millilitres.

    Parameters: volume_ml [ml, 1-100000; what the pack holds at 20 °C].
    Returns: wording such as 8 FL OZ (236 mL), pints, quarts and gallons from one pint on, with the
    figures; the metric half alone is what an EU label says.
    Raises: OutOfRange for the volume.
    Source: 16 CFR 500.19, factor 29.5735 and three digits not rounded up; 16 CFR 500.10, largest
    whole unit with remainder (from memory).

    >>> volume_declaration(Decimal("236.588")).declaration
    '8 FL OZ (236 mL)'
    """
    within(volume_ml, _LEAST_MEASURE, high=_LARGEST_MEASURE, name="volume_ml")
    return _declared_volume(volume_ml / _factors()["fluid ounce"], volume_ml)


def fluid_ounce_declaration(volume_us_fl_oz: Decimal) -> VolumeDeclaration:
    """Word the declaration of a pack that was filled to US fluid ounces.

    Parameters: volume_us_fl_oz [US fl oz, 0.1-3000; what the pack holds at 20 °C].
    Returns: as `volume_declaration`; the metric half is what an EU label may say of that pack.
    Raises: OutOfRange for the volume.
    Source: 16 CFR 500.19, factor 29.5735 and three digits not rounded up; 16 CFR 500.10, largest
    whole unit with remainder (from memory).

    >>> fluid_ounce_declaration(Decimal(16)).declaration
    '1 PT (473 mL)'
    """
    within(volume_us_fl_oz, _TENTH, high=3000, name="volume_us_fl_oz")
    return _declared_volume(volume_us_fl_oz, volume_us_fl_oz * _factors()["fluid ounce"])


def mass_declaration(mass_g: Decimal) -> MassDeclaration:
    """Word the US declaration of a net weight, for waxes and pastes.

    Parameters: mass_g [g, 1-100000; net].
    Returns: wording such as NET WT 4 OZ (113 g), pounds from one pound on, with the figures.
    Raises: OutOfRange for the mass.
    Source: 16 CFR 500.19, factor 28.3495 and three digits not rounded up; 16 CFR 500.9, pounds
    with remainder (from memory).

    >>> mass_declaration(Decimal("113.4")).declaration
    'NET WT 4 OZ (113 g)'
    """
    within(mass_g, _LEAST_MEASURE, high=_LARGEST_MEASURE, name="mass_g")
    ounces = mass_g / _factors()["ounce"]
    declared, grams = _down(ounces), _down(mass_g)
    customary, metric = _in_units(declared, _MASSES, "OZ"), _metric(grams, "g", "kg")
    short = _short_of(ounces, _factors()["ounce"], "g", _MASSES, "OZ")
    return MassDeclaration(
        declaration=f"NET WT {customary} ({metric})",
        customary=customary,
        metric=metric,
        declared_oz_av=declared,
        declared_g=grams,
        unrounded_oz_av=ounces,
        notes=(_CUSTOMARY, *short, LOCAL_LAW),
    )


def _declared_volume(ounces: Decimal, volume_ml: Decimal) -> VolumeDeclaration:
    declared, millilitres = _down(ounces), _down(volume_ml)
    customary, metric = _in_units(declared, _VOLUMES, "FL OZ"), _metric(millilitres, "mL", "L")
    short = _short_of(ounces, _factors()["fluid ounce"], "mL", _VOLUMES, "FL OZ")
    return VolumeDeclaration(
        declaration=f"{customary} ({metric})",
        customary=customary,
        metric=metric,
        declared_us_fl_oz=declared,
        declared_ml=millilitres,
        unrounded_us_fl_oz=ounces,
        unrounded_ml=volume_ml,
        notes=(_CUSTOMARY, *short, LOCAL_LAW),
    )


def _down(value: Decimal) -> Decimal:
    """Three digits, rounded down, since a declaration must not promise more than there is."""
    place = Decimal(1).scaleb(value.adjusted() - _DIGITS + 1)
    return Decimal(plain(value.quantize(place, rounding=ROUND_FLOOR)))


def _tidy(value: Decimal) -> str:
    """Without zeros behind the point, which say nothing on a label."""
    return plain(value.normalize())


def _metric(value: Decimal, small: str, large: str) -> str:
    return f"{_tidy(value)} {small}" if value < 1000 else f"{_tidy(value / 1000)} {large}"


def _in_units(declared: Decimal, units: tuple[tuple[str, int], ...], small: str) -> str:
    """Whole units, the largest first, and what remains in the small unit."""
    parts, rest = [], declared
    for name, size in units:
        whole, rest = divmod(rest, size)
        if whole:
            parts.append(f"{_tidy(whole)} {name}")
    if rest or not parts:
        parts.append(f"{_tidy(rest)} {small}")
    return " ".join(parts)


def _short_of(
    ounces: Decimal, factor: Decimal, metric: str, units: tuple[tuple[str, int], ...], small: str
) -> tuple[str, ...]:
    """Say so where a hair more would make a whole number."""
    whole = ounces.to_integral_value(rounding=ROUND_CEILING)
    customary = whole < _OUNCES or whole % _OUNCES == 0
    if not customary or ounces == whole or ounces < _JUST_SHORT * whole:
        return ()
    needed = (whole * factor).quantize(_TENTH, rounding=ROUND_CEILING)
    named = _in_units(whole, units, small)
    return (f"from {_tidy(needed)} {metric} on it may say {named}",)


@functools.cache
def _factors() -> dict[str, Decimal]:
    """How much metric one US unit is, by the factors that must be used."""
    return {row["unit"]: Decimal(row["factor"]) for row in rows("us_conversion_factors.csv")}
