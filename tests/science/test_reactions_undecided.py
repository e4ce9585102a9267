"""Reactions that cannot be reckoned say what they lack; what has nothing to react with stays."""

from decimal import Decimal
from fractions import Fraction

import pytest

from service.science.pots import Component, fitting, total, weighed_in
from service.science.reactions import alkali_in, fused, precipitated, reagent_formula, soaped
from tests.science.pots_made import OIL, ROSIN, pot_of, reagent

UNKNOWN = ROSIN._replace(name="UNKNOWN", acid_value=None)
OPEN = reagent("ZnO")._replace(assay_percent=None)


@pytest.mark.parametrize(
    ("pot", "missing"),
    [
        (pot_of((UNKNOWN, "10"), (reagent("ZnO"), "1")), (("UNKNOWN", "acid value"),)),
        (pot_of((ROSIN, "10"), (OPEN, "1")), (("ZnO", "assay"),)),
        (
            pot_of((UNKNOWN._replace(family="balsam"), "10"), (reagent("ZnO"), "1")),
            (("UNKNOWN", "acid value"),),
        ),
        (pot_of((OIL, "10"), (reagent("ZnO"), "1")), ()),
        (pot_of((ROSIN._replace(acid_value=Decimal(0)), "10"), (reagent("ZnO"), "1")), ()),
        (pot_of((ROSIN, "10"), (OIL, "1")), ()),
    ],
)
def test_a_fusion_that_cannot_be_reckoned_says_what_is_lacking(
    pot: list[Component], missing: tuple[tuple[str, str], ...]
) -> None:
    found = fused(pot)
    assert found.pot == tuple(pot)
    assert found.undecided == missing


SODA = reagent("NaOH", family="base")
ZINC = reagent("ZnSO4.7H2O", family="salt")


@pytest.mark.parametrize(
    ("pot", "missing"),
    [
        (pot_of((UNKNOWN, "10"), (SODA, "1"), (ZINC, "3")), (("UNKNOWN", "acid value"),)),
        (
            pot_of((ROSIN, "10"), (SODA._replace(assay_percent=None), "1"), (ZINC, "3")),
            (("NaOH", "assay"),),
        ),
        (
            pot_of((ROSIN, "10"), (SODA, "1"), (ZINC._replace(assay_percent=None), "3")),
            (("ZnSO4.7H2O", "assay"),),
        ),
        (pot_of((OIL, "10"), (SODA, "1"), (ZINC, "3")), ()),
        (pot_of((ROSIN, "10"), (SODA, "1")), ()),
    ],
)
def test_a_precipitation_that_cannot_be_reckoned_says_what_is_lacking(
    pot: list[Component], missing: tuple[tuple[str, str], ...]
) -> None:
    found = precipitated(pot)
    assert found.pot == tuple(pot)
    assert found.undecided == missing


def test_a_salt_without_alkali_takes_no_acid_and_washes_out() -> None:
    found = precipitated(pot_of((ROSIN, "10"), (ZINC, "3")))
    assert [one.family for one in found.pot] == ["resin", "spent"]
    assert found.pot[0] == weighed_in(1, ROSIN, Fraction(10))


def test_a_carbonate_on_a_resin_whose_acid_is_not_known_gives_off_nothing_yet() -> None:
    potash = reagent("K2CO3", family="base")
    assert soaped(pot_of((UNKNOWN, "10"), (potash, "1"))).undecided == (("UNKNOWN", "acid value"),)
    unsure = potash._replace(assay_percent=None)
    assert soaped(pot_of((ROSIN, "10"), (unsure, "1"))).undecided == (("K2CO3", "assay"),)
    assert soaped(pot_of((OIL, "10"), (potash, "1"))).left == ()


def test_the_alkali_of_some_lines_is_theirs_alone() -> None:
    pot = pot_of((SODA, "40"), (reagent("K2CO3", family="base"), "138.206"))
    each = [alkali_in(pot, lines) for lines in ((1,), (2,), (), (7,))]
    expected = [1, 2, 3, 0]
    assert [float(found or 0) for found in each] == pytest.approx(expected, rel=5e-4)
    assert alkali_in(pot_of((SODA._replace(assay_percent=None), "40")), ()) is None


def test_a_formula_is_known_however_its_dots_and_figures_were_typed() -> None:
    typed = ZINC._replace(formula="ZnSO₄ · 7H₂O")
    plain = precipitated(pot_of((ROSIN, "10"), (SODA, "1"), (ZINC, "3")))
    other = precipitated(pot_of((ROSIN, "10"), (SODA, "1"), (typed, "3")))
    assert total(fitting(other.pot, (), {"resinate"})) == total(
        fitting(plain.pot, (), {"resinate"})
    )
    assert reagent_formula(None) is None
    assert reagent_formula(OIL) is None
