"""Density at another temperature, and density from specific gravity or a pyknometer."""

from decimal import Decimal

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import positive, within

_REFERENCE_C = 20
# Water in kg/l at the reference temperatures that products state.
_WATER = {
    "60/60F": Decimal("0.999010"),
    "20/20": Decimal("0.998201"),
    "25/25": Decimal("0.997043"),
}
_LOWEST = Decimal("0.6")
_HIGHEST = Decimal(2)


def plausible_density(density_kg_l: Decimal) -> Decimal:
    """Pass on a density that a product or a raw material of the trade can have.

    Parameters: density_kg_l [kg/l, 0.6-2.0]. Raises: OutOfRange outside.
    Source: common practice.

    >>> plausible_density(Decimal("0.897"))
    Decimal('0.897')
    """
    return within(density_kg_l, _LOWEST, high=_HIGHEST, what="density in kg/l")


def density_from_specific_gravity(specific_gravity: Decimal, basis: str) -> Decimal:
    """Turn a specific gravity into a density at the sample's temperature, in kg/l.

    Parameters: specific_gravity [1, 0.6-2.0]; basis [60/60F, 20/20 or 25/25, both in °C but the
    first].
    Raises: NotApplicable if the two temperatures are not stated, OutOfRange for the number.
    Source: density of water from the OIML R 22 general formula without alcohol.

    >>> round(density_from_specific_gravity(Decimal("0.935"), "60/60F"), 5)
    Decimal('0.93407')
    """
    if basis not in _WATER:
        raise NotApplicable(
            f"the temperatures of the specific gravity are “{basis}”",
            f"state one of: {', '.join(_WATER)}",
        )
    value = within(specific_gravity, _LOWEST, high=_HIGHEST, what="specific gravity")
    return value * _WATER[basis]


def density_at(
    density_20_kg_l: Decimal, temperature_c: Decimal, *, slope_kg_m3_k: Decimal
) -> Decimal:
    """Take a density from 20 °C to another temperature along a straight line, in kg/l.

    Parameters: density_20_kg_l [kg/l at 20 °C, 0.6-2.0]; temperature_c [°C, -20 to 350];
    slope_kg_m3_k [kg/m3/K, above 0 up to 2; drying oils about 0.67, turpentine about 0.82].
    Raises: OutOfRange for any of them, or where the line reaches a third of the density.
    Source: linear density model; within 1 % for oils at 10-300 °C (slopes from memory).

    >>> density_at(Decimal("0.930"), Decimal(280), slope_kg_m3_k=Decimal("0.67"))
    Decimal('0.7558')
    """
    plausible_density(density_20_kg_l)
    within(temperature_c, -20, high=350, what="temperature in °C")
    positive(slope_kg_m3_k, "density slope in kg/m3/K")
    within(slope_kg_m3_k, 0, high=2, what="density slope in kg/m3/K")
    hot = density_20_kg_l - slope_kg_m3_k * (temperature_c - _REFERENCE_C) / 1000
    if 3 * hot < density_20_kg_l:
        raise OutOfRange(
            f"the density would fall to {hot:f} kg/l", "send a lower temperature or slope"
        )
    return hot


def density_to_20(
    density_kg_l: Decimal, temperature_c: Decimal, *, slope_kg_m3_k: Decimal
) -> Decimal:
    """Bring a density measured at another temperature to 20 °C, in kg/l.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; temperature_c [°C, -20 to 350]; slope_kg_m3_k
    [kg/m3/K, above 0 up to 2].
    Raises: OutOfRange for any of them.
    Source: linear density model, as `density_at`.

    >>> density_to_20(Decimal("0.9233"), Decimal(30), slope_kg_m3_k=Decimal("0.67"))
    Decimal('0.9300')
    """
    plausible_density(density_kg_l)
    within(temperature_c, -20, high=350, what="temperature in °C")
    positive(slope_kg_m3_k, "density slope in kg/m3/K")
    within(slope_kg_m3_k, 0, high=2, what="density slope in kg/m3/K")
    return density_kg_l + slope_kg_m3_k * (temperature_c - _REFERENCE_C) / 1000


def pyknometer_density(
    empty_g: Decimal,
    water_g: Decimal,
    *,
    sample_g: Decimal,
    water_density_kg_l: Decimal,
    air_density_kg_l: Decimal = Decimal(0),
) -> Decimal:
    """Give the density of a sample weighed in a pyknometer, in kg/l.

    Parameters: empty_g, water_g, sample_g [g, the vessel empty, with water, with the sample];
    water_density_kg_l [kg/l, 0.95-1.0]; air_density_kg_l [kg/l, 0 for none, else about 0.0012].
    Raises: OutOfRange if a filled vessel is not heavier than the empty one, or for a density.
    Source: ISO 2811-1, pyknometer method (from memory); buoyancy of air if its density is given.

    >>> round(pyknometer_density(Decimal("32.1045"), Decimal("82.015"),
    ...       sample_g=Decimal("78.6021"), water_density_kg_l=Decimal("0.9982012")), 4)
    Decimal('0.9299')
    """
    positive(empty_g, "mass of the empty vessel in g")
    water = positive(water_g - empty_g, "mass of water in g")
    sample = positive(sample_g - empty_g, "mass of sample in g")
    within(water_density_kg_l, Decimal("0.95"), high=1, what="density of water in kg/l")
    within(air_density_kg_l, 0, high=Decimal("0.0015"), what="density of air in kg/l")
    return sample / water * (water_density_kg_l - air_density_kg_l) + air_density_kg_l
