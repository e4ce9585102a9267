"""The content of volatile organic compounds, each definition under its own name.

The definitions of the European Union and of the United States answer differently for one liquid,
so no figure here is called just VOC.
"""

from decimal import Decimal
from typing import NamedTuple

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, at_least, positive, within
from service.science.results import Standing

# Exact: the avoirdupois pound and the US gallon of 231 in3.
_G_L_PER_LB_US_GAL = Decimal("453.59237") / Decimal("3.785411784")
_WATER_AT_23_C_KG_L = Decimal("0.997537")
_DIFFERENCE = "all that is lost in the dish but water counts, whatever its boiling point"
_READY_TO_USE = f"EU sense, ready to use, exempt compounds counted; {_DIFFERENCE}"
_MATERIAL = "US sense, per volume of the coating as it is, exempt compounds taken off"
_LESS_WATER = "US sense, the volume of water and exempt compounds taken off the coating"
_SOLIDS = "per volume of solids, exempt compounds taken off"


class VocByMass(NamedTuple):
    """The content by mass, and all that is volatile."""

    voc_percent: Decimal
    volatile_percent: Decimal
    standing: Standing
    why: str


class ReadyToUse(NamedTuple):
    """The content of the product ready to use, in the sense of the European Union."""

    voc_ready_to_use_g_l: Decimal
    voc_percent: Decimal
    standing: Standing
    why: str


class OfMaterial(NamedTuple):
    """The content per volume of coating as it is, in the sense of the United States."""

    voc_of_material_g_l: Decimal
    voc_of_material_lb_per_us_gal: Decimal
    solid_g_l: Decimal
    standing: Standing
    why: str


class LessWater(NamedTuple):
    """The content per volume of coating without its water and exempt compounds."""

    voc_less_water_exempt_g_l: Decimal
    voc_less_water_exempt_lb_per_us_gal: Decimal
    voc_of_material_g_l: Decimal
    left_percent_vol: Decimal
    standing: Standing
    why: str


class PerSolids(NamedTuple):
    """The content per volume and per mass of solids."""

    voc_per_solids_g_l: Decimal
    voc_per_solids_lb_per_us_gal: Decimal
    voc_per_mass_of_solids: Decimal
    standing: Standing
    why: str


class FromAmounts(NamedTuple):
    """Every definition that the amounts allow."""

    voc_less_water_exempt_g_l: Decimal
    voc_less_water_exempt_lb_per_us_gal: Decimal
    voc_of_material_g_l: Decimal
    voc_of_material_lb_per_us_gal: Decimal
    voc_per_solids_g_l: Decimal | None
    voc_per_solids_lb_per_us_gal: Decimal | None
    standing: Standing
    why: str


def voc_by_mass(
    non_volatile_percent: Decimal,
    water_percent: Decimal = Decimal(0),
    *,
    exempt_percent: Decimal = Decimal(0),
) -> VocByMass:
    """Work out the VOC content by mass as what is volatile but not water.

    Parameters: non_volatile_percent [%, 0-100]; water_percent [%, 0-100]; exempt_percent
    [%, 0-100; exempt compounds under US rules such as acetone, 0 under EU rules, where they
    count].
    Returns: the content by mass, and all that is volatile.
    Raises: OutOfRange for any of them, or if they come to more than 100 %.
    Source: ISO 11890-1 method 1 (from memory).

    >>> voc_by_mass(Decimal(20), Decimal(4)).voc_percent
    Decimal('76')
    """
    voc = _share(non_volatile_percent, water_percent, exempt_percent)
    why = "by the dish: " + _DIFFERENCE
    return VocByMass(voc, 100 - non_volatile_percent, Standing.CONVENTION, why)


def voc_ready_to_use(
    density_kg_l: Decimal,
    non_volatile_percent: Decimal,
    *,
    water_percent: Decimal = Decimal(0),
) -> ReadyToUse:
    """Work out the VOC content of a product ready to use, in the sense of the European Union.

    Parameters: density_kg_l [kg/l, 0.6-2.0; with the thinner that its user is told to add];
    non_volatile_percent [%, 0-100]; water_percent [%, 0-100].
    Returns: the content per litre and by mass.
    Raises: OutOfRange for any of them, or if they come to more than 100 %.
    Source: ISO 11890-1 method 2 (from memory); definition of Directive 2004/42/EC Art. 2, read in
    UK SI 2005/2773 reg. 2.

    >>> voc_ready_to_use(Decimal("0.905"), Decimal(52)).voc_ready_to_use_g_l
    Decimal('434.400')
    """
    density = plausible_density(density_kg_l)
    voc = _share(non_volatile_percent, water_percent, Decimal(0))
    return ReadyToUse(10 * density * voc, voc, Standing.CONVENTION, _READY_TO_USE)


def voc_of_material(
    density_kg_l: Decimal,
    non_volatile_percent: Decimal,
    *,
    water_percent: Decimal = Decimal(0),
    exempt_percent: Decimal = Decimal(0),
) -> OfMaterial:
    """Work out the VOC content per volume of coating as it is, in the sense of the United States.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, 0-100]; water_percent
    [%, 0-100]; exempt_percent [%, 0-100; exempt compounds such as acetone].
    Returns: the content in both units, and the solid matter in a litre, which decides what is
    low in solids.
    Raises: OutOfRange for any of them, or if they come to more than 100 %.
    Source: EPA Method 24 practice, actual VOC; used for coatings low in solids (SCAQMD: below
    1 lb/US gal).

    >>> voc_of_material(Decimal("0.93"), Decimal(45),
    ...                 exempt_percent=Decimal(15)).voc_of_material_g_l
    Decimal('372.00')
    """
    density = plausible_density(density_kg_l)
    voc = 10 * density * _share(non_volatile_percent, water_percent, exempt_percent)
    solid = 10 * density * non_volatile_percent
    return OfMaterial(voc, voc / _G_L_PER_LB_US_GAL, solid, Standing.CONVENTION, _MATERIAL)


def voc_less_water_exempt(
    density_kg_l: Decimal,
    non_volatile_percent: Decimal,
    *,
    water_percent: Decimal = Decimal(0),
    water_density_kg_l: Decimal = _WATER_AT_23_C_KG_L,
    exempt_percent: Decimal = Decimal(0),
    exempt_density_kg_l: Decimal | None = None,
) -> LessWater:
    """Work out the VOC content per volume of coating less water and exempt compounds.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, 0-100]; water_percent
    [%, 0-100]; water_density_kg_l [kg/l, 0.95-1]; exempt_percent [%, 0-100; exempt compounds
    such as acetone]; exempt_density_kg_l [kg/l, 0.6-2.0; of all of them together], None where
    there are none.
    Returns: the content in both units, that of the material, and the volume that is left.
    Raises: OutOfRange for any of them, if they come to more than 100 %, or if no volume is left;
    NotApplicable for exempt compounds without their density.
    Source: 40 CFR 59.104(a)(1), (Wv - Ww - We) / (V - Vw - Ve); ISO 11890-1 method 3 (from memory).

    >>> round(voc_less_water_exempt(Decimal("0.88"), Decimal(20), water_percent=Decimal(4),
    ...       water_density_kg_l=Decimal("0.998")).voc_less_water_exempt_g_l, 1)
    Decimal('693.3')
    """
    density = plausible_density(density_kg_l)
    voc = 10 * density * _share(non_volatile_percent, water_percent, exempt_percent)
    water = within(water_density_kg_l, Decimal("0.95"), high=1, name="water_density_kg_l")
    exempt = _exempt_volume(exempt_percent, exempt_density_kg_l)
    left = 100 - density * (water_percent / water + exempt)
    if left <= 0:
        raise OutOfRange(
            "water and exempt compounds would fill more than the litre",
            "check density, water and exempt compounds against each other",
            field="water_percent" if water_percent else "exempt_percent",
        )
    less = 100 * voc / left
    in_pounds = less / _G_L_PER_LB_US_GAL
    return LessWater(less, in_pounds, voc, left, Standing.CONVENTION, _LESS_WATER)


def voc_per_solids(
    density_kg_l: Decimal,
    non_volatile_percent: Decimal,
    *,
    volume_solids_percent_vol: Decimal,
    water_percent: Decimal = Decimal(0),
    exempt_percent: Decimal = Decimal(0),
) -> PerSolids:
    """Work out the VOC content per volume of solids, what a film of one thickness gives off.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, above 0 up to 100];
    volume_solids_percent_vol [% v/v, above 0 up to 100]; water_percent [%, 0-100];
    exempt_percent [%, 0-100; exempt compounds such as acetone, 0 where they count].
    Returns: the content per volume of solids in both units, and grams per gram of solids.
    Raises: OutOfRange for any of them, or if they come to more than 100 %.
    Source: ASTM D3960, VOC per volume of solids (abstract read).

    >>> round(voc_per_solids(Decimal("0.905"), Decimal(52),
    ...       volume_solids_percent_vol=Decimal(45)).voc_per_solids_g_l, 1)
    Decimal('965.3')
    """
    density = plausible_density(density_kg_l)
    solid = above(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    voc = _share(solid, water_percent, exempt_percent)
    volume = above(volume_solids_percent_vol, 0, high=100, name="volume_solids_percent_vol")
    per_volume = 1000 * density * voc / volume
    in_pounds = per_volume / _G_L_PER_LB_US_GAL
    return PerSolids(per_volume, in_pounds, voc / solid, Standing.CONVENTION, _SOLIDS)


def voc_from_amounts(
    voc_g: Decimal,
    coating_l: Decimal,
    *,
    water_l: Decimal = Decimal(0),
    exempt_l: Decimal = Decimal(0),
    solids_l: Decimal | None = None,
) -> FromAmounts:
    """Work out the VOC content from the amounts that went into a coating.

    Parameters: voc_g [g, 0 or more; solvents without water and exempt compounds]; coating_l
    [l, above 0; all of it]; water_l [l, 0 or more]; exempt_l [l, 0 or more; exempt compounds such
    as acetone]; solids_l [l, above 0], None if not known.
    Returns: the content less water and exempt compounds, of the material, and per volume of
    solids.
    Raises: OutOfRange for any of them, or if water, exempt compounds and solids fill more than
    the coating or leave nothing.
    Source: 40 CFR 59.104(a)(1), (Wv - Ww - We) / (V - Vw - Ve).

    >>> voc_from_amounts(Decimal(800), Decimal(2)).voc_of_material_g_l
    Decimal('400')
    """
    mass = at_least(voc_g, 0, name="voc_g")
    volume = positive(coating_l, "coating_l")
    water = at_least(water_l, 0, name="water_l")
    left = volume - water - at_least(exempt_l, 0, name="exempt_l")
    if left <= 0:
        field = "water_l" if water else "exempt_l"
        raise _too_full("water and exempt compounds", field)
    solids = None if solids_l is None else positive(solids_l, "solids_l")
    if solids is not None and solids > left:
        raise _too_full("solids, water and exempt compounds", "solids_l")
    per_solids = None if solids is None else mass / solids
    return FromAmounts(
        mass / left,
        mass / left / _G_L_PER_LB_US_GAL,
        mass / volume,
        mass / volume / _G_L_PER_LB_US_GAL,
        per_solids,
        None if per_solids is None else per_solids / _G_L_PER_LB_US_GAL,
        Standing.CONVENTION,
        "US sense: exempt compounds are no part of the mass counted",
    )


def _share(non_volatile: Decimal, water: Decimal, exempt: Decimal) -> Decimal:
    """What is volatile, but neither water nor exempt, in % by mass."""
    left = 100 - within(non_volatile, 0, high=100, name="non_volatile_percent")
    for name, percent in (("water_percent", water), ("exempt_percent", exempt)):
        left -= within(percent, 0, high=100, name=name)
        if left < 0:
            raise OutOfRange(
                "non-volatile, water and exempt compounds come to more than 100 %",
                "check them against each other",
                field=name,
            )
    return left


def _exempt_volume(percent: Decimal, density: Decimal | None) -> Decimal:
    """The volume of exempt compounds in 100 g, in ml."""
    if density is not None:
        return percent / plausible_density(density, "exempt_density_kg_l")
    if percent:
        raise NotApplicable(
            "the density of the exempt compounds is not known",
            "send it, such as 0.791 for acetone",
            field="exempt_density_kg_l",
        )
    return Decimal(0)


def _too_full(what: str, field: str) -> OutOfRange:
    return OutOfRange(
        f"{what} leave no room in the coating",
        "send volumes that come to less than the coating",
        field=field,
    )
