"""Tests of films, ages, rooms, rubs and the size of defects."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable
from service.science.film_tests import (
    defect_size_class,
    defect_visibilities,
    film_age,
    film_test,
    film_test_names,
    report_ages,
    room_check,
    solvent_rubs,
)

NAMES = st.sampled_from(film_test_names())
AGES = st.decimals(0, 400, places=1)


@pytest.mark.parametrize("name", film_test_names())
def test_every_test_says_which_end_is_the_better_and_what_to_report(name: str) -> None:
    found = film_test(name)
    assert found.better in ("lower", "higher", "as specified")
    assert found.replicates > 0
    assert found.say


@given(NAMES, AGES, AGES)
def test_a_film_that_is_old_enough_stays_old_enough(
    name: str, one: Decimal, other: Decimal
) -> None:
    younger, older = (film_age(name, age) for age in sorted((one, other)))
    assert older.old_enough or not younger.old_enough
    assert younger.old_enough is (
        younger.least_age_d is None or min(one, other) >= younger.least_age_d
    )


@given(NAMES, AGES)
def test_the_next_report_is_the_first_age_not_yet_past(name: str, age: Decimal) -> None:
    left = [Decimal(each) for each in report_ages() if Decimal(each) >= age]
    assert film_age(name, age).next_report_d == (left[0] if left else None)


def test_a_reading_taken_too_early_is_kept_and_pointed_at() -> None:
    assert "record it" in film_age("pencil", Decimal(3)).notes[0]
    assert "every day" in film_age("drying stages", Decimal(0)).notes[0]


@given(st.decimals(-20, 60, places=1), st.decimals(0, 100, places=1))
def test_a_room_off_the_climate_is_pointed_at(temperature: Decimal, humidity: Decimal) -> None:
    found = room_check(temperature, humidity)
    assert found.standard_room is (21 <= temperature <= 25 and 45 <= humidity <= 55)
    assert bool(found.notes) is not found.standard_room


@given(st.integers(2, 2000))
def test_two_strokes_are_one_double_rub(strokes: int) -> None:
    found = solvent_rubs(strokes, "D5402")
    assert 2 * found.double_rubs + strokes % 2 == strokes
    assert len(found.notes) == 1 + strokes % 2


@pytest.mark.parametrize(("strokes", "notes"), [(98, 2), (99, 3), (100, 1), (101, 2)])
def test_short_of_fifty_double_rubs_with_mek_is_pointed_at(strokes: int, notes: int) -> None:
    assert len(solvent_rubs(strokes, "D4752").notes) == notes


@given(st.decimals("0.001", 50, places=3), st.decimals("0.001", 50, places=3))
def test_a_larger_defect_is_never_in_a_smaller_class(one: Decimal, other: Decimal) -> None:
    small, large = (defect_size_class("clearly visible", size) for size in sorted((one, other)))
    assert "3" <= small.size_class <= large.size_class <= "5"


@pytest.mark.parametrize("seen", defect_visibilities())
def test_a_size_belongs_to_what_is_clearly_visible_alone(seen: str) -> None:
    size = None if seen == "clearly visible" else Decimal("0.1")
    with pytest.raises(NotApplicable) as refused:
        defect_size_class(seen, size)
    assert refused.value.field == "size_mm"
