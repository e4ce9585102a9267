"""Formulas and molar masses against periodictable and molmass."""

import molmass
import periodictable
import pytest

from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.formulas import atomic_weight, metal_factor, molar_mass, parse_formula
from service.science.tables import rows

ELEMENTS = [row["element"] for row in rows("atomic_weights.csv")]
REAGENTS = sorted({row["formula"] for row in rows("resinate_reagents.csv")})


@pytest.mark.parametrize("element", ELEMENTS)
def test_every_atomic_weight_agrees_with_periodictable(element: str) -> None:
    expected = periodictable.elements.symbol(element).mass
    assert float(atomic_weight(element)) == pytest.approx(expected, rel=5e-4)


@pytest.mark.parametrize("formula", REAGENTS)
def test_every_reagent_agrees_with_molmass_and_periodictable(formula: str) -> None:
    found = float(molar_mass(formula))
    bare = formula.replace(".0H2O", "")
    salt, _, water = bare.partition(".")
    expected = molmass.Formula(salt).mass
    if water:
        expected += int(water.removesuffix("H2O") or 1) * molmass.Formula("H2O").mass
    assert found == pytest.approx(expected, rel=5e-4)
    theirs = periodictable.formula(bare.replace(".H2O", ".1H2O").replace(".", "+")).mass
    assert found == pytest.approx(theirs, rel=5e-4)


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("Ca(OH)2", {"Ca": 1, "O": 2, "H": 2}),
        ("KAl(SO4)2.12H2O", {"K": 1, "Al": 1, "S": 2, "O": 20, "H": 24}),
        ("ZnSO4·7H2O", {"Zn": 1, "S": 1, "O": 11, "H": 14}),
        ("((CH3)2CH)2O", {"C": 6, "H": 14, "O": 1}),
        ("CaCl2.0H2O", {"Ca": 1, "Cl": 2}),
        ("Co", {"Co": 1}),
        ("CO", {"C": 1, "O": 1}),
    ],
)
def test_the_atoms_of_a_formula_are_counted(formula: str, atoms: dict[str, int]) -> None:
    assert parse_formula(formula) == atoms


@pytest.mark.parametrize(
    "formula", ["", "zno", "Zn O", "Ca(OH", "Ca)OH(", "7", "H2O.", "()2", "H" * 65, "H-2"]
)
def test_text_that_is_no_formula_is_refused(formula: str) -> None:
    with pytest.raises(NumberMalformed) as refused:
        parse_formula(formula)
    assert refused.value.code == "formula-malformed"


def test_an_element_outside_the_table_is_refused() -> None:
    with pytest.raises(OutOfRange, match="Xx"):
        molar_mass("XxO2")


def test_an_oxide_without_the_metal_gives_no_factor() -> None:
    with pytest.raises(NotApplicable):
        metal_factor("CaO", "Zn")
