"""Non-volatile matter of dishes, and what is usual for a family."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.results import Standing
from service.science.solids import (
    dish_method,
    dish_methods,
    families,
    mean_non_volatile,
    non_volatile,
    plausible_figures,
)

PERCENTS = st.lists(st.decimals(1, 100, places=2), min_size=2, max_size=6)


@given(st.decimals(1, 50, places=4), st.decimals("0.1", 2, places=4), st.decimals(0, 1, places=3))
def test_a_dish_gives_back_the_share_that_was_left_in_it(
    dish: Decimal, wet: Decimal, share: Decimal
) -> None:
    found = non_volatile(dish, dish + wet, dish_and_dry_g=dish + wet * share)
    assert found.non_volatile_percent == pytest.approx(100 * share, abs=Decimal("1e-20"))
    assert (found.wet_g, found.dry_g) == (wet, wet * share)
    assert found.standing is Standing.CONVENTION


@given(PERCENTS)
def test_the_mean_lies_among_the_dishes_in_any_order(percents: list[Decimal]) -> None:
    found = mean_non_volatile(percents)
    slack = Decimal("1e-20")
    assert min(percents) - slack <= found.mean_percent <= max(percents) + slack
    again = mean_non_volatile(percents[::-1])
    assert again.mean_percent == pytest.approx(found.mean_percent, rel=slack)
    assert again.difference_percent == pytest.approx(found.difference_percent, abs=slack)


def test_dishes_that_differ_too_much_are_to_be_repeated() -> None:
    assert mean_non_volatile([Decimal(50), Decimal("51.2")]).notes[0].startswith("repeat")
    assert mean_non_volatile([Decimal(50), Decimal("51.2")], Decimal(3)).notes == ()


def test_one_dish_agrees_with_nothing() -> None:
    with pytest.raises(NotApplicable) as refused:
        mean_non_volatile([Decimal(55)])
    assert refused.value.field == "replicates_percent"


def test_an_impossible_dish_is_named_by_its_place() -> None:
    with pytest.raises(OutOfRange) as refused:
        mean_non_volatile([Decimal(55), Decimal(101)])
    assert refused.value.field == "replicates_percent/1"


@pytest.mark.parametrize("method", dish_methods())
def test_a_portion_is_noted_where_the_method_asks_for_another(method: str) -> None:
    asked = dish_method(method)
    dish = Decimal(25)
    as_asked = non_volatile(
        dish, dish + asked.heaviest_g, dish_and_dry_g=dish + asked.lightest_g / 2, method=method
    )
    assert as_asked.notes == ()
    light = dish + asked.lightest_g / 2
    noted = non_volatile(dish, light, dish_and_dry_g=dish, method=method).notes
    assert method in noted[0]


@pytest.mark.parametrize(
    ("wet", "dry", "field"),
    [
        ("25", "25", "dish_and_wet_g"),
        ("26", "24.9", "dish_and_dry_g"),
        ("26", "26.1", "dish_and_dry_g"),
    ],
)
def test_masses_in_another_order_are_refused_at_the_one_to_blame(
    wet: str, dry: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        non_volatile(Decimal(25), Decimal(wet), dish_and_dry_g=Decimal(dry))
    assert refused.value.field == field


@pytest.mark.parametrize("family", families())
def test_every_unusual_figure_has_its_note_and_none_is_refused(family: str) -> None:
    found = plausible_figures(
        family, Decimal(1), density_kg_l=Decimal(2), water_percent=Decimal(50)
    )
    assert not found.plausible
    about = [note.split(" ")[0] for note in found.notes]
    assert about == ["non-volatile", "density", "water"][: 3 if "shellac" in family else 2]


def test_a_product_within_its_family_has_no_notes() -> None:
    found = plausible_figures(families()[0], Decimal(35), density_kg_l=Decimal("0.96"))
    assert found.plausible
    assert found.notes == ()


def test_without_a_figure_there_is_nothing_to_compare() -> None:
    with pytest.raises(NotApplicable, match="no figure"):
        plausible_figures(families()[0])


def test_an_unknown_family_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        plausible_figures("emulsion", Decimal(50))
    assert refused.value.field == "family"
