"""Density of water, from a specific gravity, over temperature, and from a pyknometer."""

from decimal import Decimal
from typing import Any

import pytest
from chemicals import iapws95_rho
from hypothesis import given
from hypothesis import strategies as st

from service.science.densities import (
    density_at,
    density_from_specific_gravity,
    density_to_20,
    plausible_density,
    pyknometer_density,
    specific_gravity_bases,
    water_density,
)
from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.results import Standing

SLOPE = Decimal("0.67")
WATER = Decimal("0.9982012")


def weighed(water: str, sample: str, air: str = "0") -> Any:
    """A pyknometer of 32.1 g."""
    return pyknometer_density(
        Decimal("32.1"),
        Decimal(water),
        sample_g=Decimal(sample),
        water_density_kg_l=WATER,
        air_density_kg_l=Decimal(air),
    )


@given(st.decimals("0.85", "1.0", places=4), st.decimals(-20, 200, places=1))
def test_a_density_taken_to_a_temperature_and_back_is_the_same(
    density: Decimal, temperature: Decimal
) -> None:
    there = density_at(density, temperature, slope_kg_m3_k=SLOPE)
    back = density_to_20(there, temperature, slope_kg_m3_k=SLOPE)
    assert (back.value, back.standing) == (density, Standing.APPROXIMATE)


@pytest.mark.parametrize("density", ["0.59", "2.01", "NaN"])
def test_a_density_no_material_has_is_refused_at_the_name_of_the_caller(density: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        plausible_density(Decimal(density), "film_density_kg_l")
    assert refused.value.field == "film_density_kg_l"
    assert "film density" in refused.value.message


@pytest.mark.parametrize(("temperature", "slope"), [("351", "0.67"), ("100", "0"), ("100", "2.1")])
def test_a_temperature_or_a_slope_out_of_range_is_refused(temperature: str, slope: str) -> None:
    for correct in (density_at, density_to_20):
        with pytest.raises(OutOfRange):
            correct(Decimal("0.93"), Decimal(temperature), slope_kg_m3_k=Decimal(slope))


def test_a_line_that_falls_too_far_is_refused() -> None:
    with pytest.raises(OutOfRange, match="would fall"):
        density_at(Decimal("0.7"), Decimal(350), slope_kg_m3_k=Decimal(2))


@given(st.decimals(0, 40, places=1))
def test_water_is_heaviest_at_4_degrees(temperature: Decimal) -> None:
    assert water_density(temperature) <= water_density(Decimal(4)) + Decimal("1e-6")


@pytest.mark.parametrize("temperature", range(0, 41, 5))
def test_water_agrees_with_the_international_equation_of_state(temperature: int) -> None:
    """IAPWS-95 in chemicals, on the present temperature scale."""
    expected = iapws95_rho(temperature + 273.15, 101325) / 1000
    assert float(water_density(Decimal(temperature))) == pytest.approx(expected, abs=8e-6)


@pytest.mark.parametrize("basis", specific_gravity_bases())
def test_a_specific_gravity_of_one_is_the_water_it_names(basis: str) -> None:
    found = density_from_specific_gravity(Decimal(1), basis)
    assert found.density_kg_l == found.water_density_kg_l
    assert 15 <= found.temperature_c <= 25


@given(st.decimals("0.6", "2", places=4), st.sampled_from(specific_gravity_bases()))
def test_density_grows_with_specific_gravity_in_proportion(gravity: Decimal, basis: str) -> None:
    one = density_from_specific_gravity(Decimal(1), basis).density_kg_l
    found = density_from_specific_gravity(gravity, basis).density_kg_l
    assert found / gravity == pytest.approx(one, rel=Decimal("1e-20"))


@pytest.mark.parametrize(("gravity", "basis"), [("0.93", ""), ("0.93", "20"), ("0.5", "20/20")])
def test_a_specific_gravity_without_its_two_temperatures_is_refused(
    gravity: str, basis: str
) -> None:
    with pytest.raises(OutOfRange):
        density_from_specific_gravity(Decimal(gravity), basis)


@pytest.mark.parametrize(
    ("water", "sample", "refusal", "field"),
    [
        ("82", "32.1", OutOfRange, "sample_g"),
        ("30", "78", OutOfRange, "water_g"),
        ("82", "50", NotApplicable, "sample_g"),
        ("82", "150", NotApplicable, "sample_g"),
    ],
)
def test_weighings_that_give_no_density_are_refused(
    water: str, sample: str, refusal: type[ScienceError], field: str
) -> None:
    with pytest.raises(refusal) as refused:
        weighed(water, sample)
    assert refused.value.field == field


def test_water_in_a_pyknometer_has_the_density_of_water_with_or_without_air() -> None:
    assert weighed("82", "82").density_kg_l == WATER
    assert weighed("82", "82", "0.0012").density_kg_l == WATER


@given(st.decimals("62.2", 130, places=3))
def test_a_density_that_finished_products_do_not_have_is_noted(sample: Decimal) -> None:
    found = weighed("82", str(sample))
    usual = Decimal("0.78") <= found.density_kg_l <= Decimal("1.05")
    assert bool(found.notes) is not usual
    assert found.sample_held_g == sample - Decimal("32.1")
