"""The table of alkalis, salts and oxides that resinates are made with."""

from decimal import Decimal

import pytest

from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.formulas import parse_formula
from service.science.resinate_reagents import (
    bases,
    fusion_reagents,
    known_reagent,
    purity_share,
    salts,
)

EVERY = [
    (use, formula)
    for use, known in (("base", bases()), ("salt", salts()), ("fusion", fusion_reagents()))
    for formula in known
]


@pytest.mark.parametrize(("use", "formula"), EVERY)
def test_the_metal_of_each_reagent_stands_in_its_formula_as_often_as_stated(
    use: str, formula: str
) -> None:
    reagent = known_reagent(formula, use, name="reagent")
    assert parse_formula(formula)[reagent.metal] == reagent.metals
    assert reagent.equivalents == reagent.valence * reagent.metals


@pytest.mark.parametrize("formula", fusion_reagents())
def test_a_fusion_turns_reagent_and_acid_into_soap_and_what_is_driven_off(formula: str) -> None:
    reagent = known_reagent(formula, "fusion", name="reagent")
    left = parse_formula(formula) | {}
    # One mole takes as many hydrogens of the acid as its metal has valences.
    left["H"] = left.get("H", 0) + reagent.valence
    del left[reagent.metal]
    assert left == parse_formula(reagent.driven_off)


@pytest.mark.parametrize("formula", ["KAl(SO4)2.12H2O", "FeCl3.6H2O"])
def test_aluminium_and_ferric_salts_give_basic_soaps(formula: str) -> None:
    assert known_reagent(formula, "salt", name="salt").basic_soap


def test_a_salt_without_its_crystal_water_is_refused_with_the_choices() -> None:
    with pytest.raises(NotApplicable) as refused:
        known_reagent("CaCl2", "salt", name="salt")
    assert refused.value.hint == "write CaCl2.0H2O or CaCl2.2H2O"
    assert refused.value.field == "salt"


def test_an_unknown_salt_is_refused_with_the_list() -> None:
    with pytest.raises(NotApplicable, match="no salt reagent known"):
        known_reagent("NaCl", "salt", name="salt")


def test_a_reagent_that_is_nothing_is_refused() -> None:
    with pytest.raises(NumberMalformed) as refused:
        known_reagent("", "salt", name="salt")
    assert refused.value.field == "salt"


@pytest.mark.parametrize("percent", [0, 101])
def test_a_purity_outside_its_range_is_refused(percent: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        purity_share(Decimal(percent))
    assert refused.value.field == "purity_percent"


@pytest.mark.parametrize(("share", "percent"), [("0.985", "98.5"), ("1", "100")])
def test_a_share_sent_for_a_percent_is_refused_with_the_percent(share: str, percent: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        purity_share(Decimal(share))
    assert refused.value.message.startswith(f"purity in % is {share}")
    assert refused.value.hint == f"send a purity of {percent} % as {percent}"
