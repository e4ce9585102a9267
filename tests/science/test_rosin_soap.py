"""The acid of a rosin and the alkali that it takes."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.results import Standing
from service.science.rosin_soap import (
    SoapBase,
    alkali_charged,
    bases,
    rosin_acid,
    soap_base,
    theoretical_acid_number,
)

THOUSAND = Decimal(1000)
ROSIN = Decimal(165)
EXACT = Decimal("1e-20")


def sized(base: str, purity: int, excess: int = 0) -> SoapBase:
    return soap_base(
        THOUSAND,
        ROSIN,
        base=base,
        purity_percent=Decimal(purity),
        excess_percent=Decimal(excess),
    )


@pytest.mark.parametrize(
    ("mass", "acid_number", "field"),
    [
        ("0", "165", "mass_g"),
        ("-1", "165", "mass_g"),
        ("1000", "0", "acid_number"),
        ("1000", "200.1", "acid_number"),
        ("NaN", "165", "mass_g"),
    ],
)
def test_a_mass_or_an_acid_number_out_of_range_is_refused(
    mass: str, acid_number: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        rosin_acid(Decimal(mass), Decimal(acid_number))
    assert refused.value.field == field


@pytest.mark.parametrize("acid_number", [149, 181])
def test_an_acid_number_unusual_for_gum_rosin_is_noted(acid_number: int) -> None:
    assert "150-180" in rosin_acid(THOUSAND, Decimal(acid_number)).notes[0]


@pytest.mark.parametrize("acid_number", [150, 180])
def test_an_acid_number_usual_for_gum_rosin_is_not_noted(acid_number: int) -> None:
    assert rosin_acid(THOUSAND, Decimal(acid_number)).notes == ()


@given(mass=st.decimals(1, 5000, places=1), acid_number=st.decimals(1, 200, places=1))
def test_the_acid_grows_with_the_mass(mass: Decimal, acid_number: Decimal) -> None:
    twice = rosin_acid(2 * mass, acid_number).acid_mol
    assert twice == pytest.approx(2 * rosin_acid(mass, acid_number).acid_mol, rel=EXACT)


@pytest.mark.parametrize("base", bases())
@given(acid_number=st.decimals(1, 200, places=1), purity=st.decimals(50, 100, places=1))
def test_the_base_that_was_sized_holds_the_acid_it_was_sized_on(
    base: str, acid_number: Decimal, purity: Decimal
) -> None:
    soap = soap_base(THOUSAND, acid_number, base=base, purity_percent=purity)
    again = alkali_charged(soap.base_g, base, purity_percent=purity)
    assert again == pytest.approx(soap.acid_mol, rel=EXACT)
    assert soap.pure_base_g == pytest.approx(soap.base_g * purity / 100, rel=EXACT)


@pytest.mark.parametrize(
    ("purity", "excess", "field"),
    [
        (0, 0, "purity_percent"),
        (101, 0, "purity_percent"),
        (98, -1, "excess_percent"),
        (98, 101, "excess_percent"),
    ],
)
def test_a_purity_or_an_excess_out_of_range_is_refused(
    purity: int, excess: int, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        sized("NaOH", purity, excess)
    assert refused.value.field == field


def test_a_base_typed_with_raised_dots_and_lowered_figures_is_the_same_base() -> None:
    assert sized("Na₂CO₃·10H₂O", 99) == sized("Na2CO3.10H2O", 99)


def test_an_unknown_base_is_refused_with_the_list() -> None:
    with pytest.raises(NotApplicable) as refused:
        sized("Ca(OH)2", 95)
    assert refused.value.field == "base"
    assert "KOH" in refused.value.hint


@pytest.mark.parametrize("base", ["NaOH", "KOH"])
def test_a_caustic_base_says_how_it_is_dissolved_and_gives_no_gas(base: str) -> None:
    soap = sized(base, 88)
    assert soap.carbon_dioxide_l == 0
    assert soap.notes[-1].startswith("caustic")


def test_a_carbonate_warns_of_its_foam_with_the_volume_of_the_gas() -> None:
    soap = sized("K2CO3", 99)
    assert round(soap.carbon_dioxide_l, 1) == Decimal("33.0")
    assert soap.notes == (
        "a carbonate needs boiling and gives about 45 l of carbon dioxide at 100 °C, which "
        "foams: small portions, kettle at most half full",
    )


def test_a_tiny_charge_of_carbonate_still_states_its_gas_in_plain_figures() -> None:
    soap = soap_base(Decimal("0.01"), ROSIN, base="K2CO3", purity_percent=Decimal(99))
    assert "about 0.00045 l" in soap.notes[0]


def test_a_kettle_of_carbonate_states_its_gas_in_plain_figures() -> None:
    soap = soap_base(Decimal(25000), ROSIN, base="K2CO3", purity_percent=Decimal(99))
    assert "about 1100 l" in soap.notes[0]


@pytest.mark.parametrize(
    ("base", "purity", "excess", "words"),
    [
        ("NaOH", 49, 0, "below 50 %"),
        ("KOH", 99, 0, "usually 85-90 %"),
        ("NaOH", 98, 21, "over 20 % excess"),
    ],
)
def test_what_is_unusual_about_a_base_is_noted(
    base: str, purity: int, excess: int, words: str
) -> None:
    assert any(words in note for note in sized(base, purity, excess).notes)


def test_an_acid_number_of_a_pure_acid_says_that_it_is_theoretical() -> None:
    found = theoretical_acid_number("C20H30O2")
    assert found.standing is Standing.THEORETICAL
    assert theoretical_acid_number("C6H8O7", 3).value == pytest.approx(
        3 * theoretical_acid_number("C6H8O7").value
    )


@pytest.mark.parametrize("groups", [0, 11])
def test_acid_groups_out_of_range_are_refused(groups: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        theoretical_acid_number("C20H30O2", groups)
    assert refused.value.field == "acid_groups"


def test_what_has_too_few_hydrogens_is_no_acid() -> None:
    with pytest.raises(NotApplicable) as refused:
        theoretical_acid_number("CO2")
    assert refused.value.field == "formula"


def test_an_acid_that_is_no_formula_is_refused() -> None:
    with pytest.raises(NumberMalformed):
        theoretical_acid_number("abietic")
