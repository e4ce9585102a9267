"""Plans of a cook: how hot a material may be planned, and damp resinate on its way into hot oil.

These judge plans. What happened at the stove is recorded whatever it was.
"""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.fire import BELOW_AUTOIGNITION_K
from service.science.ranges import one_of, positive, within
from service.science.results import Standing
from service.science.tables import rows

_CEILING = "a ceiling of the trade, not of a standard"
_WATCH = (
    "no open flame, the lid at hand; watch the smoke, and the thermometer rather than the clock"
)
_NOT_CHECKED = (
    "autoignition was not sent, so the distance to it was not checked; linseed oil ignites by "
    "itself at about 343 °C (from memory)"
)
_DAMPEST_PERCENT = 1
_WATER_BOILS_C = 100
_STEAM_L_G = Decimal("1.700")  # ideal gas at 100 °C: real steam takes up to 2 % less
_ZERO_C_K = Decimal("273.15")


class PlannedCook(NamedTuple):
    """How far a planned cook stays below its ceiling and below autoignition."""

    below_ceiling_k: Decimal
    ceiling_c: Decimal
    below_autoignition_k: Decimal | None
    standing: Standing
    why: str
    notes: tuple[str, ...]


class DampAddition(NamedTuple):
    """The steam that the water in a resinate makes, and the water."""

    steam_l: Decimal
    water_g: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def cooked_materials() -> tuple[str, ...]:
    """List the materials whose cook has a ceiling.

    Parameters: none. Raises: nothing. Source: common practice of the trade,
    tables/cook_ceilings.csv.

    >>> cooked_materials()
    ('oil', 'hard copal')
    """
    return tuple(_ceilings())


def planned_cook(
    material: str, hottest_c: Decimal, *, autoignition_c: Decimal | None = None
) -> PlannedCook:
    """Check how hot a cook is planned to get.

    Parameters: material [one of `cooked_materials()`], oil wherever oil is in the kettle;
    hottest_c [°C, 20-370; up to the ceiling of the material]; autoignition_c [°C, 100-700; of
    what is cooked], None if not known.
    Returns: by how many K the plan stays below the ceiling and below autoignition.
    Raises: OutOfRange for a temperature, or for a plan above the ceiling or not below
    autoignition.
    Source: common practice of the trade, tables/cook_ceilings.csv; hard copal at 350 °C read in a
    violin-varnish text of the 1900s.

    >>> planned_cook("oil", Decimal(280), autoignition_c=Decimal(343)).below_autoignition_k
    Decimal('63')
    """
    row = _ceilings()[one_of(material, cooked_materials(), name="material")]
    ceiling = Decimal(row["ceiling_c"])
    within(hottest_c, 20, high=370, name="hottest_c")
    if hottest_c > ceiling:
        wall = f"the ceiling of {material}, {ceiling} °C"
        raise _too_hot(hottest_c, wall, hint=f"plan {ceiling} °C or less")
    notes = [_WATCH]
    if row["usual_from_c"] and hottest_c < Decimal(row["usual_from_c"]):
        notes.append(f"{material} is usually run at {row['usual_from_c']} to {ceiling} °C")
    distance = None
    if autoignition_c is None:
        notes.append(_NOT_CHECKED)
    else:
        distance = within(autoignition_c, 100, high=700, name="autoignition_c") - hottest_c
        if distance <= 0:
            raise _too_hot(
                hottest_c, f"autoignition, {autoignition_c:.6g} °C", hint=_below(autoignition_c)
            )
        if distance < BELOW_AUTOIGNITION_K:
            notes.append("less than 50 K below autoignition: vapour may take fire without a flame")
    return PlannedCook(
        ceiling - hottest_c, ceiling, distance, Standing.CONVENTION, _CEILING, tuple(notes)
    )


def damp_addition(
    water_percent: Decimal, oil_c: Decimal, *, resinate_g: Decimal, dried_before: bool = False
) -> DampAddition:
    """Check a plan that puts damp resinate into oil, which the steam would throw out of the kettle.

    Parameters: water_percent [%, 0-100; water in the resinate]; oil_c [°C, 0-350; of the oil it
    goes into]; resinate_g [g, above 0; mass that goes in, damp]; dried_before [yes or no, yes where
    a drying stage stands before].
    Returns: the steam of all its water at the warmth of the oil, at 100 °C at least, at sea level,
    and the water.
    Raises: OutOfRange for a number, or for more than 1 % water into oil above 100 °C without a
    drying stage before.
    Source: common practice; steam as an ideal gas at 101.325 kPa, 1.700 l/g at 100 °C, which is
    more than real steam takes (IAPWS-95).

    >>> round(damp_addition(Decimal("0.5"), Decimal(150), resinate_g=Decimal(200)).steam_l, 3)
    Decimal('1.928')
    """
    within(water_percent, 0, high=100, name="water_percent")
    within(oil_c, 0, high=350, name="oil_c")
    water_g = positive(resinate_g, "resinate_g") * water_percent / 100
    damp = water_percent > _DAMPEST_PERCENT
    if damp and oil_c > _WATER_BOILS_C and not dried_before:
        raise OutOfRange(
            f"resinate of {water_percent:.6g} % water is planned into oil at {oil_c:.6g} °C",
            "put a drying stage before it, down to 1 % water, or add it to oil at 100 °C or less",
            field="water_percent",
        )
    hotter = max(oil_c, Decimal(_WATER_BOILS_C)) + _ZERO_C_K
    return DampAddition(
        water_g * _STEAM_L_G * hotter / (_WATER_BOILS_C + _ZERO_C_K),
        water_g,
        Standing.UPPER_BOUND,
        "all the water sent turned to steam; what a drying stage takes off is not counted out",
        (
            *_about_spatter(water_g, oil_c),
            *(_about_damp(dried_before=dried_before) if damp else ()),
        ),
    )


def _about_spatter(water_g: Decimal, oil_c: Decimal) -> tuple[str, ...]:
    if not water_g or oil_c <= _WATER_BOILS_C:
        return ()
    return ("any water flashes to steam in oil this hot: small portions, it foams and spatters",)


def _about_damp(*, dried_before: bool) -> tuple[str, ...]:
    if dried_before:
        return ("weigh it dry: go on only at 1 % water or less",)
    return ("the water leaves as foam when the oil passes 100 °C: heat slowly, half empty",)


def _below(autoignition_c: Decimal) -> str:
    noted_from = autoignition_c - BELOW_AUTOIGNITION_K
    return (
        f"plan below {autoignition_c:.6g} °C; above {noted_from:.6g} °C, less than "
        f"{BELOW_AUTOIGNITION_K} K below autoignition, a plan is allowed with a warning"
    )


def _too_hot(planned_c: Decimal, wall: str, *, hint: str) -> OutOfRange:
    return OutOfRange(f"{planned_c:.6g} °C is planned, against {wall}", hint, field="hottest_c")


@functools.cache
def _ceilings() -> dict[str, dict[str, str]]:
    return {row["material"]: row for row in rows("cook_ceilings.csv")}
