"""Flow cups as a maker asks for them: notes on warmth, on runs, and the cup to take."""

from decimal import Decimal
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cup_equations import cup_named, cups
from service.science.errors import NotApplicable, OutOfRange
from service.science.flow_cups import (
    cup_runs,
    cup_seconds,
    cup_to_cup,
    cups_for,
    dynamic_viscosity,
    kinematic_viscosity,
)


def notes_at(cup: str, celsius: str | None) -> str:
    warm = None if celsius is None else Decimal(celsius)
    return " / ".join(kinematic_viscosity(cup, Decimal(62), temperature_c=warm).notes)


def test_without_a_temperature_it_is_asked_for() -> None:
    assert "run at 23 °C" in notes_at("ISO2431-4", None)


@pytest.mark.parametrize(
    ("cup", "celsius"),
    [("ISO2431-4", "23.5"), ("Ford-4", "25"), ("DIN53211-4", "20"), ("DIN53211-4", "23")],
)
def test_at_the_temperature_of_the_cup_nothing_is_said_of_warmth(cup: str, celsius: str) -> None:
    assert "°C" not in notes_at(cup, celsius)


def test_off_the_temperature_of_the_cup_it_is_noted() -> None:
    found = notes_at("ISO2431-4", "25")
    assert "4 to 8 % for each K" in found
    assert "outside" not in found


@pytest.mark.parametrize("celsius", ["19.9", "26.1"])
def test_outside_20_to_26_degrees_it_is_warned(celsius: str) -> None:
    assert "outside 20 to 26 °C" in notes_at("ISO2431-4", celsius)


@pytest.mark.parametrize("celsius", ["-0.1", "60.1"])
def test_a_temperature_no_cup_is_run_at_is_refused(celsius: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        cup_seconds("ISO2431-4", Decimal(100), temperature_c=Decimal(celsius))
    assert refused.value.field == "temperature_c"


def test_two_runs_are_asked_for() -> None:
    assert "two runs" in notes_at("ISO2431-4", "23")


def test_the_withdrawn_cup_says_so() -> None:
    assert "withdrawn" in notes_at("DIN53211-4", "23")


def test_what_an_equation_rests_on_is_said() -> None:
    assert "within 4 %" in kinematic_viscosity("Zahn-2", Decimal(35)).why
    assert "read second-hand" in kinematic_viscosity("ISO2431-4", Decimal(62)).why


@given(st.decimals("6.7", 1800, places=1))
def test_every_body_between_has_a_cup_and_its_seconds_fit(viscosity: Decimal) -> None:
    found = cups_for(viscosity)
    assert found.cup in [one.cup for one in found.times]
    for one in found.times:
        assert cup_named(one.cup).shortest_s <= one.seconds <= cup_named(one.cup).longest_s


@pytest.mark.parametrize(("viscosity", "way"), [("6", "capillary"), ("1841", "bubble tube")])
def test_a_body_that_no_cup_measures_is_refused_with_another_way(viscosity: str, way: str) -> None:
    with pytest.raises(OutOfRange, match=way) as refused:
        cups_for(Decimal(viscosity))
    assert refused.value.field == "viscosity_mm2_s"


@pytest.mark.parametrize("cup", cups())
def test_from_a_cup_to_itself_nothing_changes(cup: str) -> None:
    middle = (cup_named(cup).shortest_s + cup_named(cup).longest_s) / 2
    there = cup_to_cup(cup, middle, to_cup=cup)
    assert there.seconds == pytest.approx(middle, rel=Decimal("1e-20"))
    assert not [note for note in there.notes if "warm" in note]


def test_between_cups_run_at_other_temperatures_the_note_names_both() -> None:
    notes = " ".join(cup_to_cup("ISO2431-4", Decimal(62), to_cup="Ford-4").notes)
    assert "23 °C" in notes
    assert "25 °C" in notes


def test_waxed_goods_are_not_turned_from_cup_to_cup() -> None:
    with pytest.raises(NotApplicable) as refused:
        cup_to_cup("Ford-4", Decimal(46), to_cup="Zahn-2", waxed_or_gelled=True)
    assert refused.value.field == "waxed_or_gelled"


def test_a_second_cup_that_does_not_measure_the_body_is_the_one_to_blame() -> None:
    with pytest.raises(OutOfRange, match="Zahn-2") as refused:
        cup_to_cup("Ford-4", Decimal(46), to_cup="Zahn-5")
    assert refused.value.field == "to_cup"


def test_an_unknown_second_cup_is_the_one_to_blame() -> None:
    with pytest.raises(OutOfRange) as refused:
        cup_to_cup("Ford-4", Decimal(46), to_cup="Ford-9")
    assert refused.value.field == "to_cup"


@given(st.lists(st.decimals(30, 100, places=1), min_size=2, max_size=6), st.randoms())
def test_the_order_of_runs_does_not_matter(runs: list[Decimal], shuffle: Random) -> None:
    mixed = list(runs)
    shuffle.shuffle(mixed)
    found = cup_runs("ISO2431-4", mixed)
    assert found == cup_runs("ISO2431-4", runs)
    assert min(runs) <= found.mean_s <= max(runs)


def test_runs_that_differ_are_told_to_be_repeated() -> None:
    assert "time another" in cup_runs("ISO2431-4", [Decimal(60), Decimal(64)]).notes[0]
    assert cup_runs("ISO2431-4", [Decimal(61), Decimal(63)]).notes == ()


def test_a_run_outside_the_cup_is_blamed_by_its_place() -> None:
    with pytest.raises(OutOfRange) as refused:
        cup_runs("ISO2431-4", [Decimal(61), Decimal(101)])
    assert refused.value.field == "runs_s/1"


@given(st.decimals("0.1", 2000, places=1), st.decimals("0.6", 2, places=3))
def test_dynamic_over_density_is_kinematic_viscosity(kinematic: Decimal, density: Decimal) -> None:
    # 1 mm2/s of 1 kg/l is 1 mPa.s by the definition of the units (SI brochure).
    assert dynamic_viscosity(kinematic, density) / density == pytest.approx(kinematic)
