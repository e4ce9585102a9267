"""Rosin acid with alkali, salts and oxides."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.formulas import molar_mass
from service.science.stoichiometry import (
    acid_equivalents,
    base_equivalents,
    fused_resinate,
    neutral_metal_percent,
    precipitation_salt,
    soap_base,
    theoretical_acid_number,
)

THOUSAND = Decimal(1000)


@pytest.mark.parametrize(
    ("mass", "acid_number"), [("0", "165"), ("-1", "165"), ("1000", "0"), ("1000", "200.1")]
)
def test_a_mass_or_an_acid_number_out_of_range_is_refused(mass: str, acid_number: str) -> None:
    with pytest.raises(OutOfRange):
        acid_equivalents(Decimal(mass), Decimal(acid_number))


@pytest.mark.parametrize("base", ["NaOH", "KOH", "Na2CO3", "K2CO3", "Na2CO3.10H2O"])
@given(acid_number=st.decimals(1, 200, places=1), purity=st.decimals(50, 100, places=1))
def test_the_base_that_was_sized_holds_the_acid_it_was_sized_on(
    base: str, acid_number: Decimal, purity: Decimal
) -> None:
    soap = soap_base(THOUSAND, acid_number, base=base, purity_percent=purity)
    again = base_equivalents(soap.base_g, base, purity_percent=purity)
    assert again == pytest.approx(soap.acid_mol, rel=Decimal("1e-20"))


@pytest.mark.parametrize(("purity", "excess"), [("0", "0"), ("101", "0"), ("98", "-1")])
def test_a_purity_or_an_excess_out_of_range_is_refused(purity: str, excess: str) -> None:
    with pytest.raises(OutOfRange):
        soap_base(
            THOUSAND,
            Decimal(165),
            base="NaOH",
            purity_percent=Decimal(purity),
            excess_percent=Decimal(excess),
        )


def test_an_excess_of_salt_is_weighed_on_top() -> None:
    plain = precipitation_salt(Decimal(1), "ZnCl2", purity_percent=Decimal(100))
    more = precipitation_salt(
        Decimal(1), "ZnCl2", purity_percent=Decimal(100), excess_percent=Decimal(10)
    )
    assert more == plain * Decimal("1.1")


def test_a_salt_without_its_crystal_water_is_refused_with_the_choices() -> None:
    with pytest.raises(NotApplicable) as refused:
        precipitation_salt(Decimal(1), "CaCl2", purity_percent=Decimal(99))
    assert refused.value.hint == "write CaCl2.0H2O or CaCl2.2H2O"


def test_an_unknown_salt_is_refused_with_the_list() -> None:
    with pytest.raises(NotApplicable, match="no known salt"):
        precipitation_salt(Decimal(1), "NaCl", purity_percent=Decimal(99))


@given(grams=st.decimals("0.1", 119, places=1), acid_number=st.decimals(165, 200, places=1))
def test_a_fusion_closes_its_mass_balance_over_water(grams: Decimal, acid_number: Decimal) -> None:
    fused = fused_resinate(THOUSAND, acid_number, reagent="ZnO", reagent_g=grams)
    assert fused.product_g + fused.driven_off_g == pytest.approx(
        THOUSAND + grams, rel=Decimal("1e-20")
    )
    bound = fused.metal_percent * fused.product_g / 100
    assert bound == pytest.approx(
        grams * Decimal("65.38") / molar_mass("ZnO"), rel=Decimal("1e-20")
    )
    assert fused.residual_acid_number >= 0


def test_more_metal_than_acid_is_refused_naming_the_most() -> None:
    with pytest.raises(OutOfRange) as refused:
        fused_resinate(THOUSAND, Decimal(165), reagent="ZnO", reagent_g=Decimal(130))
    assert refused.value.hint == "send at most 119.7 g"


@pytest.mark.parametrize("valence", [0, 5])
def test_a_valence_no_soap_has_is_refused(valence: int) -> None:
    with pytest.raises(ScienceError):
        neutral_metal_percent("Zn", valence, acid="C20H30O2")


def test_an_acid_without_acid_groups_has_no_acid_number() -> None:
    with pytest.raises(OutOfRange):
        theoretical_acid_number("C20H30O2", 0)
