"""Equivalent cook times."""

import math
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from service.science.cook_time import (
    CookReading,
    CookStep,
    activation_energy,
    equivalent_time,
    equivalent_time_of_log,
    q10,
)
from service.science.errors import NotApplicable, OutOfRange

ENERGY, REFERENCE = Decimal(120), Decimal(280)
energies = st.decimals(20, 300, places=1)
warmths = st.decimals(0, 350, places=1)
references = st.decimals(100, 350, places=1)
minutes = st.decimals(1, 600, places=1)


@given(minutes, references, energies)
def test_minutes_at_the_reference_count_in_full(
    long: Decimal, at: Decimal, energy: Decimal
) -> None:
    found = equivalent_time([CookStep(long, at)], at, activation_energy_kj_mol=energy)
    assert found.minutes == long == found.on_the_clock_min


@given(minutes, warmths, references, energies)
def test_a_flat_log_is_a_step(long: Decimal, at: Decimal, by: Decimal, energy: Decimal) -> None:
    log = [CookReading(Decimal(0), at), CookReading(long, at)]
    step = equivalent_time([CookStep(long, at)], by, activation_energy_kj_mol=energy)
    found = equivalent_time_of_log(log, by, activation_energy_kj_mol=energy)
    assert found.minutes == pytest.approx(step.minutes, rel=Decimal("1e-12"))


@given(warmths, warmths, references, energies)
def test_a_rise_or_fall_is_the_integral_of_scipy(
    start: Decimal, end: Decimal, reference: Decimal, energy: Decimal
) -> None:
    # Arrhenius rate integrated by scipy 1.17.1 quad.
    def rate(share: float) -> float:
        kelvin = float(start) + float(end - start) * share + 273.15
        inverse = 1 / kelvin - 1 / (float(reference) + 273.15)
        return math.exp(-float(energy) * 1000 / 8.314462618 * inverse)

    log = [CookReading(Decimal(0), start), CookReading(Decimal(1), end)]
    found = equivalent_time_of_log(log, reference, activation_energy_kj_mol=energy)
    assert float(found.minutes) == pytest.approx(quad(rate, 0, 1, epsabs=0)[0], rel=1e-5)


def test_a_reading_in_the_middle_of_a_straight_line_changes_nothing() -> None:
    ends = [CookReading(Decimal(0), Decimal(200)), CookReading(Decimal(40), Decimal(280))]
    between = [ends[0], CookReading(Decimal(20), Decimal(240)), ends[1]]
    found = [
        equivalent_time_of_log(each, REFERENCE, activation_energy_kj_mol=ENERGY).minutes
        for each in (ends, between)
    ]
    assert found[0] == pytest.approx(found[1], rel=Decimal("1e-6"))


@given(minutes, st.decimals(0, 345, places=0), st.decimals(5, 100, places=0), energies)
def test_two_cooks_give_back_the_energy_they_were_made_with(
    long: Decimal, cool: Decimal, hotter: Decimal, energy: Decimal
) -> None:
    hot = min(cool + hotter, Decimal(350))
    reference = max(hot, Decimal(100))
    rates = [
        equivalent_time([CookStep(Decimal(1), at)], reference, activation_energy_kj_mol=energy)
        for at in (cool, hot)
    ]
    short = long * rates[0].minutes / rates[1].minutes
    # At the very ends the last digit of the energy may fall outside.
    assume(Decimal("20.1") < energy < Decimal("299.9") and short > Decimal("1e-15"))
    found = activation_energy(long, cool, hot_min=short, hot_c=hot).value
    assert found == pytest.approx(energy, rel=Decimal("1e-9"))


def test_two_cooks_that_cannot_have_come_equally_far_are_refused() -> None:
    with pytest.raises(NotApplicable, match="equally far"):
        activation_energy(Decimal(30), Decimal(270), hot_min=Decimal(60), hot_c=Decimal(280))


@given(st.decimals(0, 330, places=0), energies)
def test_a_hotter_cook_gains_less_by_10_k(celsius: Decimal, energy: Decimal) -> None:
    assert 1 < q10(celsius + 10, energy).value < q10(celsius, energy).value


@pytest.mark.parametrize(("energy", "noted"), [("99", True), ("120", False), ("161", True)])
def test_an_unusual_energy_is_noted(energy: str, noted: bool) -> None:
    step = [CookStep(Decimal(60), REFERENCE)]
    found = equivalent_time(step, REFERENCE, activation_energy_kj_mol=Decimal(energy))
    assert bool(found.notes) == noted


def test_readings_out_of_order_are_blamed_by_their_place() -> None:
    log = [CookReading(Decimal(at), REFERENCE) for at in (0, 5, 5)]
    with pytest.raises(OutOfRange) as refused:
        equivalent_time_of_log(log, REFERENCE, activation_energy_kj_mol=ENERGY)
    assert refused.value.field == "readings/2/minutes"


@pytest.mark.parametrize(
    ("step", "field"),
    [
        (CookStep(Decimal(-5), REFERENCE), "steps/0/minutes"),
        (CookStep(Decimal(5), Decimal(351)), "steps/0/temperature_c"),
    ],
)
def test_a_step_that_cannot_be_is_refused(step: CookStep, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        equivalent_time([step], REFERENCE, activation_energy_kj_mol=ENERGY)
    assert refused.value.field == field
