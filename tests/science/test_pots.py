"""What the sums know of the things in a pot."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.pots import (
    Component,
    Lacking,
    Substance,
    binder_of,
    cleared,
    fitting,
    solid_of,
    total,
    weighed_in,
)
from service.science.rosin_soap import rosin_acid
from tests.science.pots_made import DRIER, OIL, ROSIN, SPIRIT

MASSES = st.fractions(Fraction(1, 1000), 1000)
ACIDS = st.decimals(1, 200, places=1)


@given(st.decimals("0.1", 5000, places=1), ACIDS)
def test_the_acid_of_a_resin_is_that_of_the_single_sum(mass: Decimal, acid: Decimal) -> None:
    found = weighed_in(1, ROSIN._replace(acid_value=acid), Fraction(mass))
    assert float(found.acid_mol) == pytest.approx(float(rosin_acid(mass, acid).acid_mol), rel=1e-12)


@given(MASSES, ACIDS)
def test_the_acid_weighs_no_more_than_the_resin_it_is_in(mass: Fraction, acid: Decimal) -> None:
    found = weighed_in(1, ROSIN._replace(acid_value=acid), mass)
    assert found.acid_mol * found.acid_g_mol <= mass


@pytest.mark.parametrize("family", ["drying-oil", "solvent"])
def test_an_acid_value_counts_in_resins_alone(family: str) -> None:
    oil = Substance("OIL", family, acid_value=Decimal(4))
    assert weighed_in(1, oil, Fraction(1)).acid_mol == 0


def test_the_acid_of_an_intermediate_of_oil_and_resin_counts() -> None:
    both = Substance("BASE", None, acid_value=Decimal(56))
    assert weighed_in(1, both, Fraction(1)).acid_mol == Fraction(56, 56106)


def test_what_has_more_acid_than_any_resin_is_refused() -> None:
    with pytest.raises(OutOfRange) as found:
        weighed_in(3, ROSIN._replace(acid_value=Decimal(201)), Fraction(1))
    assert found.value.field == "lines/3"


def test_a_balsam_counts_by_its_resin_and_a_mixture_by_what_is_in_it() -> None:
    elemi = Substance("ELEMI", "balsam", non_volatile_percent=Decimal(75))
    assert binder_of(weighed_in(1, elemi, Fraction(4))) == (0, 3)
    assert binder_of(weighed_in(1, elemi._replace(non_volatile_percent=None), Fraction(4))) is None
    base = Substance("BASE", oil_percent=Decimal(60), resin_percent=Decimal(30))
    assert binder_of(weighed_in(1, base, Fraction(10))) == (6, 3)
    assert binder_of(weighed_in(1, Substance("BASE"), Fraction(10))) is None
    assert binder_of(weighed_in(1, Substance("WAX", "wax"), Fraction(10))) == (0, 0)


def test_what_does_not_dissolve_is_left_behind_once() -> None:
    lac = Substance("SEEDLAC", "resin", acid_value=Decimal(72), insoluble_percent=Decimal(5))
    pot, dirt = cleared([weighed_in(1, lac, Fraction(100)), weighed_in(2, DRIER, Fraction(1))])
    assert [one.mass for one in pot] == [95, 1]
    assert dirt == [("insoluble of SEEDLAC", 5)]
    assert cleared(pot) == (pot, [])


def test_the_metal_of_a_drier_is_in_the_pot() -> None:
    assert weighed_in(1, DRIER, Fraction(50)).metals == (("Co", Fraction(3)),)


@given(MASSES, st.fractions(Fraction(1, 100), 100))
def test_more_of_a_thing_is_more_of_all_that_is_in_it(mass: Fraction, factor: Fraction) -> None:
    both = ROSIN._replace(metals=DRIER.metals)
    once = weighed_in(1, both, mass)._replace(driven_off=mass / 4)
    more = once.times(factor)
    assert more == weighed_in(1, both, mass * factor)._replace(driven_off=mass * factor / 4)
    assert more.times(1 / factor) == once
    assert weighed_in(1, OIL, mass).times(factor) == weighed_in(1, OIL, mass * factor)


def test_lines_named_go_before_families() -> None:
    pot = [weighed_in(n, one, Fraction(n)) for n, one in enumerate((ROSIN, OIL, SPIRIT), 1)]
    made = Component("zinc resinate", "resinate", (1, 4), Fraction(4))
    assert fitting([*pot, made], (), {"resin", "resinate"}) == [pot[0], made]
    assert fitting([*pot, made], (1,), {"solvent"}) == [pot[0], made]
    assert total([*pot, made]) == 10


def test_what_a_reaction_made_does_not_evaporate() -> None:
    assert solid_of(Component("zinc resinate", "resinate", (1,), Fraction(3))) == 3
    assert solid_of(weighed_in(1, OIL, Fraction(3))) == 3
    assert solid_of(weighed_in(1, SPIRIT, Fraction(3))) == 0
    assert solid_of(weighed_in(1, DRIER, Fraction(3))) is None


def test_a_value_that_is_lacking_is_named_with_its_line() -> None:
    refused = Lacking(4, (("ROSIN", "acid value"), ("ZNO", "assay")))
    assert refused.field == "lines/4"
    assert refused.code == "value-needed"
    assert refused.hint == "send the acid value of ROSIN, the assay of ZNO"
    assert refused.missing == (("ROSIN", "acid value"), ("ZNO", "assay"))
