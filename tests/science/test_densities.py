"""Density over temperature, and from a pyknometer."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.densities import (
    density_at,
    density_from_specific_gravity,
    density_to_20,
    plausible_density,
    pyknometer_density,
)
from service.science.errors import OutOfRange

SLOPE = Decimal("0.67")


@given(st.decimals("0.85", "1.0", places=4), st.decimals(-20, 200, places=1))
def test_a_density_taken_to_a_temperature_and_back_is_the_same(
    density: Decimal, temperature: Decimal
) -> None:
    there = density_at(density, temperature, slope_kg_m3_k=SLOPE)
    assert density_to_20(there, temperature, slope_kg_m3_k=SLOPE) == density


@pytest.mark.parametrize("density", ["0.59", "2.01", "NaN"])
def test_a_density_no_material_has_is_refused(density: str) -> None:
    with pytest.raises(OutOfRange):
        plausible_density(Decimal(density))


@pytest.mark.parametrize(("temperature", "slope"), [("351", "0.67"), ("100", "0"), ("100", "2.1")])
def test_a_temperature_or_a_slope_out_of_range_is_refused(temperature: str, slope: str) -> None:
    for correct in (density_at, density_to_20):
        with pytest.raises(OutOfRange):
            correct(Decimal("0.93"), Decimal(temperature), slope_kg_m3_k=Decimal(slope))


def test_a_line_that_falls_too_far_is_refused() -> None:
    with pytest.raises(OutOfRange, match="would fall"):
        density_at(Decimal("0.7"), Decimal(350), slope_kg_m3_k=Decimal(2))


def test_a_specific_gravity_at_20_is_that_of_water_at_one() -> None:
    assert density_from_specific_gravity(Decimal(1), "20/20") == Decimal("0.998201")


@pytest.mark.parametrize("sample", ["32.1", "30"])
def test_a_pyknometer_lighter_than_empty_is_refused(sample: str) -> None:
    with pytest.raises(OutOfRange):
        pyknometer_density(
            Decimal("32.1"),
            Decimal("82.0"),
            sample_g=Decimal(sample),
            water_density_kg_l=Decimal("0.9982"),
        )
