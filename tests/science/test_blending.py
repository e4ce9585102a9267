"""Blends of lots, and which of their figures may be worked out at all."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.blending import (
    Portion,
    blend,
    blended_figure,
    mixing_quantities,
    mixing_rule,
)
from service.science.errors import NotApplicable, OutOfRange
from service.science.voc import voc_ready_to_use

MASSES = st.decimals("0.1", 9999, places=1)
PORTIONS = st.lists(
    st.tuples(
        MASSES,
        st.decimals(0, 70, places=1),
        st.decimals("0.7", "1.2", places=3),
        st.decimals(0, 200, places=1),
        st.decimals(0, 30, places=1),
    ).map(lambda figures: Portion(*figures)),
    min_size=1,
    max_size=6,
)
SLACK = Decimal("1e-18")


def among(value: Decimal | None, values: list[Decimal | None]) -> bool:
    known = [each for each in values if each is not None]
    return value is not None and min(known) - SLACK <= value <= max(known) + SLACK


@given(PORTIONS)
def test_a_blend_lies_among_its_portions_and_keeps_their_mass(portions: list[Portion]) -> None:
    found = blend(portions)
    assert found.mass_g == sum(each.mass_g for each in portions)
    assert among(found.non_volatile_percent, [each.non_volatile_percent for each in portions])
    assert among(found.water_percent, [each.water_percent for each in portions])
    assert among(found.density_kg_l, [each.density_kg_l for each in portions])
    assert among(found.acid_value, [each.acid_value for each in portions])


@given(PORTIONS)
def test_the_order_of_the_portions_does_not_matter(portions: list[Portion]) -> None:
    one, other = blend(portions), blend(portions[::-1])
    assert one.non_volatile_percent == pytest.approx(other.non_volatile_percent, abs=SLACK)
    assert one.volume_ml == pytest.approx(other.volume_ml, rel=SLACK)


@given(PORTIONS)
def test_voc_per_litre_is_worked_out_again_from_the_blend(portions: list[Portion]) -> None:
    found = blend(portions)
    assert found.density_kg_l is not None
    again = voc_ready_to_use(
        found.density_kg_l, found.non_volatile_percent, water_percent=found.water_percent
    )
    assert found.voc_ready_to_use_g_l == pytest.approx(again.voc_ready_to_use_g_l, rel=SLACK)


def test_what_a_portion_lacks_is_left_out_with_a_note() -> None:
    whole = Portion(Decimal(1), Decimal(50), Decimal("0.9"), Decimal(10))
    found = blend([whole, Portion(Decimal(1), Decimal(50))])
    assert (found.density_kg_l, found.volume_ml, found.voc_ready_to_use_g_l) == (None, None, None)
    assert found.acid_value is None
    assert found.notes == (
        "the density of portion 2 is not known",
        "the acid value of portion 2 is not known",
    )


def test_spirit_with_water_gets_no_density_from_added_volumes() -> None:
    spirit = Portion(Decimal(1), Decimal(20), Decimal("0.9"), family="shellac solution")
    water = Portion(Decimal(1), Decimal(0), Decimal(1), water_percent=Decimal(100))
    assert blend([spirit, spirit]).density_kg_l == pytest.approx(Decimal("0.9"), rel=SLACK)
    wet = blend([spirit, water])
    assert wet.density_kg_l is None
    assert "alcohol tables" in wet.notes[0]


def test_different_families_are_blended_only_on_purpose() -> None:
    oil = Portion(Decimal(1), Decimal(50), family="thinned oil varnish")
    spirit = Portion(Decimal(1), Decimal(20), family="shellac solution")
    with pytest.raises(NotApplicable, match="different families") as refused:
        blend([oil, spirit, oil])
    assert refused.value.field == "across_families"
    assert blend([oil, spirit], across_families=True).non_volatile_percent == 35


@pytest.mark.parametrize(
    ("portion", "field"),
    [
        (Portion(Decimal(0), Decimal(50)), "mass_g"),
        (Portion(Decimal(1), Decimal(101)), "non_volatile_percent"),
        (Portion(Decimal(1), Decimal(50), Decimal("0.5")), "density_kg_l"),
        (Portion(Decimal(1), Decimal(50), None, Decimal(-1)), "acid_value"),
        (Portion(Decimal(1), Decimal(60), water_percent=Decimal(41)), "water_percent"),
        (Portion(Decimal(1), Decimal(50), family="jam"), "family"),
    ],
)
def test_a_portion_that_cannot_be_is_named_by_its_place(portion: Portion, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        blend([Portion(Decimal(1), Decimal(50)), portion])
    assert refused.value.field == f"portions/1/{field}"


def test_nothing_is_no_blend() -> None:
    with pytest.raises(NotApplicable):
        blend([])


@pytest.mark.parametrize("quantity", mixing_quantities())
def test_a_figure_is_computed_only_where_a_mean_is_its_rule(quantity: str) -> None:
    rule = mixing_rule(quantity)
    one = [Decimal(1), Decimal(3)]
    if rule.rule == "mass-weighted mean":
        assert blended_figure(quantity, one, values=[Decimal(4), Decimal(8)]).mean == 7
        return
    with pytest.raises(NotApplicable) as refused:
        blended_figure(quantity, one, values=one)
    assert refused.value.field == "quantity"
    assert refused.value.hint == rule.instead


@pytest.mark.parametrize("quantity", ["colour", "gloss", "drying time", "flash point"])
def test_what_no_rule_predicts_is_measured(quantity: str) -> None:
    rule = mixing_rule(quantity)
    assert rule.status == "refuse to compute"
    assert "measure" in rule.instead


@given(st.lists(st.tuples(MASSES, st.decimals(0, 500, places=1)), min_size=1, max_size=5))
def test_a_mean_scales_with_its_values(lines: list[tuple[Decimal, Decimal]]) -> None:
    masses = [mass for mass, _ in lines]
    once = blended_figure("metal", masses, values=[value for _, value in lines])
    twice = blended_figure("metal", masses, values=[2 * value for _, value in lines])
    assert twice.mean == pytest.approx(2 * once.mean, rel=SLACK)


def test_masses_and_values_belong_together() -> None:
    with pytest.raises(NotApplicable) as refused:
        blended_figure("metal", [Decimal(1)], values=[Decimal(1), Decimal(2)])
    assert refused.value.field == "values"
    with pytest.raises(OutOfRange) as negative:
        blended_figure("metal", [Decimal(1)], values=[Decimal(-1)])
    assert negative.value.field == "values/0"
