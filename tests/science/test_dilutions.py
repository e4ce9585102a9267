"""Hydrates for one another, and dilution by mass."""

from decimal import Decimal

import molmass
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.dilutions import dilute_by_mass, hydrate_swap, stock_kinds
from service.science.errors import NotApplicable, NumberMalformed, OutOfRange

HYDRATES = ("Na2HPO4", "Na2HPO4.2H2O", "Na2HPO4.7H2O", "Na2HPO4.12H2O")
EXACT = Decimal("1e-20")


@given(
    grams=st.decimals("0.01", 500, places=2),
    first=st.sampled_from(HYDRATES),
    second=st.sampled_from(HYDRATES),
)
def test_a_swap_there_and_back_is_no_change(grams: Decimal, first: str, second: str) -> None:
    there = hydrate_swap(grams, first, at_hand=second)
    assert hydrate_swap(there, second, at_hand=first) == pytest.approx(grams, rel=EXACT)


@pytest.mark.parametrize("water", [0, 2, 7, 12])
def test_a_swap_keeps_the_dry_salt_as_molmass_weighs_it(water: int) -> None:
    dry = molmass.Formula("Na2HPO4").mass
    wet = dry + water * molmass.Formula("H2O").mass
    found = hydrate_swap(Decimal(5), "Na2HPO4", at_hand=f"Na2HPO4.{water}H2O")
    assert float(found) == pytest.approx(5 * wet / dry, rel=5e-4)


@pytest.mark.parametrize(
    ("called_for", "at_hand"),
    [
        ("2CaSO4.H2O", "CaSO4.2H2O"),
        ("C6H9N3O2.HCl.H2O", "C6H9N3O2.HCl"),
        ("CaCl2.0H2O", "CaCl2"),
        ("MgCl2·6H2O", "MgCl2.2H2O"),
        ("H2O.ZnSO4", "ZnSO4.7H2O"),
    ],
)
def test_one_salt_is_known_again_under_its_water(called_for: str, at_hand: str) -> None:
    assert hydrate_swap(Decimal(1), called_for, at_hand=at_hand) > 0


@pytest.mark.parametrize(
    ("called_for", "at_hand"),
    [
        ("Na2HPO4.12H2O", "NaH2PO4.2H2O"),
        ("CH3COOH", "C6H12O6"),
        ("C6H9N3O2.HCl.H2O", "C6H9N3O2.2HCl.H2O"),
        ("Na2CO3", "K2CO3"),
    ],
)
def test_another_salt_is_refused(called_for: str, at_hand: str) -> None:
    with pytest.raises(NotApplicable) as refused:
        hydrate_swap(Decimal(1), called_for, at_hand=at_hand)
    assert refused.value.field == "at_hand"


@pytest.mark.parametrize("water", ["H2O", "3H2O", "0ZnSO4.7H2O"])
def test_water_is_no_salt(water: str) -> None:
    with pytest.raises(NotApplicable) as refused:
        hydrate_swap(Decimal(1), water, at_hand="ZnSO4.7H2O")
    assert refused.value.field == "called_for"


def test_a_wrong_formula_is_refused_where_it_stands() -> None:
    with pytest.raises(NumberMalformed) as refused:
        hydrate_swap(Decimal(1), "NaCl", at_hand="salt")
    assert refused.value.field == "at_hand"
    with pytest.raises(OutOfRange) as unknown:
        hydrate_swap(Decimal(1), "XxCl", at_hand="NaCl")
    assert unknown.value.field == "called_for"


@given(
    stock=st.decimals(1, 100, places=1),
    share=st.decimals("0.01", 1, places=2),
    final=st.decimals(1, 5000, places=1),
)
def test_a_dilution_keeps_the_mass_and_what_is_dissolved(
    stock: Decimal, share: Decimal, final: Decimal
) -> None:
    found = dilute_by_mass(stock, stock * share, final_g=final)
    assert found.stock_g + found.water_g == pytest.approx(final, rel=EXACT)
    assert found.stock_g * stock == pytest.approx(final * stock * share, rel=EXACT)
    assert found.water_g >= 0


def test_a_target_of_the_strength_of_the_stock_takes_no_water() -> None:
    assert dilute_by_mass(Decimal(25), Decimal(25), final_g=Decimal(500)).water_g == 0


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("acid", "acid into the water"),
        ("ammonia", "fumes choke"),
        ("alkali", "caustic"),
        ("other", "stir"),
    ],
)
def test_the_kind_of_stock_decides_the_caution(kind: str, words: str) -> None:
    found = dilute_by_mass(Decimal(25), Decimal(10), final_g=Decimal(500), kind=kind)
    assert words in found.notes[0]
    assert kind in stock_kinds()


@pytest.mark.parametrize(
    ("stock", "target", "final", "kind", "field"),
    [
        (10, 25, 1000, "other", "stock_percent"),
        (0, 25, 1000, "other", "stock_percent"),
        (101, 25, 1000, "other", "stock_percent"),
        (25, 0, 1000, "other", "target_percent"),
        (25, 10, 0, "other", "final_g"),
        (25, 10, 1000, "base", "kind"),
    ],
)
def test_what_cannot_be_diluted_is_refused(
    stock: int, target: int, final: int, kind: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        dilute_by_mass(Decimal(stock), Decimal(target), final_g=Decimal(final), kind=kind)
    assert refused.value.field == field
