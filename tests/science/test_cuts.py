"""Shellac cuts in pounds, grams and percent."""

from decimal import Decimal
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cuts import cut_dilution, cut_made, pound_cut, shellac_for_cut
from service.science.errors import OutOfRange
from service.science.results import Standing

REGISTRY = pint.UnitRegistry()
CUTS = st.decimals("0.25", 5, places=2)
VOLUMES = st.decimals(1, 10000, places=1)
ETHANOL = Decimal("0.807")
TINY = Decimal("1e-20")


@given(CUTS, VOLUMES)
def test_the_shellac_for_a_cut_makes_that_cut(cut: Decimal, volume: Decimal) -> None:
    made = cut_made(shellac_for_cut(cut, volume).shellac_g, volume)
    assert made.cut_lb_per_us_gal == pytest.approx(cut, rel=TINY)
    assert made.charged_g_l == pytest.approx(pound_cut(cut, ETHANOL).charged_g_l, rel=TINY)


@given(CUTS)
def test_a_cut_has_as_many_ounces_to_a_cup_as_pounds_to_a_gallon(cut: Decimal) -> None:
    cup = Decimal("236.5882365")  # 8 US fl oz
    assert shellac_for_cut(cut, cup).shellac_oz_av == cut


@given(CUTS)
def test_pounds_to_a_gallon_agree_with_pint(cut: Decimal) -> None:
    expected = REGISTRY.Quantity(float(cut), "pound / gallon").to("gram / liter").magnitude
    assert float(pound_cut(cut, ETHANOL).charged_g_l) == pytest.approx(expected, rel=1e-12)


@given(CUTS, st.decimals(0, 20, places=1))
def test_what_stays_in_the_cloth_is_not_in_the_film(cut: Decimal, insoluble: Decimal) -> None:
    found = pound_cut(cut, ETHANOL, insoluble_percent=insoluble)
    lost = found.charged_g_l - found.dissolved_g_l
    assert lost == pytest.approx(found.charged_g_l * insoluble / 100, rel=TINY)
    all_of_it = pound_cut(cut, ETHANOL).non_volatile_percent
    assert (
        found.non_volatile_percent == all_of_it
        if not insoluble
        else (found.non_volatile_percent < all_of_it)
    )


@given(CUTS)
def test_a_litre_of_solution_holds_less_than_a_litre_of_alcohol_takes(cut: Decimal) -> None:
    found = pound_cut(cut, ETHANOL)
    assert found.in_solution_g_l < found.dissolved_g_l
    assert found.in_solution_lb_per_us_gal < cut
    assert found.standing is Standing.APPROXIMATE


@given(CUTS, CUTS, VOLUMES)
def test_thinning_by_mass_balance_gives_the_target(a: Decimal, b: Decimal, volume: Decimal) -> None:
    cut, target = max(a, b), min(a, b)
    displaced = Decimal("0.1")
    found = cut_dilution(cut, target, solution_ml=volume)
    # What the solution holds of alcohol and of shellac, by the volume that shellac displaces.
    alcohol = volume / (1 + displaced * cut)
    assert alcohol * cut / (alcohol + found.alcohol_ml) == pytest.approx(target, rel=TINY)
    assert found.alcohol_ml == found.alcohol_parts * volume


@pytest.mark.parametrize(("cut", "notes"), [("0.2", 2), ("0.3", 1), ("2", 0), ("4", 1), ("6", 2)])
def test_an_unusual_cut_or_share_is_noted(cut: str, notes: int) -> None:
    assert len(pound_cut(Decimal(cut), ETHANOL).notes) == notes
    made = shellac_for_cut(Decimal(cut), Decimal(100))
    assert bool(made.notes) is (cut in ("0.2", "6"))


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: pound_cut(Decimal("8.1"), ETHANOL), "cut_lb_per_us_gal"),
        (lambda: pound_cut(Decimal(0), ETHANOL), "cut_lb_per_us_gal"),
        (lambda: pound_cut(Decimal(2), Decimal("0.7")), "alcohol_density_kg_l"),
        (
            lambda: pound_cut(Decimal(2), ETHANOL, insoluble_percent=Decimal(100)),
            "insoluble_percent",
        ),
        (lambda: cut_made(Decimal(97), Decimal(100)), "shellac_g"),
        (lambda: cut_dilution(Decimal(1), Decimal(2)), "target_lb_per_us_gal"),
    ],
)
def test_a_cut_that_cannot_be_is_refused(call: Any, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.field == field
