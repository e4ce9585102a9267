"""Heat: what a charge takes up on its way to the cook, and how long a hot plate needs for it."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import count, one_of, positive, within
from service.science.results import Standing
from service.science.tables import rows

_OIL_CEILING_C = 350
_USUAL_EFFICIENCY = (30, 60)


class HeatedCharge(NamedTuple):
    """What is heated.

    Fields: mass_g [g, above 0]; heat_capacity_kj_kg_k [kJ/kg/K, 0.5-5; the mean over the way, oils
    about 2 near 20 °C and 2.5 at 280 °C]; melting_kj_kg [kJ/kg, 0-400; heat of melting, as of wax,
    0 where nothing melts on the way].
    """

    mass_g: Decimal
    heat_capacity_kj_kg_k: Decimal
    melting_kj_kg: Decimal = Decimal(0)


class HeatNeeded(NamedTuple):
    """The heat that a charge takes up, in warming and in melting."""

    heat_kj: Decimal
    warming_kj: Decimal
    melting_kj: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class HeatingTime(NamedTuple):
    """The time a source of heat needs, and the power that reaches the charge."""

    minutes: Decimal
    into_charge_w: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class UsualHeat(NamedTuple):
    """A usual heat capacity with its span, and the span of the heat of melting if it melts."""

    heat_capacity_kj_kg_k: Decimal
    lowest_kj_kg_k: Decimal
    highest_kj_kg_k: Decimal
    melting_lowest_kj_kg: Decimal | None
    melting_highest_kj_kg: Decimal | None
    standing: Standing
    why: str


def heat_needed(charges: Sequence[HeatedCharge], start_c: Decimal, *, end_c: Decimal) -> HeatNeeded:
    """Work out the heat that a charge takes up from one temperature to another.

    Parameters: charges [list of `HeatedCharge`; one or more]; start_c [°C, -20 to 370]; end_c [°C,
    up to 370; the start or above].
    Returns: the heat, in warming and in melting.
    Raises: NotApplicable without a charge, OutOfRange for any of them.
    Source: sum of mass x (heat capacity x rise + heat of melting).

    >>> heat_needed([HeatedCharge(Decimal(1000), Decimal(2)),
    ...              HeatedCharge(Decimal(500), Decimal("1.9"))], Decimal(20),
    ...             end_c=Decimal(280)).heat_kj
    Decimal('767.00')
    """
    count(charges, 1, name="charges")
    within(start_c, -20, high=370, name="start_c")
    rise = within(end_c, start_c, high=370, name="end_c") - start_c
    warming = melting = Decimal(0)
    for place, each in enumerate(charges):
        at, kilograms = f"charges/{place}", positive(each.mass_g, f"charges/{place}/mass_g") / 1000
        capacity = each.heat_capacity_kj_kg_k
        within(capacity, Decimal("0.5"), high=5, name=f"{at}/heat_capacity_kj_kg_k")
        within(each.melting_kj_kg, 0, high=400, name=f"{at}/melting_kj_kg")
        warming += kilograms * capacity * rise
        melting += kilograms * each.melting_kj_kg
    hot = end_c > _OIL_CEILING_C
    return HeatNeeded(
        warming + melting,
        warming,
        melting,
        Standing.APPROXIMATE,
        "the kettle itself, fumes and heat of reaction are left out",
        ("no oil is planned above 350 °C; this is the heat of running hard copal",) if hot else (),
    )


def heating_time(heat_kj: Decimal, power_w: Decimal, *, efficiency_percent: Decimal) -> HeatingTime:
    """Work out how long a hot plate needs for a heat.

    Parameters: heat_kj [kJ, above 0]; power_w [W, above 0; of the plate]; efficiency_percent
    [%, 5-100; share that reaches the charge, a hot plate about 30 to 60].
    Returns: the time, and the power that reaches the charge.
    Raises: OutOfRange for any of them.
    Source: heat over power x efficiency; the usual efficiency from memory.

    >>> round(heating_time(Decimal(767), Decimal(1500), efficiency_percent=Decimal(50)).minutes, 2)
    Decimal('17.04')
    """
    within(efficiency_percent, 5, high=100, name="efficiency_percent")
    useful = positive(power_w, "power_w") * efficiency_percent / 100
    minutes = positive(heat_kj, "heat_kj") * 1000 / useful / 60
    low, high = _USUAL_EFFICIENCY
    unusual = not low <= efficiency_percent <= high
    notes = (f"a hot plate brings {low} to {high} % into the charge: time your own",)
    return HeatingTime(
        minutes,
        useful,
        Standing.APPROXIMATE,
        "the share that reaches the charge falls as the kettle grows hotter",
        notes if unusual else (),
    )


def usual_heat_capacity(material: str) -> UsualHeat:
    """Look up the usual heat capacity of a material, and its heat of melting.

    Parameters: material [one of `heated_materials()`].
    Returns: the middle and the ends of the usual heat capacity, and of the heat of melting.
    Raises: OutOfRange for a material not in the table.
    Source: tables/heat_capacities.csv: from memory; heat of melting of waxes by Procedia
    Engineering 18 (2011) 101.

    >>> usual_heat_capacity("rosin").heat_capacity_kj_kg_k
    Decimal('2.0')
    """
    row = _materials()[one_of(material, heated_materials(), name="material")]
    low, high = Decimal(row["heat_capacity_from"]), Decimal(row["heat_capacity_to"])
    melts = bool(row["melting_from"])
    return UsualHeat(
        (low + high) / 2,
        low,
        high,
        Decimal(row["melting_from"]) if melts else None,
        Decimal(row["melting_to"]) if melts else None,
        Standing.APPROXIMATE,
        f"a usual figure, {row['origin']}",
    )


def heated_materials() -> tuple[str, ...]:
    """List the materials whose usual heat capacity is known here.

    Parameters: none. Raises: nothing. Source: tables/heat_capacities.csv.

    >>> "beeswax" in heated_materials()
    True
    """
    return tuple(_materials())


@functools.cache
def _materials() -> dict[str, dict[str, str]]:
    return {row["material"]: row for row in rows("heat_capacities.csv")}
