"""Formulas and molar masses against periodictable and molmass."""

import molmass
import periodictable
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.formulas import (
    atomic_weight,
    elements,
    metal_factor,
    molar_mass,
    parse_formula,
    plain_formula,
)
from service.science.tables import rows

REAGENTS = sorted(
    {row["formula"] for row in rows("resinate_reagents.csv")}
    | {row["formula"] for row in rows("reagent_ingredients.csv") if row["formula"]}
    | {row["formula"] for row in rows("fatty_acids.csv")}
)


@pytest.mark.parametrize("element", elements())
def test_every_atomic_weight_agrees_with_periodictable(element: str) -> None:
    expected = periodictable.elements.symbol(element).mass
    assert float(atomic_weight(element)) == pytest.approx(expected, rel=5e-5)


@pytest.mark.parametrize("formula", REAGENTS)
def test_every_reagent_agrees_with_molmass_and_periodictable(formula: str) -> None:
    found = float(molar_mass(formula))
    dry, *others = formula.replace(".0H2O", "").split(".")
    theirs = [molmass.Formula(dry).mass, periodictable.formula(dry).mass]
    for other in others:
        text = other.lstrip("0123456789")
        times = int(other[: len(other) - len(text)] or 1)
        theirs[0] += times * molmass.Formula(text).mass
        theirs[1] += times * periodictable.formula(text).mass
    assert theirs == pytest.approx([found, found], rel=5e-4)


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("Ca(OH)2", {"Ca": 1, "O": 2, "H": 2}),
        ("KAl(SO4)2.12H2O", {"K": 1, "Al": 1, "S": 2, "O": 20, "H": 24}),
        ("K(Al(SO4)2)", {"K": 1, "Al": 1, "S": 2, "O": 8}),
        ("K4[Fe(CN)6]·3H2O", {"K": 4, "Fe": 1, "C": 6, "N": 6, "H": 6, "O": 3}),
        ("ZnSO₄ · 7H₂O", {"Zn": 1, "S": 1, "O": 11, "H": 14}),
        ("2CaSO4.H2O", {"Ca": 2, "S": 2, "O": 9, "H": 2}),
        ("((CH3)2CH)2O", {"C": 6, "H": 14, "O": 1}),
        ("CaCl2.0H2O", {"Ca": 1, "Cl": 2}),
        ("Co", {"Co": 1}),
        ("CO", {"C": 1, "O": 1}),
    ],
)
def test_the_atoms_of_a_formula_are_counted(formula: str, atoms: dict[str, int]) -> None:
    assert parse_formula(formula) == atoms


@pytest.mark.parametrize(
    "formula",
    [
        *("", "zno", "Zn O", "Ca(OH", "Ca)OH(", "Ca(OH]2", "K[Al(SO4)2", "7", "H2O.", "()2"),
        *("H" * 65, "H-2", "(2CH3)2", "H0", "0H2O", "H999999999999", "99999H2O", "(" * 64),
        *("[]", "CaSO4.0.5H2O", "ZnSO4..7H2O", "H\u0662O"),
    ],
)
def test_text_that_is_no_formula_is_refused(formula: str) -> None:
    with pytest.raises(NumberMalformed) as refused:
        parse_formula(formula)
    assert refused.value.code == "formula-malformed"
    assert refused.value.field == "formula"


def test_nested_groups_that_multiply_beyond_any_molecule_are_refused() -> None:
    with pytest.raises(OutOfRange, match="more than 100000 atoms"):
        molar_mass("((((((((((H9999)9999)9999)9999)9999)9999)9999)9999)9999)9999)9")


@given(depth=st.integers(0, 31))
def test_groups_nest_as_deep_as_a_formula_is_long(depth: int) -> None:
    assert parse_formula("(" * depth + "Zn" + ")" * depth) == {"Zn": 1}


@given(text=st.text(max_size=80))
def test_any_text_is_counted_or_refused(text: str) -> None:
    try:
        counted = parse_formula(text)
    except (NumberMalformed, OutOfRange):
        return
    assert 0 < sum(counted.values()) <= 100_000


@given(first=st.sampled_from(REAGENTS), second=st.sampled_from(REAGENTS), times=st.integers(1, 9))
def test_molar_masses_add_up(first: str, second: str, times: int) -> None:
    joined = f"{times}{first}.{second}" if "." not in first + second else ""
    if joined and len(joined) <= 64:
        assert molar_mass(joined) == times * molar_mass(first) + molar_mass(second)


@given(formula=st.sampled_from(REAGENTS))
def test_a_formula_in_plain_spelling_stays_as_it_is(formula: str) -> None:
    assert plain_formula(plain_formula(formula)) == plain_formula(formula) == formula


def test_an_element_outside_the_table_is_refused() -> None:
    with pytest.raises(OutOfRange, match="Xx"):
        molar_mass("XxO2")
    with pytest.raises(OutOfRange) as refused:
        atomic_weight("Xx")
    assert refused.value.field == "element"


def test_an_oxide_without_the_metal_gives_no_factor() -> None:
    with pytest.raises(NotApplicable) as refused:
        metal_factor("CaO", "Zn")
    assert refused.value.field == "metal"


@given(compound=st.sampled_from(REAGENTS))
def test_the_shares_of_all_elements_make_the_whole(compound: str) -> None:
    shares = [metal_factor(compound, element) for element in parse_formula(compound)]
    assert float(sum(shares)) == pytest.approx(1, abs=1e-20)
