"""The viscosity of liquids put together, and thinning to the time of a flow cup."""

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.adjusting import FIRST_FROM, FIRST_TO
from service.science.cup_equations import cups as cups
from service.science.cup_equations import seconds_in_cup, viscosity_in_cup
from service.science.errors import OutOfRange
from service.science.ranges import count, one_of, positive, within
from service.science.results import Standing
from service.science.rounding import from_float

_LOWEST = Decimal("0.3")
_HIGHEST = 1_000_000
_ROUGH = "rough for resin solutions: wrong by 30 % or worse"
_TRIAL = "make a trial of 100 g and measure it at the temperature of the figures sent"
_CUP_TRIAL = "make a trial of 100 g and time it in the same cup at the same temperature"
_LITTLE = "add the first part, stir, let it rest, time it again, then add the rest by trial"


class Liquid(NamedTuple):
    """A liquid of known viscosity.

    Fields: mass_g [g, above 0]; viscosity_mm2_s [mm2/s, 0.3-1000000; all at one temperature].
    """

    mass_g: Decimal
    viscosity_mm2_s: Decimal


class MixtureViscosity(NamedTuple):
    """The viscosity of a mixture by the rule asked for, and by both rules."""

    viscosity_mm2_s: Decimal
    by_log_mm2_s: Decimal
    by_refutas_mm2_s: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class CupPortion(NamedTuple):
    """A liquid timed in a flow cup.

    Fields: mass_g [g, above 0]; seconds [s, 20-150; within the range of the cup].
    """

    mass_g: Decimal
    seconds: Decimal


class BlendTime(NamedTuple):
    """The time of a blend in the cup its portions were timed in, and its viscosity."""

    seconds: Decimal
    viscosity_mm2_s: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class ThinnerToCupTime(NamedTuple):
    """Thinner for a time in a flow cup, and how much of it to add at first."""

    add_g: Decimal
    first_from_g: Decimal
    first_to_g: Decimal
    viscosity_now_mm2_s: Decimal
    viscosity_then_mm2_s: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def viscosity_rules() -> tuple[str, ...]:
    """List the rules by which viscosities are mixed.

    Parameters: none. Raises: nothing. Source: common practice of mixing.

    >>> viscosity_rules()
    ('log', 'refutas')
    """
    return ("log", "refutas")


def mixture_viscosity(liquids: Sequence[Liquid], rule: str = "log") -> MixtureViscosity:
    """Estimate the viscosity of liquids that dissolve in each other.

    Parameters: liquids [list of `Liquid`; two or more]; rule [one of `viscosity_rules()`], log
    for the mean of logarithms, refutas for the mean of the viscosity blending number.
    Returns: the kinematic viscosity by the rule asked for and by both.
    Raises: NotApplicable for fewer than two, OutOfRange for one of them or the rule.
    Source: Arrhenius rule, ln nu = sum w ln nu; Refutas index 14.534 ln ln (nu + 0.8) + 10.975
    (Maples, Petroleum Refinery Process Economics, as quoted), both by mass.

    >>> round(mixture_viscosity([Liquid(Decimal(1), Decimal(100)),
    ...       Liquid(Decimal(1), Decimal(10))]).viscosity_mm2_s, 2)
    Decimal('31.62')
    """
    one_of(rule, viscosity_rules(), name="rule")
    count(liquids, 2, name="liquids")
    for place, each in enumerate(liquids):
        positive(each.mass_g, f"liquids/{place}/mass_g")
        _viscosity(each.viscosity_mm2_s, f"liquids/{place}/viscosity_mm2_s")
    by = {name: _mixed(liquids, name) for name in viscosity_rules()}
    return MixtureViscosity(
        by[rule], by["log"], by["refutas"], Standing.APPROXIMATE, _ROUGH, (_TRIAL,)
    )


def cup_time_of_blend(cup: str, portions: Sequence[CupPortion], *, rule: str = "log") -> BlendTime:
    """Estimate the time of a blend in a flow cup from the times of its portions.

    Parameters: cup [one of `cups()`], the one all were timed in; portions [list of `CupPortion`;
    two or more, at one temperature]; rule [one of `viscosity_rules()`].
    Returns: the time and the kinematic viscosity of the blend.
    Raises: NotApplicable for fewer than two, OutOfRange for one of them, the cup or the rule.
    Source: seconds turned into viscosity by the equation of the cup, mixed by mass, turned back.

    >>> round(cup_time_of_blend("ISO2431-4", [CupPortion(Decimal(1), Decimal(80)),
    ...       CupPortion(Decimal(1), Decimal(40))]).seconds, 1)
    Decimal('55.9')
    """
    one_of(rule, viscosity_rules(), name="rule")
    count(portions, 2, name="portions")
    liquids = []
    for place, each in enumerate(portions):
        mass = positive(each.mass_g, f"portions/{place}/mass_g")
        viscosity = viscosity_in_cup(cup, each.seconds, f"portions/{place}/seconds")
        liquids.append(Liquid(mass, viscosity))
    mixed = _mixed(liquids, rule)
    seconds = seconds_in_cup(cup, mixed, "portions")
    return BlendTime(seconds, mixed, Standing.APPROXIMATE, _ROUGH, (_CUP_TRIAL,))


def thinner_to_cup_time(
    cup: str,
    mass_g: Decimal,
    *,
    now_s: Decimal,
    target_s: Decimal,
    thinner_viscosity_mm2_s: Decimal,
    rule: str = "log",
) -> ThinnerToCupTime:
    """Estimate how much thinner brings a liquid to a time in a flow cup.

    Parameters: cup [one of `cups()`]; mass_g [g, above 0; of the liquid]; now_s [s, 20-150;
    within the range of the cup]; target_s [s, 20-150; below the present time, within the range of
    the cup]; thinner_viscosity_mm2_s [mm2/s, 0.3-1000000; at the same temperature, turpentine
    about 1.5 at 20 °C]; rule [one of `viscosity_rules()`].
    Returns: the thinner, the part of it to add before timing again, and both viscosities.
    Raises: OutOfRange for any of them, if the target is not below the present time, or if the
    thinner is no thinner than the target.
    Source: Arrhenius rule, x = ln(nu_t / nu_s) / ln(nu_0 / nu_s), m (1 / x - 1), or the same with
    the Refutas index; first 60 to 70 % by common practice.

    >>> round(thinner_to_cup_time("ISO2431-4", Decimal(1000), now_s=Decimal(90),
    ...       target_s=Decimal(40), thinner_viscosity_mm2_s=Decimal("1.5")).add_g)
    254
    """
    one_of(rule, viscosity_rules(), name="rule")
    mass = positive(mass_g, "mass_g")
    now = viscosity_in_cup(cup, now_s, "now_s")
    then = viscosity_in_cup(cup, target_s, "target_s")
    thinner = _viscosity(thinner_viscosity_mm2_s, "thinner_viscosity_mm2_s")
    if then >= now:
        raise OutOfRange(
            f"{target_s:.8g} s is not below {now_s:.8g} s, and thinner makes it no slower",
            "send a shorter target",
            field="target_s",
        )
    left = _index(then, rule) - _index(thinner, rule)
    if left <= 0:
        raise OutOfRange(
            f"a thinner of {thinner:.8g} mm2/s does not come down to {then:.4g} mm2/s",
            "send a thinner that flows more easily than the target",
            field="thinner_viscosity_mm2_s",
        )
    add = mass * from_float((_index(now, rule) - _index(then, rule)) / left)
    notes = (_LITTLE, _CUP_TRIAL)
    first, last = add * FIRST_FROM, add * FIRST_TO
    return ThinnerToCupTime(add, first, last, now, then, Standing.APPROXIMATE, _ROUGH, notes)


def _mixed(liquids: Sequence[Liquid], rule: str) -> Decimal:
    mass = sum((each.mass_g for each in liquids), Decimal(0))
    mean = math.fsum(
        float(each.mass_g / mass) * _index(each.viscosity_mm2_s, rule) for each in liquids
    )
    found = from_float(math.exp(mean) if rule == "log" else math.exp(math.exp(mean)) - 0.8)
    # The last digit of a logarithm must not carry a mixture beyond its own liquids.
    each_of_them = [each.viscosity_mm2_s for each in liquids]
    return min(max(found, min(each_of_them)), max(each_of_them))


def _index(viscosity: Decimal, rule: str) -> float:
    """What is mixed by mass: the factors of the Refutas number cancel out of any mean."""
    nu = float(viscosity)
    return math.log(nu) if rule == "log" else math.log(math.log(nu + 0.8))


def _viscosity(value: Decimal, name: str) -> Decimal:
    return within(value, _LOWEST, high=_HIGHEST, name=name)
