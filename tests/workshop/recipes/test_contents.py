"""Sums over the contents of a pot, by themselves."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.formulation import OXYGEN
from service.science.pots import INERT, Component, Substance, weighed_in
from service.workshop.recipes.inside import contents
from service.workshop.recipes.inside.contents import Sum

OIL = Substance("OIL", "drying-oil", Decimal("0.93"), Decimal(100), acid_value=Decimal(2))
ROSIN = Substance("ROSIN", "resin", Decimal("1.07"), Decimal(100), acid_value=Decimal(165))
SPIRIT = Substance("SPIRIT", "solvent", Decimal("0.778"), Decimal(0), Decimal(0), Decimal(0))
DRIER = Substance("DRIER", "drier", Decimal("0.9"), Decimal(60))
STRONG = Substance("ETHANOL", "solvent", None, Decimal(0), ethanol_percent_vol=Decimal(96))
WATER = Substance("WATER", "water", Decimal("0.998"), Decimal(0))
ACETONE = Substance("ACETONE", "solvent", Decimal("0.791"), Decimal(0), Decimal(0), Decimal(100))


def pot(*parts: tuple[Substance, float]) -> list[Component]:
    """These substances, each on a line of its own."""
    return [weighed_in(n, what, Fraction(mass)) for n, (what, mass) in enumerate(parts, 1)]


def value(found: Any) -> float:
    assert isinstance(found, Sum), found
    return float(found.value)


def test_the_non_volatile_is_what_stays_over_all() -> None:
    # (60 + 5 x 0.60) / 105, by hand.
    held = pot((OIL, 60), (SPIRIT, 40), (DRIER, 5))
    assert value(contents.non_volatile(held)) == pytest.approx(60)


def test_what_is_not_known_is_named_once() -> None:
    bare = Substance("BARE", "resin")
    held = pot((bare, 1), (bare, 2), (OIL, 1))
    assert contents.non_volatile(held) == ["non-volatile of BARE"]
    assert contents.density(held, {}) == ["density of BARE"]
    assert contents.acid_number(held) == ["acid value of BARE"]


def test_volumes_add_up_in_a_density() -> None:
    # 2 kg in 1/0.93 + 1/0.778 l, by hand.
    held = pot((OIL, 1), (SPIRIT, 1))
    assert value(contents.density(held, {})) == pytest.approx(0.84723, abs=1e-5)


def test_spirit_and_water_shrink_as_the_table_says() -> None:
    # OIML R 22: 70 % vol has 62.38619 % by mass and 0.8855613 kg/l, 96 % vol 93.83854 %.
    water = 93.83854 / 62.38619 - 1
    found = contents.density(pot((STRONG, 1), (WATER, water)), {})
    assert value(found) == pytest.approx(0.8855613, rel=3e-5)
    assert isinstance(found, Sum)
    assert any("OIML R 22" in said for said in found.said)


def test_spirit_of_a_known_strength_needs_no_density() -> None:
    # OIML R 22: 0.8074192 kg/l at 96 % vol.
    assert value(contents.density(pot((STRONG, 1)), {})) == pytest.approx(0.8074192, rel=3e-5)


def test_the_water_of_spirit_follows_from_its_strength() -> None:
    # OIML R 22: 96 % vol has 93.83854 % ethanol by mass.
    assert value(contents.water(pot((STRONG, 1)))) == pytest.approx(100 - 93.83854, abs=3e-3)


def test_water_that_is_not_stated_counts_as_none_and_is_said() -> None:
    bare = Substance("THINNER", "solvent", Decimal("0.8"), Decimal(0))
    found = contents.water(pot((bare, 1), (WATER, 1), (OIL, 2)))
    assert found == Sum(Fraction(25), ("water of THINNER not stated: counted as none",))
    assert contents.exempt(pot((bare, 1), (ACETONE, 1))).value == 50


def test_exempt_compounds_are_as_dense_as_what_they_come_in() -> None:
    assert contents.exempt_density(pot((OIL, 1))) is None
    assert value(contents.exempt_density(pot((OIL, 1), (ACETONE, 1)))) == pytest.approx(0.791)


def test_a_resinate_is_as_dense_as_its_resin_and_inert_matter_as_its_reagent() -> None:
    oxide = Substance("ZNO", "oxide", Decimal("5.6"))
    made = [
        Component("zinc resinate", "resinate", (1, 2), Fraction(1)),
        Component("inert matter of ZNO", INERT, (2,), Fraction(1)),
    ]
    found = contents.density(made, {1: ROSIN, 2: oxide})
    assert value(found) == pytest.approx(2 / (1 / 1.07 + 1 / 5.6))


def test_oxygen_taken_up_counts_as_dense_as_all_the_rest() -> None:
    air = Component("oxygen taken up", OXYGEN, (1,), Fraction(1, 10))
    assert value(contents.density([*pot((OIL, 1)), air], {})) == pytest.approx(0.93)


def test_a_little_that_evaporates_from_a_drier_is_as_dense_as_the_solvents() -> None:
    found = contents.evaporating(pot((OIL, 60), (SPIRIT, 40), (DRIER, 5)))
    assert value(found) == pytest.approx(0.778)
    much = contents.evaporating(pot((OIL, 60), (SPIRIT, 1), (DRIER, 5)))
    assert much == ["density of what evaporates from DRIER"]


def test_the_acid_number_is_that_of_all_parts_by_their_mass() -> None:
    # (165 + 2) / 2 with as much oil as rosin; a solvent has none and thins it; by hand.
    assert value(contents.acid_number(pot((ROSIN, 1), (OIL, 1)))) == pytest.approx(83.5)
    assert value(contents.acid_number(pot((ROSIN, 1), (OIL, 1), (SPIRIT, 2)))) == pytest.approx(
        41.75
    )
    assert contents.acid_number(pot((SPIRIT, 1))) is None


def test_metals_add_up_metal_by_metal() -> None:
    cobalt = Substance("CO", "drier", metals=(("Co", Decimal(6)),))
    both = Substance("CO-ZR", "drier", metals=(("Co", Decimal(4)), ("Zr", Decimal(12))))
    held = pot((cobalt, 1), (both, 1))
    assert contents.metals(held) == {"Co": Fraction(1, 10), "Zr": Fraction(12, 100)}


@given(st.lists(st.integers(1, 10**6), min_size=3, max_size=3))
def test_figures_of_a_mixture_lie_between_those_of_its_parts(masses: list[int]) -> None:
    held = pot(*zip((OIL, ROSIN, SPIRIT), masses, strict=True))
    assert 0 < value(contents.non_volatile(held)) < 100
    assert 0.778 < value(contents.density(held, {})) < 1.07
    assert 0 < value(contents.acid_number(held)) < 165
