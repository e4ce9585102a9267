"""Acid, saponification, ester and iodine values."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.titrations import acid_value, ester_value, iodine_value, saponification_value

HALF = Decimal("0.5")
TENTH = Decimal("0.1")
ONE = Decimal(1)
EXACT = Decimal("1e-20")


@given(
    titre=st.decimals("0.1", 8, places=2),
    strength=st.decimals("0.01", HALF, places=4),
    mass=st.decimals(1, 10, places=4),
)
def test_an_acid_value_counts_the_millimoles_of_a_gram(
    titre: Decimal, strength: Decimal, mass: Decimal
) -> None:
    value = acid_value(titre, titrant_mol_l=strength, mass_g=mass)
    assert value * mass / strength / Decimal("56.106") == pytest.approx(titre, rel=EXACT)
    assert acid_value(titre, titrant_mol_l=strength, mass_g=2 * mass) < value


@given(used=st.decimals(4, 14, places=2), blank=st.decimals(15, 30, places=2))
def test_only_the_difference_of_the_titres_counts(used: Decimal, blank: Decimal) -> None:
    found = saponification_value(blank, blank - used, titrant_mol_l=HALF, mass_g=Decimal(2))
    assert found == saponification_value(used, Decimal(0), titrant_mol_l=HALF, mass_g=Decimal(2))
    assert found == acid_value(used, titrant_mol_l=HALF, mass_g=Decimal(2)) or found > 250


@given(saponification=st.decimals(50, 400, places=1), share=st.decimals(0, "0.6", places=3))
def test_ester_and_acid_make_up_the_saponification_value(
    saponification: Decimal, share: Decimal
) -> None:
    acid = saponification * share
    assert ester_value(saponification, acid) + acid == saponification


def test_a_blank_above_the_titre_of_an_acid_value_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        acid_value(TENTH, HALF, titrant_mol_l=HALF, mass_g=ONE)
    assert refused.value.field == "blank_ml"


@pytest.mark.parametrize(
    ("strength", "mass", "field"),
    [
        ("0.0009", "1", "titrant_mol_l"),
        ("2.1", "1", "titrant_mol_l"),
        ("0.5", "0", "mass_g"),
        ("0.5", "-1", "mass_g"),
    ],
)
def test_a_strength_or_a_mass_out_of_range_is_refused(strength: str, mass: str, field: str) -> None:
    given_ = {"titrant_mol_l": Decimal(strength), "mass_g": Decimal(mass)}
    with pytest.raises(OutOfRange) as refused:
        acid_value(ONE, **given_)
    assert refused.value.field == field
    with pytest.raises(OutOfRange) as refused:
        saponification_value(ONE, TENTH, **given_)
    assert refused.value.field == field
    with pytest.raises(OutOfRange) as refused:
        iodine_value(ONE, TENTH, **given_)
    assert refused.value.field == field


@pytest.mark.parametrize("value", [acid_value, saponification_value, iodine_value])
@pytest.mark.parametrize(("first", "second"), [(-1, 0), (0, -1)])
def test_a_titre_below_nothing_is_refused(value: object, first: int, second: int) -> None:
    assert callable(value)
    with pytest.raises(OutOfRange) as refused:
        value(Decimal(first), Decimal(second), titrant_mol_l=HALF, mass_g=ONE)
    assert refused.value.field in {"sample_ml", "blank_ml"}


def test_values_that_nothing_of_the_trade_has_are_refused_with_the_value() -> None:
    with pytest.raises(OutOfRange, match="acid value comes to 280") as acid:
        acid_value(Decimal(10), titrant_mol_l=HALF, mass_g=ONE)
    with pytest.raises(OutOfRange, match="saponification value comes to 420") as high:
        saponification_value(Decimal(15), Decimal(0), titrant_mol_l=HALF, mass_g=ONE)
    with pytest.raises(OutOfRange, match="saponification value comes to 28"):
        saponification_value(Decimal(15), Decimal(14), titrant_mol_l=HALF, mass_g=ONE)
    with pytest.raises(OutOfRange, match="iodine value comes to 317") as iodine:
        iodine_value(Decimal(50), Decimal(0), titrant_mol_l=HALF, mass_g=ONE)
    assert "0-250" in acid.value.hint
    assert "50-400" in high.value.hint
    assert "0-300" in iodine.value.hint


def test_a_sample_that_uses_up_most_of_the_iodine_is_noted() -> None:
    found = iodine_value(Decimal(48), Decimal(20), titrant_mol_l=TENTH, mass_g=Decimal("0.2"))
    assert round(found.reagent_used_percent) == 58
    assert "weigh less sample" in found.notes[-1]


def test_a_sample_that_leaves_half_of_the_iodine_is_not_noted() -> None:
    found = iodine_value(Decimal(48), Decimal(24), titrant_mol_l=TENTH, mass_g=Decimal("0.2"))
    assert len(found.notes) == 1


def test_nothing_titrated_is_an_iodine_value_of_nothing() -> None:
    found = iodine_value(Decimal(0), Decimal(0), titrant_mol_l=TENTH, mass_g=ONE)
    assert (found.iodine_value, found.reagent_used_percent) == (0, 0)


def test_an_acid_value_above_the_saponification_value_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        ester_value(Decimal(100), Decimal(101))
    assert refused.value.field == "saponification_value"
