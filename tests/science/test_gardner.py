"""The Gardner standards and the one nearest to a chromaticity."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.gardner import (
    gardner_nearest,
    gardner_of_rosin_grade,
    gardner_standard,
    rosin_grades,
)
from service.science.results import Standing

STANDARDS = range(1, 19)
STEPS = st.decimals("-0.002", "0.002", places=4)


@pytest.mark.parametrize("halves", [False, True])
@pytest.mark.parametrize("standard", STANDARDS)
def test_a_standard_reads_as_itself(standard: int, halves: bool) -> None:
    place = gardner_standard(standard)
    read = gardner_nearest(
        place.x,
        place.y,
        white="C/2",
        halves=halves,
        transmittance_percent=place.transmittance_percent,
    )
    assert (read.gardner, read.standard) == (str(standard), standard)
    assert read.distance == 0
    assert not read.notes


@given(st.sampled_from(STANDARDS), STEPS, STEPS)
def test_a_little_off_a_standard_reads_the_same(standard: int, right: Decimal, up: Decimal) -> None:
    place = gardner_standard(standard)
    # The darkest lie at the red end of the spectrum, beyond which there is no colour.
    assume(place.x + right + place.y + up <= 1)
    read = gardner_nearest(place.x + right, place.y + up, white="C/2")
    assert read.gardner == str(standard)


@pytest.mark.parametrize("standard", STANDARDS[:-1])
def test_half_way_reads_a_half_only_where_halves_were_agreed(standard: int) -> None:
    here, there = gardner_standard(standard), gardner_standard(standard + 1)
    middle = (here.x + there.x) / 2, (here.y + there.y) / 2
    assert gardner_nearest(*middle, white="C/2", halves=True).gardner == f"{standard}.5"
    assert gardner_nearest(*middle, white="C/2").gardner in (str(standard), str(standard + 1))


def test_beyond_the_ends_no_number_is_reported() -> None:
    # The chromaticity of illuminant C itself: water white.
    assert gardner_nearest(Decimal("0.3101"), Decimal("0.3162"), white="C/2").gardner == "< 1"
    assert gardner_nearest(Decimal("0.69"), Decimal("0.30"), white="C/2").gardner == "> 18"


def test_the_standards_run_from_pale_to_dark() -> None:
    light = [gardner_standard(each).transmittance_percent for each in STANDARDS]
    assert light == sorted(light, reverse=True)


def test_a_red_far_off_the_line_is_pointed_at() -> None:
    assert (
        "not on this scale" in gardner_nearest(Decimal("0.5"), Decimal("0.3"), white="C/2").notes[0]
    )


@pytest.mark.parametrize(
    ("percent", "noted"), [("41", False), ("49", False), ("40.9", True), ("50", True)]
)
def test_a_transmittance_off_the_tolerance_is_pointed_at(percent: str, noted: bool) -> None:
    place = gardner_standard(11)
    read = gardner_nearest(place.x, place.y, white="C/2", transmittance_percent=Decimal(percent))
    assert bool(read.notes) is noted


def test_x_and_y_beyond_the_diagram_are_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        gardner_nearest(Decimal("0.6"), Decimal("0.5"), white="C/2")
    assert refused.value.field == "y"


def test_darker_grades_of_rosin_lie_further_up_the_scale() -> None:
    found = [gardner_of_rosin_grade(grade) for grade in ("X", "WW", "WG", "N", "M")]
    assert [one.value for one in found] == sorted(one.value for one in found)
    assert {one.standing for one in found} == {Standing.APPROXIMATE}


@pytest.mark.parametrize("grade", sorted({*rosin_grades()} - {"X", "WW", "WG", "N", "M"}))
def test_a_grade_without_a_figure_is_refused_with_those_that_have_one(grade: str) -> None:
    with pytest.raises(NotApplicable) as refused:
        gardner_of_rosin_grade(grade)
    assert "X, WW, WG, N, M" in refused.value.hint
