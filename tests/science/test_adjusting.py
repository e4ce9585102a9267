"""One addition that brings a pot to a target, and as what an addition counted."""

import math
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from molmass import Formula
from scipy.optimize import brentq

from service.science.adjusting import (
    adding_laws,
    addition_to_target,
    alkali_value,
    counted_as,
    takes_up_acid,
    value_after,
)
from service.science.cup_equations import viscosity_in_cup
from service.science.errors import NotApplicable, OutOfRange
from service.science.thinning import concentrate_to_non_volatile, thinner_to_non_volatile
from service.science.viscosity_mixing import thinner_to_cup_time

MASSES = st.decimals(1, 50_000, places=1)
LAWS = st.sampled_from(adding_laws())
VALUES = st.lists(st.decimals("0.5", 900, places=1), min_size=3, max_size=3, unique=True)
NARROW = Decimal("1e-12")


@given(MASSES, VALUES, LAWS, st.booleans())
def test_the_whole_addition_comes_to_the_target_from_either_side(
    mass: Decimal, values: list[Decimal], law: str, upwards: bool
) -> None:
    low, target, high = sorted(values)
    now, added = (low, high) if upwards else (high, low)
    found = addition_to_target(mass, now, target=target, added=added, law=law)
    after = value_after(mass, now, added_g=found.add_g, added=added, law=law)
    assert after == pytest.approx(target, rel=NARROW)


@given(MASSES, VALUES, LAWS)
def test_the_first_part_leads_nearer_and_never_beyond(
    mass: Decimal, values: list[Decimal], law: str
) -> None:
    low, target, high = sorted(values)
    found = addition_to_target(mass, high, target=target, added=low, law=law)
    assert found.first_from_g == Decimal("0.6") * found.add_g
    assert found.first_to_g == Decimal("0.7") * found.add_g
    assert target < found.first_to_value < found.first_from_value < high


@given(MASSES, MASSES, VALUES, LAWS)
def test_what_an_addition_counted_as_is_found_from_the_answer(
    mass: Decimal, added_g: Decimal, values: list[Decimal], law: str
) -> None:
    assume(added_g > mass / 100)
    before, added, _ = values
    after = value_after(mass, before, added_g=added_g, added=added, law=law)
    found = counted_as(mass, before, after=after, added_g=added_g, law=law)
    assert found == pytest.approx(added, rel=Decimal("1e-9"))


@given(MASSES, VALUES, LAWS)
def test_a_target_that_does_not_lie_between_is_refused(
    mass: Decimal, values: list[Decimal], law: str
) -> None:
    low, middle, high = sorted(values)
    for target, now, added in ((high, middle, low), (low, middle, high), (low, low, high)):
        with pytest.raises(OutOfRange):
            addition_to_target(mass, now, target=target, added=added, law=law)


def test_it_agrees_with_thinning_and_with_raising_by_mass_balance() -> None:
    down = thinner_to_non_volatile(Decimal(1000), Decimal(60), target_percent=Decimal(52))
    up = concentrate_to_non_volatile(
        Decimal(1000), Decimal(40), concentrate_percent=Decimal(80), target_percent=Decimal(55)
    )
    common = {"law": "mean"}
    thin = addition_to_target(
        Decimal(1000), Decimal(60), target=Decimal(52), added=Decimal(0), **common
    )
    thick = addition_to_target(
        Decimal(1000), Decimal(40), target=Decimal(55), added=Decimal(80), **common
    )
    assert thin.add_g == pytest.approx(down.add_g, rel=NARROW)
    assert thick.add_g == pytest.approx(up.add_g, rel=NARROW)


def test_the_logarithm_agrees_with_a_root_found_by_scipy_and_with_the_cup() -> None:
    # scipy.optimize.brentq on ln nu = sum w ln nu (Arrhenius rule), and the cup's own function.
    now, aim, thinner = 118.0, 49.8, 1.5

    def off(grams: float) -> float:
        mixed = (1000 * math.log(now) + grams * math.log(thinner)) / (1000 + grams)
        return mixed - math.log(aim)

    figures = {"target": Decimal("49.8"), "added": Decimal("1.5"), "law": "logarithm"}
    found = addition_to_target(Decimal(1000), Decimal(118), **figures)
    assert float(found.add_g) == pytest.approx(brentq(off, 1, 1000), rel=1e-9)
    timed = thinner_to_cup_time(
        "ISO2431-4",
        Decimal(1000),
        now_s=Decimal(90),
        target_s=Decimal(40),
        thinner_viscosity_mm2_s=Decimal("1.5"),
    )
    both = [viscosity_in_cup("ISO2431-4", Decimal(each)) for each in (90, 40)]
    figures["target"] = both[1]
    again = addition_to_target(Decimal(1000), both[0], **figures)
    assert again.add_g == pytest.approx(timed.add_g, rel=NARROW)


def test_densities_are_mixed_by_added_volumes() -> None:
    # 1000 g at 0.93 kg/l and 200 g at 0.78 kg/l: 1200 g in 1075.269 + 256.410 ml.
    found = value_after(
        Decimal(1000),
        Decimal("0.93"),
        added_g=Decimal(200),
        added=Decimal("0.78"),
        law="reciprocal",
    )
    assert float(found) == pytest.approx(1200 / (1000 / 0.93 + 200 / 0.78), rel=1e-12)


@pytest.mark.parametrize(
    ("formula", "equivalents"), [("NaOH", 1), ("Na2CO3", 2), ("CaO", 2), ("ZnO", 2), ("Ca(OH)2", 2)]
)
def test_the_acid_a_base_takes_up_follows_from_its_molar_mass(
    formula: str, equivalents: int
) -> None:
    # molmass: equivalents x M(KOH) / M(base), in mg to the gram.
    expected = 1000 * equivalents * Formula("KOH").mass / Formula(formula).mass
    assert float(alkali_value(formula, Decimal(100))) == pytest.approx(expected, rel=1e-4)
    assert alkali_value(formula, Decimal(90)) == Decimal("0.9") * alkali_value(
        formula, Decimal(100)
    )
    assert takes_up_acid(formula)


def test_potassium_hydroxide_takes_up_a_thousand_by_definition() -> None:
    assert float(alkali_value("KOH", Decimal(100))) == pytest.approx(1000, rel=1e-4)


def test_what_is_no_base_takes_up_nothing_known() -> None:
    assert not takes_up_acid("C10H16")
    with pytest.raises(NotApplicable):
        alkali_value("C10H16", Decimal(100))
    with pytest.raises(OutOfRange):
        alkali_value("CaO", Decimal("0.98"))


@pytest.mark.parametrize(
    ("before", "after", "grams", "law"),
    [
        ("100", "1", "0.000001", "logarithm"),
        ("0.93", "1.9", "0.001", "reciprocal"),
        ("0.93", "0.5", "0.0000001", "reciprocal"),
    ],
)
def test_an_answer_that_nothing_explains_is_refused(
    before: str, after: str, grams: str, law: str
) -> None:
    with pytest.raises(NotApplicable):
        counted_as(
            Decimal(1000), Decimal(before), after=Decimal(after), added_g=Decimal(grams), law=law
        )
