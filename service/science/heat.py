"""Limits of a planned cook: how hot a solvent may be poured, how full a kettle may be.

These judge plans. What happened at the stove is recorded whatever it was.
"""

from collections.abc import Sequence
from decimal import Decimal

from service.science.densities import density_at
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import positive, within

BELOW_BOILING_K = Decimal(30)
BELOW_AUTOIGNITION_K = Decimal(50)
HOTTEST_FOR_ETHANOL_C = Decimal(40)
FULLEST_PERCENT = {"foaming": Decimal(50), "bodying": Decimal(66)}


def pour_limit(
    initial_boiling_point_c: Decimal,
    *,
    ethanol: bool = False,
    autoignition_c: Decimal | None = None,
) -> Decimal:
    """Give the hottest a varnish may be planned to be when a solvent is poured in, in °C.

    Parameters: initial_boiling_point_c [°C, 20-350]; ethanol [whether the solvent is spirit];
    autoignition_c [°C, 100-700, None if not known].
    Raises: OutOfRange for either temperature.
    Source: common practice: 30 K below the initial boiling point, 50 K below autoignition,
    ethanol at most 40 °C, off the heat and without a flame.

    >>> pour_limit(Decimal(150), autoignition_c=Decimal(253))
    Decimal('120')
    """
    within(initial_boiling_point_c, 20, high=350, what="initial boiling point in °C")
    limits = [initial_boiling_point_c - BELOW_BOILING_K]
    if autoignition_c is not None:
        within(autoignition_c, 100, high=700, what="autoignition temperature in °C")
        limits.append(autoignition_c - BELOW_AUTOIGNITION_K)
    if ethanol:
        limits.append(HOTTEST_FOR_ETHANOL_C)
    return min(limits)


def check_planned_pour(planned_c: Decimal, limit_c: Decimal) -> Decimal:
    """Pass on a planned pouring temperature that keeps its limit.

    Parameters: planned_c [°C]; limit_c [°C, from `pour_limit`].
    Raises: OutOfRange for a plan hotter than the limit. Source: as `pour_limit`.

    >>> check_planned_pour(Decimal(115), Decimal(120))
    Decimal('115')
    """
    if not planned_c.is_finite() or planned_c > limit_c:
        raise OutOfRange(
            f"pouring solvent at {planned_c:f} °C is planned above {limit_c:f} °C",
            f"let it cool to {limit_c:f} °C or less, off the heat and with no flame near",
        )
    return planned_c


def hot_volume(
    mass_kg: Decimal,
    density_20_kg_l: Decimal,
    *,
    slope_kg_m3_k: Decimal,
    temperature_c: Decimal,
) -> Decimal:
    """Work out the volume a charge takes when hot, in l.

    Parameters: mass_kg [kg, above 0]; density_20_kg_l [kg/l at 20 °C, 0.6-2.0]; slope_kg_m3_k
    [kg/m3/K, above 0 up to 2]; temperature_c [°C, -20 to 350].
    Raises: OutOfRange for any of them.
    Source: linear density, which gives more than linear volume and is therefore safer.

    >>> round(hot_volume(Decimal("1.86"), Decimal("0.930"), slope_kg_m3_k=Decimal("0.67"),
    ...                  temperature_c=Decimal(280)), 3)
    Decimal('2.461')
    """
    hot = density_at(density_20_kg_l, temperature_c, slope_kg_m3_k=slope_kg_m3_k)
    return positive(mass_kg, "mass in kg") / hot


def fill_percent(hot_volumes_l: Sequence[Decimal], kettle_l: Decimal) -> Decimal:
    """Work out how full a kettle stands when everything in it is hot, in %.

    Parameters: hot_volumes_l [l, each above 0; thinner too, on the thinned volume]; kettle_l [l,
    above 0].
    Raises: OutOfRange for any of them, or for more than the kettle holds; NotApplicable for an
    empty kettle.
    Source: additive volumes, as `hot_volume`.

    >>> fill_percent([Decimal(2), Decimal("0.5")], Decimal(5))
    Decimal('50.0')
    """
    if not hot_volumes_l:
        raise NotApplicable("there is nothing in the kettle", "send one volume or more")
    hot = sum((positive(volume, "hot volume in l") for volume in hot_volumes_l), Decimal(0))
    percent = 100 * hot / positive(kettle_l, "kettle in l")
    if percent > 100:
        raise OutOfRange(
            f"{hot:.2f} l hot is more than the kettle of {kettle_l:f} l holds",
            "take a larger kettle or a smaller charge",
        )
    return percent


def largest_charge(
    kettle_l: Decimal,
    density_20_kg_l: Decimal,
    *,
    slope_kg_m3_k: Decimal,
    temperature_c: Decimal,
    process: str,
) -> Decimal:
    """Work out the largest charge at 20 °C that leaves the headroom of its process, in l.

    Parameters: kettle_l [l, above 0]; density_20_kg_l [kg/l at 20 °C]; slope_kg_m3_k [kg/m3/K];
    temperature_c [°C, the hottest planned]; process [`foaming` for rosin, carbonates, damp resin
    and running copal: 50 %; `bodying` for plain oil: 66 %].
    Raises: OutOfRange for any of them.
    Source: common practice for the caps, linear density for the expansion.

    >>> round(largest_charge(Decimal(5), Decimal("0.930"), slope_kg_m3_k=Decimal("0.67"),
    ...                      temperature_c=Decimal(280), process="foaming"), 3)
    Decimal('2.032')
    """
    if process not in FULLEST_PERCENT:
        raise OutOfRange(
            f"“{process}” has no headroom rule", f"use one of: {', '.join(FULLEST_PERCENT)}"
        )
    hot = density_at(density_20_kg_l, temperature_c, slope_kg_m3_k=slope_kg_m3_k)
    room = positive(kettle_l, "kettle in l") * FULLEST_PERCENT[process] / 100
    return room * hot / density_20_kg_l
