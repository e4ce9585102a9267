"""The recipes of the reagents and their pH."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.reagents import (
    mass_reagents,
    ph_reagents,
    reagent_by_mass,
    reagent_by_volume,
    reagent_ph,
    volume_reagents,
)
from service.science.tables import rows

LITRE = Decimal(1000)


def test_acid_perspiration_is_weighed_as_the_standard_lists_it() -> None:
    found = reagent_by_volume("perspiration-acid", Decimal(250))
    assert {each.formula: each.mass_g for each in found.ingredients} == {
        "C6H9N3O2.HCl.H2O": Decimal("0.125"),
        "NaCl": Decimal("1.25"),
        "NaH2PO4.2H2O": Decimal("0.55"),
    }
    assert (found.ph, found.ph_tolerance) == (Decimal("5.5"), Decimal("0.2"))
    assert found.adjust_with == "0.1 mol/l sodium hydroxide"
    assert found.keeps == "make it fresh for each test"
    assert found.origin == "read"


def test_the_two_phosphates_of_alkaline_perspiration_are_recipes_of_their_own() -> None:
    twelve = reagent_by_volume("perspiration-alkaline", LITRE).ingredients[-1]
    two = reagent_by_volume("perspiration-alkaline-from-dihydrate", LITRE).ingredients[-1]
    assert (twelve.formula, twelve.mass_g) == ("Na2HPO4.12H2O", 5)
    assert (two.formula, two.mass_g) == ("Na2HPO4.2H2O", Decimal("2.5"))


@pytest.mark.parametrize("reagent", volume_reagents())
@given(volume=st.decimals(1, 5000, places=1))
def test_a_recipe_scales_with_its_volume(reagent: str, volume: Decimal) -> None:
    one = reagent_by_volume(reagent, volume)
    two = reagent_by_volume(reagent, 2 * volume)
    for single, double in zip(one.ingredients, two.ingredients, strict=True):
        assert double.mass_g == 2 * single.mass_g
    assert two.weighed_g == 2 * one.weighed_g


@pytest.mark.parametrize("reagent", mass_reagents())
@given(final=st.decimals(1, 5000, places=1))
def test_what_is_weighed_by_mass_makes_the_whole(reagent: str, final: Decimal) -> None:
    assert reagent_by_mass(reagent, final).weighed_g == final


@pytest.mark.parametrize("reagent", mass_reagents())
def test_a_reagent_by_mass_has_the_strength_of_its_name(reagent: str) -> None:
    solute = reagent_by_mass(reagent, Decimal(100)).ingredients[0]
    stock = Decimal("0.25") if "25 %" in solute.ingredient else 1
    assert solute.mass_g * stock == Decimal(reagent.rpartition("-")[2])


def test_a_recipe_from_memory_says_so() -> None:
    found = reagent_by_volume("saliva-din-53160-1", LITRE)
    assert any("from memory" in note for note in found.notes)
    assert not any("from memory" in note for note in _notes("perspiration-acid"))


def _notes(reagent: str) -> tuple[str, ...]:
    return reagent_by_volume(reagent, LITRE).notes


def test_what_hurts_is_noted_where_it_can_hurt() -> None:
    assert any("fumes choke" in note for note in reagent_by_mass("ammonia-10", LITRE).notes)
    acid = reagent_by_mass("acetic-acid-10", LITRE)
    assert any("acid into the water" in note for note in acid.notes)
    assert not any("gloves" in note for note in reagent_by_mass("citric-acid-10", LITRE).notes)


def test_a_rub_at_room_temperature_is_told_from_the_perspiration_test() -> None:
    assert any("37 °C" in note for note in _notes("perspiration-acid"))


def test_a_weighing_too_small_for_the_balance_is_noted() -> None:
    small = reagent_by_volume("perspiration-acid", Decimal(199))
    assert any("below 0.1 g" in note for note in small.notes)
    large = reagent_by_volume("perspiration-acid", Decimal(200))
    assert not any("below 0.1 g" in note for note in large.notes)


@pytest.mark.parametrize("reagent", ph_reagents())
def test_a_ph_is_judged_by_its_limits(reagent: str) -> None:
    limits = reagent_ph(reagent, Decimal(7))
    step = Decimal("0.001")
    inside = reagent_ph(reagent, limits.lowest_ph), reagent_ph(reagent, limits.highest_ph)
    assert [(each.fits, each.notes) for each in inside] == [(True, ()), (True, ())]
    below = reagent_ph(reagent, limits.lowest_ph - step)
    above = reagent_ph(reagent, limits.highest_ph + step)
    assert not below.fits
    assert not above.fits
    assert len({below.notes, above.notes}) == 2


def test_a_ph_is_mended_only_towards_the_side_that_the_reagent_can() -> None:
    assert "drop by drop" in reagent_ph("perspiration-acid", Decimal(5)).notes[0]
    assert "make it again" in reagent_ph("perspiration-acid", Decimal(6)).notes[0]
    assert "drop by drop" in reagent_ph("saliva-din-53160-1", Decimal(7)).notes[0]
    assert "make it again" in reagent_ph("saliva-din-53160-1", Decimal(6)).notes[0]


@pytest.mark.parametrize("ph", ["-0.1", "14.1", "NaN"])
def test_a_ph_that_cannot_be_is_refused(ph: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        reagent_ph("perspiration-acid", Decimal(ph))
    assert refused.value.field == "ph"


def test_a_strength_by_mass_is_not_made_up_to_a_volume() -> None:
    with pytest.raises(OutOfRange) as refused:
        reagent_by_volume("ammonia-10", LITRE)
    assert refused.value.field == "reagent"
    with pytest.raises(OutOfRange):
        reagent_by_mass("coffee", LITRE)


def test_every_ingredient_belongs_to_a_reagent_and_every_reagent_has_some() -> None:
    with_ingredients = {row["reagent"] for row in rows("reagent_ingredients.csv")}
    assert with_ingredients == {*volume_reagents(), *mass_reagents()}
