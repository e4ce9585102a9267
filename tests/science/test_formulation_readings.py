"""What was measured while a recipe was made stands in place of what was reckoned."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.formulation import Reading, worked
from tests.science.pots_made import (
    HARD,
    OIL,
    ROSIN,
    SHELF,
    ZINC_OXIDE,
    acid_value,
    charged_in,
    formula,
    part,
    rule,
    stage,
    varnish,
)

LIMED = (
    part(1, ROSIN, 1, "melt"),
    part(2, OIL, 2),
    rule(3, ZINC_OXIDE, "neutralise", 50, "thin"),
)
LIMED_STAGES = tuple(stage(name) for name in ("melt", "cook", "thin"))


@given(st.decimals(1, 150, places=1))
def test_a_reading_stands_in_place_of_what_was_reckoned(read: Decimal) -> None:
    done = worked(formula(LIMED[:2], SHELF, *LIMED_STAGES, readings=[Reading("cook", read)]))
    assert acid_value(done) == pytest.approx(float(read), rel=1e-12)
    for one in done.contents:
        assert one.acid_mol * one.acid_g_mol <= one.mass


@given(st.decimals(1, 150, places=1), st.decimals(1, 100, places=1))
def test_a_reagent_after_a_reading_is_sized_on_it(read: Decimal, share: Decimal) -> None:
    lines = (*LIMED[:2], rule(3, ZINC_OXIDE, "neutralise", share, "thin"))
    plain, measured = (
        worked(formula(lines, SHELF, *LIMED_STAGES, readings=readings))
        for readings in ([], [Reading("cook", read)])
    )
    reckoned = Fraction(165, 3)
    first, second = (one.charged[2].mass or Fraction(0) for one in (plain, measured))
    assert second == first * Fraction(read) / reckoned
    assert (plain.before_reading, measured.before_reading) == ((3,), ())


def test_a_reading_of_the_mass_takes_what_was_not_found() -> None:
    done = varnish(Reading("cook", mass_share=Fraction(9, 10)))
    assert [each.basis for each in done.left if each.what == "not found on weighing"] == [
        "measured"
    ]
    assert done.makes < varnish().makes


def test_a_reading_where_there_is_no_acid_changes_nothing() -> None:
    lines = [part(1, OIL, 1)]
    read = worked(formula(lines, SHELF, readings=[Reading("cook", Decimal(5))]))
    assert read.contents == worked(formula(lines, SHELF)).contents


def test_a_resin_measured_stronger_than_it_was_can_still_be_fused_whole() -> None:
    lines = [part(1, HARD, 1, "melt"), rule(2, ZINC_OXIDE, "neutralise", 100)]
    stages = stage("melt"), stage("cook")
    done = worked(formula(lines, SHELF, *stages, readings=[Reading("melt", Decimal(200))]))
    assert all(one.mass >= 0 for one in done.contents)
    left = sum((each.mass for each in done.left), Fraction(0))
    assert charged_in(done) == done.makes + left


def test_an_acid_that_was_measured_needs_no_figure_of_the_resin() -> None:
    unknown = ROSIN._replace(acid_value=None)
    lines = (part(1, unknown, 1, "melt"), *LIMED[1:])
    shelf = (*(one for one in SHELF if one.name != ROSIN.name), unknown)
    done = worked(formula(lines, shelf, *LIMED_STAGES, readings=[Reading("cook", Decimal(55))]))
    assert done.charged[2].mass
    # Half of 55 mg KOH/g over the pot, at 81.379 g/mol of zinc oxide and 2 equivalents, by hand.
    expected = 55 / 56106 / 2 / 2 * 81.379 / float(ZINC_OXIDE.assay_percent or 100) * 100
    assert float(done.charged[2].mass) == pytest.approx(expected, rel=1e-4)
