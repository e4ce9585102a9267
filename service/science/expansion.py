"""How oils and solvents swell with warmth: densities and volumes at another temperature."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.densities import STRAIGHT_LINE, density_at, plausible_density
from service.science.errors import NotApplicable
from service.science.ranges import above, one_of, positive, within
from service.science.results import Estimate, Standing
from service.science.tables import rows

_REFERENCE_C = 20


class Expansion(NamedTuple):
    """A density at another temperature, and the volume there of 1 l at 20 °C."""

    density_kg_l: Decimal
    expansion_ratio: Decimal
    standing: Standing
    why: str


class DensitySlope(NamedTuple):
    """How fast a density falls, with the density and the volume expansion at 20 °C."""

    slope_kg_m3_k: Decimal
    density_20_kg_l: Decimal
    expansion_per_k: Decimal
    standing: Standing
    why: str


class TypicalDensity(NamedTuple):
    """A density from the table with the span of the trade's goods, and what it rests on."""

    density_kg_l: Decimal
    lowest_kg_l: Decimal
    highest_kg_l: Decimal
    density_20_kg_l: Decimal
    slope_kg_m3_k: Decimal
    expansion_per_k: Decimal
    standing: Standing
    why: str


def expansion(
    density_20_kg_l: Decimal, temperature_c: Decimal, *, slope_kg_m3_k: Decimal
) -> Expansion:
    """Work out how an oil or a solvent thins out and swells from 20 °C to another temperature.

    Parameters: density_20_kg_l [kg/l, 0.6-2.0; at 20 °C]; temperature_c [°C, -20 to 350];
    slope_kg_m3_k [kg/m3/K, above 0 up to 2; drying oils about 0.67, turpentine about 0.82].
    Returns: the density there, and the volume of what was 1 l at 20 °C.
    Raises: OutOfRange for any of them, or where the line reaches a third of the density.
    Source: linear density; within 1 % for oils at 10-300 °C (from memory).

    >>> found = expansion(Decimal("0.930"), Decimal(280), slope_kg_m3_k=Decimal("0.67"))
    >>> found.density_kg_l, round(found.expansion_ratio, 4)
    (Decimal('0.7558'), Decimal('1.2305'))
    """
    hot = density_at(density_20_kg_l, temperature_c, slope_kg_m3_k=slope_kg_m3_k)
    return Expansion(hot, density_20_kg_l / hot, Standing.APPROXIMATE, STRAIGHT_LINE)


def volume_at(
    volume_20_ml: Decimal, temperature_c: Decimal, *, expansion_per_k: Decimal
) -> Estimate:
    """Take a volume from 20 °C to a temperature of the shelf or the road.

    Parameters: volume_20_ml [ml, above 0; at 20 °C]; temperature_c [°C, -20 to 40];
    expansion_per_k [1/K, above 0 up to 0.002; oils about 0.00072, solvents about 0.00095].
    Returns: [ml] the volume there.
    Raises: OutOfRange for any of them; hotter, the straight line of the density is the safer.
    Source: linear volume, 1 + expansion x (t - 20 °C); common practice.

    >>> volume_at(Decimal(1000), Decimal(30), expansion_per_k=Decimal("0.00072")).value
    Decimal('1007.20000')
    """
    positive(volume_20_ml, "volume_20_ml")
    within(temperature_c, -20, high=40, name="temperature_c")
    above(expansion_per_k, 0, high=Decimal("0.002"), name="expansion_per_k")
    volume = volume_20_ml * (1 + expansion_per_k * (temperature_c - _REFERENCE_C))
    why = "a straight line of volume over temperature, near 20 °C only"
    return Estimate(volume, Standing.APPROXIMATE, why)


def density_slope(
    cold_density_kg_l: Decimal, hot_density_kg_l: Decimal, *, cold_c: Decimal, hot_c: Decimal
) -> DensitySlope:
    """Find how fast a density falls from two densities of one liquid at two temperatures.

    Parameters: cold_density_kg_l [kg/l, 0.6-2.0]; hot_density_kg_l [kg/l, above 0; below the
    first]; cold_c [°C, -20 to 345]; hot_c [°C, up to 350; 5 K or more above the first].
    Returns: the slope, the density at 20 °C and the volume expansion there.
    Raises: OutOfRange for any of them; NotApplicable where the density does not fall, or falls
    faster than any liquid's.
    Source: linear density through two points; common practice.

    >>> found = density_slope(Decimal("0.9334"), Decimal("0.9267"), cold_c=Decimal(15),
    ...                       hot_c=Decimal(25))
    >>> found.slope_kg_m3_k, found.density_20_kg_l
    (Decimal('0.6700'), Decimal('0.93005'))
    """
    plausible_density(cold_density_kg_l, "cold_density_kg_l")
    positive(hot_density_kg_l, "hot_density_kg_l")
    within(cold_c, -20, high=345, name="cold_c")
    within(hot_c, cold_c + 5, high=350, name="hot_c")
    slope = 1000 * (cold_density_kg_l - hot_density_kg_l) / (hot_c - cold_c)
    if not 0 < slope <= 2:
        raise NotApplicable(
            f"the density would fall by {slope:.3f} kg/m3/K",
            "check which density goes with which temperature; liquids fall by up to 2 kg/m3/K",
            field="hot_density_kg_l",
        )
    at_20 = cold_density_kg_l + slope * (cold_c - _REFERENCE_C) / 1000
    return DensitySlope(slope, at_20, slope / at_20 / 1000, Standing.APPROXIMATE, STRAIGHT_LINE)


def typical_density(liquid: str, temperature_c: Decimal) -> TypicalDensity:
    """Look up what an oil or a solvent of the trade usually weighs at a temperature.

    Parameters: liquid [one of `liquids()`]; temperature_c [°C, any; solvents -20 to 40, oils
    10 to 300].
    Returns: the density, its span over the goods of the trade, and the slope to reckon with.
    Raises: OutOfRange for a liquid not in the table or a temperature where the line fails.
    Source: tables/liquid_expansion.csv; ethanol by OIML R 22, 2-propanol by VDI coefficients,
    the others from memory.

    >>> found = typical_density("linseed oil", Decimal(20))
    >>> found.density_kg_l, found.lowest_kg_l, found.highest_kg_l
    (Decimal('0.929'), Decimal('0.926'), Decimal('0.932'))
    """
    row = _liquids()[one_of(liquid, liquids(), name="liquid")]
    low, high = Decimal(row["coldest_c"]), Decimal(row["hottest_c"])
    above_20 = within(temperature_c, low, high=high, name="temperature_c") - _REFERENCE_C
    densities = Decimal(row["density_from"]), Decimal(row["density_to"])
    slopes = Decimal(row["slope_from"]), Decimal(row["slope_to"])
    at_20, slope = sum(densities, Decimal(0)) / 2, sum(slopes, Decimal(0)) / 2
    corners = [d - s * above_20 / 1000 for d in densities for s in slopes]
    return TypicalDensity(
        at_20 - slope * above_20 / 1000,
        min(corners),
        max(corners),
        at_20,
        slope,
        slope / at_20 / 1000,
        Standing.APPROXIMATE,
        f"a usual figure ({row['origin']}) along a straight line; measure your own",
    )


def liquids() -> tuple[str, ...]:
    """List the oils and solvents whose usual density is known here.

    Parameters: none. Raises: nothing. Source: tables/liquid_expansion.csv.

    >>> "tung oil" in liquids()
    True
    """
    return tuple(_liquids())


@functools.cache
def _liquids() -> dict[str, dict[str, str]]:
    return {row["liquid"]: row for row in rows("liquid_expansion.csv")}
