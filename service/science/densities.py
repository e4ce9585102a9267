"""Densities: what is plausible, water, specific gravity, a pyknometer, another temperature."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, one_of, positive, within
from service.science.results import Estimate, Standing
from service.science.strength import ethanol_density
from service.science.tables import rows

STRAIGHT_LINE = "a straight line of density over temperature, within 1 % for oils at 10 to 300 °C"
_REFERENCE_C = 20
_LOWEST = Decimal("0.6")
_HIGHEST = Decimal(2)
_FINISHED = (Decimal("0.78"), Decimal("1.05"))


class GravityDensity(NamedTuple):
    """A density at the temperature of the sample, and the water it was compared with."""

    density_kg_l: Decimal
    temperature_c: Decimal
    water_density_kg_l: Decimal


class PyknometerDensity(NamedTuple):
    """A density with the masses of water and of sample that it came from."""

    density_kg_l: Decimal
    water_held_g: Decimal
    sample_held_g: Decimal
    notes: tuple[str, ...]


def plausible_density(density_kg_l: Decimal, name: str = "density_kg_l") -> Decimal:
    """Pass on a density that a product or a raw material of the trade can have.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; name [text, the caller's parameter to blame].
    Returns: [kg/l] the density. Raises: OutOfRange outside. Source: common practice.

    >>> plausible_density(Decimal("0.897"))
    Decimal('0.897')
    """
    return within(density_kg_l, _LOWEST, high=_HIGHEST, name=name)


def water_density(temperature_c: Decimal) -> Decimal:
    """Give the density of water, free of air, at a temperature.

    Parameters: temperature_c [°C, 0-40].
    Returns: [kg/l] the density. Raises: OutOfRange outside 0 to 40 °C.
    Source: OIML R 22 (1975), general formula without alcohol; the present temperature scale
    gives 0.000003 to 0.000007 kg/l more.

    >>> round(water_density(Decimal(20)), 6)
    Decimal('0.998201')
    """
    within(temperature_c, 0, high=40, name="temperature_c")
    return ethanol_density(Decimal(0), temperature_c)


def density_from_specific_gravity(specific_gravity: Decimal, basis: str) -> GravityDensity:
    """Turn a specific gravity into a density at the temperature of the sample.

    Parameters: specific_gravity [1, 0.6-2.0]; basis [one of `specific_gravity_bases()`], the
    temperature of the sample over that of the water, in °C but for 60/60F.
    Returns: the density, its temperature and the density of the water.
    Raises: OutOfRange for the number, or where the two temperatures are not stated.
    Source: OIML R 22 (1975), general formula without alcohol, for the water.

    >>> round(density_from_specific_gravity(Decimal("0.935"), "60/60F").density_kg_l, 5)
    Decimal('0.93407')
    """
    one_of(basis, specific_gravity_bases(), name="basis")
    value = within(specific_gravity, _LOWEST, high=_HIGHEST, name="specific_gravity")
    sample_c, water_c = _bases()[basis]
    water = water_density(water_c)
    return GravityDensity(value * water, sample_c, water)


def specific_gravity_bases() -> tuple[str, ...]:
    """List the pairs of temperatures by which a specific gravity may be stated.

    Parameters: none. Raises: nothing. Source: tables/specific_gravity_bases.csv.

    >>> "20/20" in specific_gravity_bases()
    True
    """
    return tuple(_bases())


def density_at(
    density_20_kg_l: Decimal, temperature_c: Decimal, *, slope_kg_m3_k: Decimal
) -> Decimal:
    """Take a density from 20 °C to another temperature along a straight line.

    Parameters: density_20_kg_l [kg/l, 0.6-2.0]; temperature_c [°C, -20 to 350];
    slope_kg_m3_k [kg/m3/K, above 0 up to 2].
    Returns: [kg/l] the density there.
    Raises: OutOfRange for any of them, or where the line reaches a third of the density.
    Source: linear density; within 1 % for oils at 10-300 °C (from memory).

    >>> density_at(Decimal("0.930"), Decimal(280), slope_kg_m3_k=Decimal("0.67"))
    Decimal('0.7558')
    """
    plausible_density(density_20_kg_l, "density_20_kg_l")
    hot = density_20_kg_l - _fall(temperature_c, slope_kg_m3_k)
    if 3 * hot < density_20_kg_l:
        raise OutOfRange(
            f"the density would fall to {hot:f} kg/l",
            "send a lower temperature or slope",
            field="temperature_c",
        )
    return hot


def density_to_20(
    density_kg_l: Decimal, temperature_c: Decimal, *, slope_kg_m3_k: Decimal
) -> Estimate:
    """Bring a density measured at another temperature to 20 °C.

    Parameters: density_kg_l [kg/l, 0.6-2.0; as measured]; temperature_c [°C, -20 to 350; of the
    sample]; slope_kg_m3_k [kg/m3/K, above 0 up to 2; drying oils about 0.67].
    Returns: [kg/l] the density at 20 °C.
    Raises: OutOfRange for any of them.
    Source: linear density; within 1 % for oils at 10-300 °C (from memory).

    >>> density_to_20(Decimal("0.9233"), Decimal(30), slope_kg_m3_k=Decimal("0.67")).value
    Decimal('0.9300')
    """
    plausible_density(density_kg_l)
    at_20 = density_kg_l + _fall(temperature_c, slope_kg_m3_k)
    return Estimate(at_20, Standing.APPROXIMATE, STRAIGHT_LINE)


def pyknometer_density(
    empty_g: Decimal,
    water_g: Decimal,
    *,
    sample_g: Decimal,
    water_density_kg_l: Decimal,
    air_density_kg_l: Decimal = Decimal(0),
) -> PyknometerDensity:
    """Give the density of a sample weighed in a pyknometer.

    Parameters: empty_g, water_g, sample_g [g, above 0; the vessel empty, with water, with the
    sample]; water_density_kg_l [kg/l, 0.95-1; at the temperature of both fillings];
    air_density_kg_l [kg/l, 0-0.0015; 0 leaves the buoyancy of air out, else about 0.0012].
    Returns: the density and the masses held. Raises: OutOfRange for any of them, or for a filled
    vessel no heavier than the empty one; NotApplicable for a density outside 0.6 to 2.0 kg/l.
    Source: ISO 2811-1, pyknometer method (from memory); buoyancy of air if its density is given.

    >>> round(pyknometer_density(Decimal("32.1045"), Decimal("82.015"), sample_g=Decimal("78.6021"),
    ...       water_density_kg_l=Decimal("0.9982012")).density_kg_l, 4)
    Decimal('0.9299')
    """
    positive(empty_g, "empty_g")
    water, sample = _held(water_g, empty_g, "water_g"), _held(sample_g, empty_g, "sample_g")
    within(water_density_kg_l, Decimal("0.95"), high=1, name="water_density_kg_l")
    within(air_density_kg_l, 0, high=Decimal("0.0015"), name="air_density_kg_l")
    density = sample / water * (water_density_kg_l - air_density_kg_l) + air_density_kg_l
    if not _LOWEST <= density <= _HIGHEST:
        raise NotApplicable(
            f"the density would be {density:.4g} kg/l",
            "check the three weighings; goods of the trade have 0.6 to 2.0 kg/l",
            field="sample_g",
        )
    usual = _FINISHED[0] <= density <= _FINISHED[1]
    note = "outside 0.78 to 1.05 kg/l, where finished products lie: weigh again"
    return PyknometerDensity(density, water, sample, () if usual else (note,))


def _held(full_g: Decimal, empty_g: Decimal, name: str) -> Decimal:
    if positive(full_g, name) <= empty_g:
        raise OutOfRange(
            f"the filled vessel weighs {full_g:f} g, no more than the empty one",
            f"send more than {empty_g:f} g",
            field=name,
        )
    return full_g - empty_g


def _fall(temperature_c: Decimal, slope_kg_m3_k: Decimal) -> Decimal:
    within(temperature_c, -20, high=350, name="temperature_c")
    above(slope_kg_m3_k, 0, high=2, name="slope_kg_m3_k")
    return slope_kg_m3_k * (temperature_c - _REFERENCE_C) / 1000


@functools.cache
def _bases() -> dict[str, tuple[Decimal, Decimal]]:
    return {
        row["basis"]: (Decimal(row["sample_c"]), Decimal(row["water_c"]))
        for row in rows("specific_gravity_bases.csv")
    }
