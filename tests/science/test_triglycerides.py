"""Triglycerides against molmass, and free fatty acid."""

from decimal import Decimal

import molmass
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.results import Standing
from service.science.tables import rows
from service.science.triglycerides import (
    AcidShare,
    acid_value_from_free_fatty_acid,
    fatty_acids,
    free_fatty_acid_percent,
    mean_triglyceride,
    theoretical_oil,
)

WHOLE = Decimal(100)
EXACT = Decimal("1e-20")
PURE = {row["acid"]: row for row in rows("fatty_acids.csv")}


@pytest.mark.parametrize("acid", fatty_acids())
def test_a_pure_triglyceride_weighs_what_molmass_says(acid: str) -> None:
    found = theoretical_oil([AcidShare(acid, WHOLE)])
    theirs = 3 * molmass.Formula(PURE[acid]["formula"]).mass
    theirs += molmass.Formula("C3H8O3").mass - 3 * molmass.Formula("H2O").mass
    assert float(found.molar_mass_g_mol) == pytest.approx(theirs, rel=5e-4)
    assert found.double_bonds == pytest.approx(3 * int(PURE[acid]["double_bonds"]))
    assert found.standing is Standing.THEORETICAL


@pytest.mark.parametrize("acid", fatty_acids())
def test_the_double_bonds_of_an_acid_follow_from_its_formula(acid: str) -> None:
    atoms = molmass.Formula(PURE[acid]["formula"]).composition()
    missing = 2 * atoms["C"].count + 2 - atoms["H"].count
    # One of the missing pairs of hydrogen belongs to the acid group.
    assert missing // 2 - 1 == int(PURE[acid]["double_bonds"])


@given(share=st.decimals(1, 99, places=1))
def test_a_mixture_lies_between_its_acids(share: Decimal) -> None:
    mixed = theoretical_oil([AcidShare("oleic", share), AcidShare("linolenic", WHOLE - share)])
    low, high = (
        theoretical_oil([AcidShare(acid, WHOLE)]).iodine_value for acid in ("oleic", "linolenic")
    )
    assert low < mixed.iodine_value < high
    again = mean_triglyceride(mixed.saponification_value, Decimal(0))
    assert again.value == pytest.approx(mixed.molar_mass_g_mol, rel=EXACT)
    assert again.standing is Standing.APPROXIMATE


def test_the_order_of_the_acids_and_how_they_are_split_do_not_matter() -> None:
    once = theoretical_oil([AcidShare("oleic", Decimal(40)), AcidShare("stearic", Decimal(60))])
    split = theoretical_oil(
        [
            AcidShare("stearic", Decimal(60)),
            AcidShare("oleic", Decimal(15)),
            AcidShare("oleic", Decimal(25)),
        ]
    )
    assert split.iodine_value == pytest.approx(once.iodine_value, rel=EXACT)


def test_shares_of_a_certificate_are_brought_to_a_hundred_and_noted() -> None:
    most = theoretical_oil([AcidShare("oleic", Decimal("96.5"))])
    whole = theoretical_oil([AcidShare("oleic", WHOLE)])
    assert most.iodine_value == pytest.approx(whole.iodine_value, rel=EXACT)
    assert most.notes == ("the shares add up to 96.5 % and were brought to 100",)
    assert whole.notes == ()


def test_conjugated_acids_are_noted() -> None:
    assert "conjugated" in theoretical_oil([AcidShare("eleostearic", WHOLE)]).notes[0]


@pytest.mark.parametrize(
    ("acids", "field"),
    [
        ([AcidShare("oleic", Decimal("89.9"))], "acids"),
        ([AcidShare("oleic", Decimal(60)), AcidShare("stearic", Decimal(43))], "acids"),
        ([AcidShare("acetic", WHOLE)], "acids/0/acid"),
        ([AcidShare("oleic", WHOLE), AcidShare("oleic", Decimal(0))], "acids/1/share_percent"),
    ],
)
def test_shares_that_are_no_profile_are_refused(acids: list[AcidShare], field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        theoretical_oil(acids)
    assert refused.value.field == field


def test_no_acid_at_all_is_refused() -> None:
    with pytest.raises(NotApplicable):
        theoretical_oil([])


@given(value=st.decimals(0, 150, places=2), acid=st.sampled_from(fatty_acids()))
def test_acid_value_and_free_fatty_acid_turn_into_each_other(value: Decimal, acid: str) -> None:
    percent = free_fatty_acid_percent(value, acid)
    again = acid_value_from_free_fatty_acid(percent.value, acid)
    assert again.value == pytest.approx(value, rel=EXACT)
    assert percent.standing is again.standing is Standing.CONVENTION
    assert acid in percent.why


def test_more_acid_than_the_pure_acid_holds_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        free_fatty_acid_percent(Decimal(250))
    assert refused.value.field == "acid"


@pytest.mark.parametrize(
    ("saponification", "acid", "field"),
    [
        ("99", "2", "saponification_value"),
        ("401", "2", "saponification_value"),
        ("192", "-1", "acid_value"),
        ("192", "51", "acid_value"),
    ],
)
def test_values_no_oil_has_give_no_mean_triglyceride(
    saponification: str, acid: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        mean_triglyceride(Decimal(saponification), Decimal(acid))
    assert refused.value.field == field
