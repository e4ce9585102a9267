"""Strength of spirit: the legal formula, its questions backwards, proof, and thinning."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from service.science.errors import OutOfRange
from service.science.strength import (
    dilution,
    ethanol_by_mass,
    ethanol_by_volume,
    ethanol_density,
    proof_of,
    proof_reduction,
    proof_strength,
    strength_from_density,
)

PERCENTS = st.decimals(0, 100, places=2)
SPIRITS = st.decimals("0.1", 100, places=1)
TEMPERATURES = st.decimals(0, 40, places=1)
CLOSE = Decimal("1e-7")


@given(PERCENTS)
def test_by_volume_to_by_mass_and_back_is_the_same(percent: Decimal) -> None:
    there = ethanol_by_mass(percent)
    back = ethanol_by_volume(there.ethanol_percent)
    assert back.ethanol_percent_vol == pytest.approx(percent, abs=CLOSE)
    assert back.density_20_kg_l == pytest.approx(there.density_20_kg_l, abs=CLOSE)


@given(PERCENTS, TEMPERATURES)
def test_a_density_read_at_any_temperature_gives_the_strength_back(
    percent: Decimal, temperature: Decimal
) -> None:
    found = strength_from_density(ethanol_density(percent, temperature), temperature)
    assert found.ethanol_percent == pytest.approx(percent, abs=Decimal("1e-6"))


@given(st.decimals(1, 99, places=2), TEMPERATURES)
def test_halving_the_interval_finds_what_an_independent_root_finder_finds(
    percent: Decimal, temperature: Decimal
) -> None:
    wanted = float(ethanol_density(percent, temperature))

    def gap(mass_percent: float) -> float:
        return float(ethanol_density(Decimal(mass_percent), temperature)) - wanted

    found = strength_from_density(ethanol_density(percent, temperature), temperature)
    assert float(found.ethanol_percent) == pytest.approx(brentq(gap, 0, 100), abs=1e-6)


@given(st.decimals(0, "99.9", places=1), st.decimals(-20, 40, places=1))
def test_more_ethanol_is_lighter_at_every_temperature(
    percent: Decimal, temperature: Decimal
) -> None:
    stronger = ethanol_density(percent + Decimal("0.1"), temperature)
    assert stronger < ethanol_density(percent, temperature)


@given(st.decimals(0, 200, places=1))
def test_proof_to_strength_and_back_is_the_same(proof: Decimal) -> None:
    strength = proof_strength(proof)
    assert strength.alcohol_parts * 2 == proof
    assert proof_of(strength.at_20_c_percent_vol).strength_proof == proof


@given(SPIRITS, SPIRITS, st.decimals(1, 10000, places=1))
def test_thinning_keeps_the_ethanol_and_the_mass(a: Decimal, b: Decimal, volume: Decimal) -> None:
    stock, target = max(a, b), min(a, b)
    found = dilution(stock, target, volume_ml=volume)
    made = ethanol_by_mass(target)
    ethanol_g = found.stock_g * ethanol_by_mass(stock).ethanol_percent / 100
    assert ethanol_g == pytest.approx(volume * made.ethanol_g_l / 1000, rel=CLOSE)
    assert found.stock_g + found.water_g == pytest.approx(
        volume * made.density_20_kg_l, rel=Decimal("1e-20")
    )
    assert found.stock_ml + found.water_ml - found.contraction_ml == pytest.approx(
        volume, rel=Decimal("1e-20")
    )
    assert found.notes


@given(st.integers(1, 2000), st.integers(1, 2000), st.decimals(1, 1000, places=1))
def test_reducing_in_two_steps_takes_the_water_of_one(a: int, b: int, volume: Decimal) -> None:
    proof, low = (Decimal(tenths) / 10 for tenths in (max(a, b), min(a, b)))
    middle = (proof + low) / 2
    first = proof_reduction(proof, middle, volume_us_gal=volume)
    second = proof_reduction(middle, low, volume_us_gal=first.reduced_us_gal)
    once = proof_reduction(proof, low, volume_us_gal=volume)
    both = first.water_us_gal + second.water_us_gal
    assert both == pytest.approx(once.water_us_gal, abs=Decimal("1e-6") * once.reduced_us_gal)


@given(SPIRITS)
def test_thinning_to_the_same_strength_takes_no_water(percent: Decimal) -> None:
    assert dilution(percent, percent, volume_ml=Decimal(100)).water_g == 0
    same = proof_reduction(percent, percent, volume_us_gal=Decimal(1))
    assert (same.water_us_gal, same.reduced_us_gal) == (0, 1)


@pytest.mark.parametrize(
    ("density", "temperature", "notes"),
    [("0.8074", "20", 1), ("0.8855", "20", 2), ("0.80", "30", 2), ("0.9", "4", 3)],
)
def test_a_reading_notes_denaturants_weak_spirit_and_a_warm_or_cold_hydrometer(
    density: str, temperature: str, notes: int
) -> None:
    assert len(strength_from_density(Decimal(density), Decimal(temperature)).notes) == notes


@pytest.mark.parametrize("density", ["0.789238", "0.998202", "0", "NaN"])
def test_a_density_no_mixture_has_is_refused_with_those_it_may_have(density: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        strength_from_density(Decimal(density), Decimal(20))
    assert refused.value.field == "density_kg_l"


@pytest.mark.parametrize(("density", "percent"), [("0.789239", 100), ("0.998201", 0)])
def test_the_limits_that_a_refusal_names_are_taken(density: str, percent: int) -> None:
    found = strength_from_density(Decimal(density), Decimal(20))
    assert found.ethanol_percent == pytest.approx(percent, abs=Decimal("0.0002"))


@pytest.mark.parametrize("temperature", ["-20.1", "40.1"])
def test_the_formula_is_not_asked_beyond_its_temperatures(temperature: str) -> None:
    with pytest.raises(OutOfRange):
        ethanol_density(Decimal(50), Decimal(temperature))


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: dilution(Decimal(70), Decimal(96), volume_ml=Decimal(1)), "target_percent_vol"),
        (
            lambda: proof_reduction(Decimal(100), Decimal(101), volume_us_gal=Decimal(1)),
            "target_proof",
        ),
        (lambda: proof_of(Decimal("100.1")), "ethanol_percent_vol"),
        (lambda: proof_strength(Decimal("200.1")), "strength_proof"),
    ],
)
def test_what_water_cannot_make_is_refused(call: Any, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.field == field
