"""Pencils in their order, and the hardness that they tell."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.pencils import (
    PencilStroke,
    pencil_compare,
    pencil_grades,
    pencil_hardness,
    pencil_rank,
)

GRADES = pencil_grades()
ONE = st.sampled_from(GRADES)
TURNED = {"softer": "harder", "harder": "softer", "the same": "the same"}


@given(ONE, ONE)
def test_turned_round_softer_is_harder(first: str, second: str) -> None:
    here, there = pencil_compare(first, second), pencil_compare(second, first)
    assert here.first_is == TURNED[there.first_is]
    assert here.grades == there.grades == abs(pencil_rank(first).rank - pencil_rank(second).rank)


@pytest.mark.parametrize("grade", GRADES)
def test_neighbours_are_each_others_neighbours(grade: str) -> None:
    found = pencil_rank(grade)
    assert found.softer is None or pencil_rank(found.softer).harder == grade
    assert found.harder is None or pencil_rank(found.harder).softer == grade
    assert bool(found.notes) is (found.rank < 3 or found.rank > 16)


@given(st.integers(0, 20))
def test_a_film_that_any_pencil_from_one_on_marks_has_the_hardness_before(first: int) -> None:
    strokes = [PencilStroke(grade, rank >= first) for rank, grade in enumerate(GRADES)]
    found = pencil_hardness(strokes)
    assert found.hardness == (GRADES[first - 1] if first else None)
    assert found.marked_by == (GRADES[first] if first < 20 else None)
    assert len(found.notes) == (1 if 0 < first < 20 else 2)


@pytest.mark.parametrize(
    ("strokes", "hardness", "note"),
    [
        ([("HB", False), ("2H", True)], "HB", "grades between were not tried"),
        ([("B", False), ("HB", True), ("F", False)], "B", "repeat the test"),
        ([("F", False), ("F", True)], None, "repeat the test"),
        ([("F", False)], "F", "go on to harder ones"),
        ([("F", True)], None, "go on to softer ones"),
    ],
)
def test_what_the_strokes_leave_open_is_said(
    strokes: list[tuple[str, bool]], hardness: str | None, note: str
) -> None:
    found = pencil_hardness([PencilStroke(*each) for each in strokes])
    assert found.hardness == hardness
    assert any(note in each for each in found.notes)


def test_the_stroke_at_fault_is_named() -> None:
    with pytest.raises(OutOfRange) as refused:
        pencil_hardness([PencilStroke("HB", False), PencilStroke("10H", True)])
    assert refused.value.field == "strokes/1/grade"
    with pytest.raises(NotApplicable):
        pencil_hardness([])
