"""How oils and solvents swell, beside densities that others have measured or correlated."""

from decimal import Decimal

import pytest
from chemicals.volume import rho_data_VDI_PPDS_2, volume_VDI_PPDS
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.expansion import (
    density_slope,
    expansion,
    liquids,
    typical_density,
    volume_at,
)
from service.science.results import Standing
from service.science.strength import ethanol_density

DENSITIES = st.decimals("0.85", "1.0", places=4)
SLOPES = st.decimals("0.5", "1", places=3)


@given(DENSITIES, st.decimals(-20, 300, places=1), SLOPES)
def test_mass_is_kept_on_the_way_to_another_temperature(
    density: Decimal, temperature: Decimal, slope: Decimal
) -> None:
    found = expansion(density, temperature, slope_kg_m3_k=slope)
    assert found.density_kg_l * found.expansion_ratio == pytest.approx(
        density, rel=Decimal("1e-20")
    )
    assert (found.expansion_ratio > 1) == (temperature > 20)
    assert found.standing is Standing.APPROXIMATE


@given(DENSITIES, SLOPES, st.decimals(-20, 100, places=1), st.decimals(5, 100, places=1))
def test_two_densities_on_a_line_give_the_line_back(
    density: Decimal, slope: Decimal, cold: Decimal, step: Decimal
) -> None:
    here, there = (
        expansion(density, at, slope_kg_m3_k=slope).density_kg_l for at in (cold, cold + step)
    )
    found = density_slope(here, there, cold_c=cold, hot_c=cold + step)
    assert found.slope_kg_m3_k == pytest.approx(slope, rel=Decimal("1e-20"))
    assert found.density_20_kg_l == pytest.approx(density, rel=Decimal("1e-20"))


@given(st.decimals(-20, 40, places=1))
def test_near_20_degrees_volume_and_density_lines_agree_to_a_thousandth(
    temperature: Decimal,
) -> None:
    by_density = expansion(Decimal("0.93"), temperature, slope_kg_m3_k=Decimal("0.67"))
    per_k = Decimal("0.00067") / Decimal("0.93")
    by_volume = volume_at(Decimal(1), temperature, expansion_per_k=per_k).value
    assert by_volume == pytest.approx(by_density.expansion_ratio, abs=Decimal("0.001"))


@given(st.decimals(-20, 40, places=1))
def test_the_line_of_ethanol_keeps_to_the_legal_formula(temperature: Decimal) -> None:
    line = typical_density("ethanol", temperature).density_kg_l
    assert line == pytest.approx(ethanol_density(Decimal(100), temperature), rel=Decimal("0.0015"))


@pytest.mark.parametrize("temperature", range(-20, 41, 10))
def test_the_line_of_2_propanol_keeps_to_the_vdi_correlation(temperature: int) -> None:
    """Coefficients of the VDI heat atlas in chemicals."""
    row = rho_data_VDI_PPDS_2.loc["67-63-0"]
    constants = (row.Tc, row.rhoc, row.A, row.B, row.C, row.D, row.MW)
    expected = row.MW / volume_VDI_PPDS(temperature + 273.15, *constants) / 1e6
    found = typical_density("2-propanol", Decimal(temperature)).density_kg_l
    assert float(found) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize("liquid", liquids())
def test_a_usual_density_lies_within_its_span_and_falls_with_warmth(liquid: str) -> None:
    cold, warm = (typical_density(liquid, Decimal(at)) for at in (10, 40))
    assert cold.lowest_kg_l <= cold.density_kg_l <= cold.highest_kg_l
    assert cold.density_kg_l > warm.density_kg_l
    per_k = cold.slope_kg_m3_k / cold.density_20_kg_l / 1000
    assert cold.expansion_per_k == pytest.approx(per_k, rel=Decimal("1e-20"))


@pytest.mark.parametrize(("liquid", "temperature"), [("turpentine", 41), ("tung oil", 9)])
def test_a_line_is_not_drawn_beyond_its_temperatures(liquid: str, temperature: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        typical_density(liquid, Decimal(temperature))
    assert refused.value.field == "temperature_c"


def test_a_liquid_not_in_the_table_is_answered_with_those_that_are() -> None:
    with pytest.raises(OutOfRange, match="linseed oil"):
        typical_density("whale oil", Decimal(20))


@pytest.mark.parametrize(("cold", "hot"), [("0.93", "0.93"), ("0.92", "0.93"), ("0.93", "0.90")])
def test_a_density_that_does_not_fall_as_liquids_do_is_refused(cold: str, hot: str) -> None:
    with pytest.raises(NotApplicable, match="would fall"):
        density_slope(Decimal(cold), Decimal(hot), cold_c=Decimal(15), hot_c=Decimal(25))


@pytest.mark.parametrize("hot", ["19.9", "10", "351"])
def test_two_temperatures_too_near_or_too_hot_are_refused(hot: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        density_slope(Decimal("0.93"), Decimal("0.92"), cold_c=Decimal(15), hot_c=Decimal(hot))
    assert refused.value.field == "hot_c"
