"""Cross-cut classes and the distance of the cuts."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cross_cut import cross_cut_class, cutter_spacing
from service.science.ratings import rating_scale

AREAS = st.decimals(0, 100, places=1)


@given(AREAS, AREAS)
def test_more_removed_is_never_a_better_class(one: Decimal, other: Decimal) -> None:
    less, more = (cross_cut_class(area) for area in sorted((one, other)))
    assert less.iso_2409 <= more.iso_2409
    if less.astm_d3359 and more.astm_d3359:
        assert less.astm_d3359 >= more.astm_d3359


@given(AREAS)
def test_both_standards_count_the_same_bands_from_their_own_end(area: Decimal) -> None:
    found = cross_cut_class(area)
    step = rating_scale("ISO2409").values.index(found.iso_2409)
    if found.astm_d3359 is None:
        assert area in (5, 15, 35)
        assert "inspector" in found.notes[0]
    else:
        assert rating_scale("D3359-B").values.index(found.astm_d3359) == step
        assert not found.notes


@pytest.mark.parametrize("film", [20, 60, 61, 120, 121, 250])
def test_on_a_soft_ground_the_cuts_are_never_closer(film: int) -> None:
    hard, soft = (cutter_spacing(Decimal(film), each) for each in ("hard", "soft"))
    assert soft.spacing_mm >= hard.spacing_mm
    assert "wood" in soft.notes[0]
    assert not hard.notes
