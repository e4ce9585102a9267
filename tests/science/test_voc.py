"""The definitions of VOC content, each by its own name."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.results import Standing
from service.science.voc import (
    voc_by_mass,
    voc_from_amounts,
    voc_less_water_exempt,
    voc_of_material,
    voc_per_solids,
    voc_ready_to_use,
)

DENSITIES = st.decimals("0.7", "1.3", places=3)
SOLIDS = st.decimals(10, 60, places=1)
WATER = st.decimals(0, 25, places=1)
EXEMPT = st.decimals(0, 15, places=1)
ACETONE = Decimal("0.791")
NARROW = Decimal("1e-20")


@given(DENSITIES, SOLIDS, WATER, EXEMPT)
def test_less_water_is_never_below_the_content_of_material(
    density: Decimal, solid: Decimal, water: Decimal, exempt: Decimal
) -> None:
    less = voc_less_water_exempt(
        density,
        solid,
        water_percent=water,
        exempt_percent=exempt,
        exempt_density_kg_l=ACETONE,
    )
    material = voc_of_material(density, solid, water_percent=water, exempt_percent=exempt)
    assert less.voc_of_material_g_l == material.voc_of_material_g_l
    assert less.voc_less_water_exempt_g_l >= material.voc_of_material_g_l


@given(DENSITIES, SOLIDS)
def test_without_water_and_exempt_compounds_all_definitions_per_volume_agree(
    density: Decimal, solid: Decimal
) -> None:
    ready = voc_ready_to_use(density, solid).voc_ready_to_use_g_l
    assert voc_of_material(density, solid).voc_of_material_g_l == ready
    less = voc_less_water_exempt(density, solid).voc_less_water_exempt_g_l
    assert less == pytest.approx(ready, rel=NARROW)


@given(DENSITIES, SOLIDS, WATER, EXEMPT)
def test_exempt_compounds_count_in_europe_and_not_in_the_united_states(
    density: Decimal, solid: Decimal, water: Decimal, exempt: Decimal
) -> None:
    ready = voc_ready_to_use(density, solid, water_percent=water)
    material = voc_of_material(density, solid, water_percent=water, exempt_percent=exempt)
    counted = ready.voc_ready_to_use_g_l - material.voc_of_material_g_l
    assert counted == 10 * density * exempt
    by_mass = voc_by_mass(solid, water).voc_percent
    assert ready.voc_percent == by_mass


@given(DENSITIES, SOLIDS, WATER, EXEMPT)
def test_percents_and_amounts_give_the_same(
    density: Decimal, solid: Decimal, water: Decimal, exempt: Decimal
) -> None:
    less = voc_less_water_exempt(
        density,
        solid,
        water_percent=water,
        water_density_kg_l=Decimal(1),
        exempt_percent=exempt,
        exempt_density_kg_l=ACETONE,
    )
    amounts = voc_from_amounts(
        10 * density * (100 - solid - water - exempt),
        Decimal(1),
        water_l=density * water / 100,
        exempt_l=density * exempt / 100 / ACETONE,
    )
    found = amounts.voc_less_water_exempt_g_l
    assert found == pytest.approx(less.voc_less_water_exempt_g_l, rel=NARROW)
    assert amounts.voc_per_solids_g_l is None
    assert amounts.voc_per_solids_lb_per_us_gal is None


@given(DENSITIES, SOLIDS, st.decimals(5, 90, places=1))
def test_the_solids_carry_the_voc_of_their_coating(
    density: Decimal, solid: Decimal, volume: Decimal
) -> None:
    found = voc_per_solids(density, solid, volume_solids_percent_vol=volume)
    material = voc_of_material(density, solid)
    carried = found.voc_per_solids_g_l * volume / 100
    assert carried == pytest.approx(material.voc_of_material_g_l, rel=NARROW)
    by_mass = found.voc_per_mass_of_solids * material.solid_g_l
    assert by_mass == pytest.approx(material.voc_of_material_g_l, rel=NARROW)
    assert found.standing is Standing.CONVENTION


def test_exempt_compounds_need_their_density() -> None:
    with pytest.raises(NotApplicable) as refused:
        voc_less_water_exempt(Decimal("0.9"), Decimal(40), exempt_percent=Decimal(10))
    assert refused.value.field == "exempt_density_kg_l"


@pytest.mark.parametrize(
    ("water", "exempt", "field"), [("70", "0", "water_percent"), ("0", "70", "exempt_percent")]
)
def test_no_volume_left_is_refused_at_what_fills_it(water: str, exempt: str, field: str) -> None:
    with pytest.raises(OutOfRange, match="more than the litre") as refused:
        voc_less_water_exempt(
            Decimal("1.5"),
            Decimal(20),
            water_percent=Decimal(water),
            exempt_percent=Decimal(exempt),
            exempt_density_kg_l=ACETONE,
        )
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("water", "exempt", "field"), [("41", "0", "water_percent"), ("20", "21", "exempt_percent")]
)
def test_more_than_all_is_refused_at_what_goes_over(water: str, exempt: str, field: str) -> None:
    with pytest.raises(OutOfRange, match="more than 100 %") as refused:
        voc_by_mass(Decimal(60), Decimal(water), exempt_percent=Decimal(exempt))
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("water", "exempt", "solids", "field"),
    [("1", "0", None, "water_l"), ("0", "1", None, "exempt_l"), ("0.5", "0", "0.6", "solids_l")],
)
def test_amounts_that_fill_more_than_the_coating_are_refused(
    water: str, exempt: str, solids: str | None, field: str
) -> None:
    with pytest.raises(OutOfRange, match="leave no room") as refused:
        voc_from_amounts(
            Decimal(10),
            Decimal(1),
            water_l=Decimal(water),
            exempt_l=Decimal(exempt),
            solids_l=None if solids is None else Decimal(solids),
        )
    assert refused.value.field == field
