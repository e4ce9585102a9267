"""Gloss: the angle, the mean, and what is left of it."""

import statistics
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.gloss import gloss_change, gloss_geometries, gloss_geometry, gloss_mean

READINGS = st.lists(st.decimals(0, 200, places=1), min_size=1, max_size=9)


@given(READINGS, st.sampled_from(gloss_geometries()))
def test_the_mean_lies_between_the_readings_and_does_not_ask_their_order(
    readings: list[Decimal], geometry: str
) -> None:
    found = gloss_mean(readings, geometry, surface="black card")
    assert found.lowest_gu <= found.mean_gu <= found.highest_gu
    assert found.mean_gu == gloss_mean(readings[::-1], geometry, surface="black card").mean_gu
    assert float(found.mean_gu) == pytest.approx(statistics.fmean(map(float, readings)))
    assert found.readings == len(readings)


@given(st.decimals(0, 200, places=1))
def test_what_is_read_at_the_wrong_angle_is_sent_to_the_one_recommended(gloss: Decimal) -> None:
    advised = gloss_geometry(gloss).geometry
    notes = gloss_mean([gloss] * 3, "60", surface="black glass").notes
    assert bool(notes) is (advised != "60")
    assert all(note.endswith(advised) for note in notes)


def test_too_few_readings_and_wood_are_pointed_at() -> None:
    along = gloss_mean([Decimal(40)], "60", surface="wood, along the grain").notes
    across = gloss_mean([Decimal(40)] * 3, "60", surface="wood, across the grain").notes
    assert "1 of at least 3 readings" in along
    assert "a clear film shows its ground: report it as “on wood, along the grain”" in along
    assert "wood is read along the grain" in across


def test_the_reading_at_fault_is_named() -> None:
    readings = [Decimal(80), Decimal(201)]
    with pytest.raises(OutOfRange) as refused:
        gloss_mean(readings, "60", surface="black card")
    assert refused.value.field == "readings_gu/1"
    assert gloss_mean(readings, "60", surface="metal").highest_gu == 201


def test_no_readings_have_no_mean() -> None:
    with pytest.raises(NotApplicable):
        gloss_mean([], "60", surface="metal")


@given(st.decimals(1, 200, places=1), st.decimals(0, 200, places=1))
def test_what_is_retained_and_what_changed_tell_the_same(before: Decimal, after: Decimal) -> None:
    found = gloss_change(before, after, geometry_before="20", geometry_after="20")
    assert before + found.change_gu == after
    assert before * found.retained_percent / 100 == pytest.approx(after, rel=Decimal("1e-20"))


def test_gloss_of_two_angles_is_not_compared() -> None:
    with pytest.raises(NotApplicable) as refused:
        gloss_change(Decimal(80), Decimal(60), geometry_before="60", geometry_after="20")
    assert refused.value.field == "geometry_after"
