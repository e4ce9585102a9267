"""The kettle: the volume of a hot charge, how full it stands, and the largest charge it takes."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.densities import STRAIGHT_LINE, density_at, plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, count, one_of, positive, within
from service.science.results import Standing

FULLEST_PERCENT = {"foaming": Decimal(50), "bodying": Decimal(66)}
_LINE_HOLDS_TO_C = 300
_POUR_ELSEWHERE = "how hot the thinner may go in is judged by planned-pour, not here"


class Charge(NamedTuple):
    """What goes into a kettle, or is poured in when it has cooled.

    Fields: mass_g [g, above 0]; density_20_kg_l [kg/l, 0.6-2.0; at 20 °C]; slope_kg_m3_k
    [kg/m3/K, above 0 up to 1; drying oils about 0.67, turpentine about 0.82].
    """

    mass_g: Decimal
    density_20_kg_l: Decimal
    slope_kg_m3_k: Decimal


class HotVolume(NamedTuple):
    """The volume of a hot charge, its volume at 20 °C, and the ratio of the two."""

    hot_volume_ml: Decimal
    cold_volume_ml: Decimal
    expansion_ratio: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class KettleFill(NamedTuple):
    """How full a kettle stands, whether hot and thinned it keeps its headroom, and the fullest."""

    fill_percent: Decimal
    headroom_kept: bool
    fullest_percent: Decimal
    hot_volume_ml: Decimal
    thinned_percent: Decimal | None
    thinned_volume_ml: Decimal | None
    standing: Standing
    why: str
    notes: tuple[str, ...]


class LargestCharge(NamedTuple):
    """The largest charge at 20 °C, its mass, and the volume it takes when hot."""

    charge_ml: Decimal
    charge_g: Decimal
    hot_volume_ml: Decimal
    fullest_percent: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def kettle_work() -> tuple[str, ...]:
    """List the kinds of kettle work that have a headroom of their own.

    Parameters: none. Raises: nothing. Source: common practice of the trade.

    >>> kettle_work()
    ('foaming', 'bodying')
    """
    return tuple(FULLEST_PERCENT)


def hot_volume(charges: Sequence[Charge], temperature_c: Decimal) -> HotVolume:
    """Work out the volume that a charge takes when it is hot.

    Parameters: charges [list of `Charge`; one or more]; temperature_c [°C, -20 to 350].
    Returns: the hot volume, the volume at 20 °C and their ratio.
    Raises: NotApplicable without a charge, OutOfRange for any of them.
    Source: linear density, which gives more than linear volume and is therefore safer; volumes
    are added up.

    >>> round(hot_volume([Charge(Decimal(1860), Decimal("0.930"), Decimal("0.67"))],
    ...                  Decimal(280)).hot_volume_ml, 1)
    Decimal('2461.0')
    """
    hot = _volume_ml(charges, temperature_c, blame=("charges", "temperature_c"))
    cold = _volume_ml(charges, Decimal(20), blame=("charges", "temperature_c"))
    return HotVolume(
        hot, cold, hot / cold, Standing.APPROXIMATE, STRAIGHT_LINE, _about_heat(temperature_c)
    )


def kettle_fill(
    charges: Sequence[Charge],
    kettle_ml: Decimal,
    *,
    hottest_c: Decimal,
    work: str,
    thinners: Sequence[Charge] = (),
    pour_c: Decimal | None = None,
) -> KettleFill:
    """Work out how full a kettle is planned to stand, hot and then thinned.

    Parameters: charges [list of `Charge`; one or more, what is cooked]; kettle_ml [ml, above 0;
    to the rim]; hottest_c [°C, -20 to 350; the hottest planned]; work [one of `kettle_work()`],
    foaming for rosin, carbonates, damp resin and running copal, bodying for plain oil; thinners
    [list of `Charge`; what is poured into the same kettle, none if not sent]; pour_c [°C, -20 to
    350; at which the thinner goes in, no hotter than the cook], None without thinner.
    Returns: how full it stands hot and thinned, and the fullest it should.
    Raises: NotApplicable without a charge, or for thinner without its temperature; OutOfRange
    for a number, or where the kettle would run over.
    Source: common practice: 50 % full at most where it foams, 66 % for plain oil, thinned too;
    linear density; volumes are added up.

    >>> round(kettle_fill([Charge(Decimal(1860), Decimal("0.930"), Decimal("0.67"))],
    ...       Decimal(5000), hottest_c=Decimal(280), work="foaming").fill_percent, 1)
    Decimal('49.2')
    """
    fullest = FULLEST_PERCENT[one_of(work, kettle_work(), name="work")]
    hot = _volume_ml(charges, hottest_c, blame=("charges", "hottest_c"))
    if pour_c is not None:
        within(pour_c, -20, high=hottest_c, name="pour_c")
    percent = _percent(hot, kettle_ml, name="charges", when="hot")
    thinned = _thinned_ml(charges, thinners, pour_c=pour_c)
    thinned_percent = None
    if thinned is not None:
        thinned_percent = _percent(thinned, kettle_ml, name="thinners", when="thinned")
    fuller = max(percent, thinned_percent or percent)
    return KettleFill(
        percent,
        fuller <= fullest,
        fullest,
        hot,
        thinned_percent,
        thinned,
        Standing.APPROXIMATE,
        f"{STRAIGHT_LINE}; foam is not counted and can double the volume",
        (
            *_crowded(percent, fullest, when="hot"),
            *_crowded(thinned_percent, fullest, when="thinned"),
            *((_POUR_ELSEWHERE,) if thinners else ()),
            *_about_heat(hottest_c),
        ),
    )


def largest_charge(
    kettle_ml: Decimal,
    density_20_kg_l: Decimal,
    *,
    slope_kg_m3_k: Decimal,
    hottest_c: Decimal,
    work: str,
) -> LargestCharge:
    """Work out the largest cold charge that leaves a kettle its headroom when hot.

    Parameters: kettle_ml [ml, above 0; to the rim]; density_20_kg_l [kg/l, 0.6-2.0; at 20 °C];
    slope_kg_m3_k [kg/m3/K, above 0 up to 1; drying oils about 0.67]; hottest_c [°C, -20 to 350;
    the hottest planned]; work [one of `kettle_work()`], foaming for rosin, carbonates, damp resin
    and running copal, bodying for plain oil.
    Returns: the charge at 20 °C by volume and by mass, and its hot volume.
    Raises: OutOfRange for any of them.
    Source: common practice: 50 % full at most where it foams, 66 % for plain oil; linear density.

    >>> round(largest_charge(Decimal(5000), Decimal("0.930"), slope_kg_m3_k=Decimal("0.67"),
    ...                      hottest_c=Decimal(280), work="foaming").charge_ml, 1)
    Decimal('2031.7')
    """
    fullest = FULLEST_PERCENT[one_of(work, kettle_work(), name="work")]
    room = positive(kettle_ml, "kettle_ml") * fullest / 100
    plausible_density(density_20_kg_l, "density_20_kg_l")
    above(slope_kg_m3_k, 0, high=1, name="slope_kg_m3_k")
    within(hottest_c, -20, high=350, name="hottest_c")
    grams = room * density_at(density_20_kg_l, hottest_c, slope_kg_m3_k=slope_kg_m3_k)
    return LargestCharge(
        grams / density_20_kg_l,
        grams,
        room,
        fullest,
        Standing.APPROXIMATE,
        f"{STRAIGHT_LINE}; thinner that goes into the same kettle is not counted",
        _about_heat(hottest_c),
    )


def _volume_ml(
    charges: Sequence[Charge], temperature_c: Decimal, *, blame: tuple[str, str]
) -> Decimal:
    """Masses over densities, added up; a fault is laid to the caller's list or temperature."""
    lists, warmth = blame
    count(charges, 1, name=lists)
    within(temperature_c, -20, high=350, name=warmth)
    total = Decimal(0)
    for place, each in enumerate(charges):
        at = f"{lists}/{place}"
        plausible_density(each.density_20_kg_l, f"{at}/density_20_kg_l")
        above(each.slope_kg_m3_k, 0, high=1, name=f"{at}/slope_kg_m3_k")
        hot = density_at(each.density_20_kg_l, temperature_c, slope_kg_m3_k=each.slope_kg_m3_k)
        total += positive(each.mass_g, f"{at}/mass_g") / hot
    return total


def _percent(volume_ml: Decimal, kettle_ml: Decimal, *, name: str, when: str) -> Decimal:
    percent = 100 * volume_ml / positive(kettle_ml, "kettle_ml")
    if percent > 100:
        raise OutOfRange(
            f"{volume_ml:.4g} ml {when} is more than the kettle of {kettle_ml:.6g} ml holds",
            "take a larger kettle or a smaller charge",
            field=name,
        )
    return percent


def _thinned_ml(
    charges: Sequence[Charge], thinners: Sequence[Charge], *, pour_c: Decimal | None
) -> Decimal | None:
    """The volume once thinned, all of it as warm as the varnish was; None without thinner."""
    if not thinners:
        return None
    if pour_c is None:
        raise NotApplicable(
            "the temperature at which the thinner goes in is missing",
            "send how warm the varnish is when it is poured in, such as 110",
            field="pour_c",
        )
    varnish = _volume_ml(charges, pour_c, blame=("charges", "pour_c"))
    return varnish + _volume_ml(thinners, pour_c, blame=("thinners", "pour_c"))


def _crowded(percent: Decimal | None, fullest: Decimal, *, when: str) -> tuple[str, ...]:
    if percent is None or percent <= fullest:
        return ()
    return (f"{percent:.3g} % full when {when}: leave it {fullest} % full at most",)


def _about_heat(temperature_c: Decimal) -> tuple[str, ...]:
    if temperature_c > _LINE_HOLDS_TO_C:
        return ("above 300 °C the straight line is a guess: leave more room",)
    return ()
