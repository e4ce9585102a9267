"""Colours read by eye are compared like with like, or not at all."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.colour_readings import (
    NOT_ON_SCALE,
    ColourReading,
    compare_colour_readings,
)
from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.gardner import rosin_grades

HALVES = [str(Decimal(each) / 2) for each in range(2, 37)]
SOLUTION = ColourReading("Gardner", "9", "solution", "Turpentine", Decimal(50))
TURNED = {"first": "second", "second": "first", "neither": "neither"}
LIQUIDS = st.sampled_from([*HALVES, "< 1", "> 18"]).map(
    lambda reading: ColourReading("Gardner", reading, "liquid")
)
CUBES = st.sampled_from(rosin_grades()).map(
    lambda grade: ColourReading("rosin grade", grade, "cube")
)


@given(LIQUIDS | CUBES, LIQUIDS | CUBES)
def test_turned_round_the_other_is_darker(first: ColourReading, second: ColourReading) -> None:
    if first.scale != second.scale:
        with pytest.raises(NotApplicable):
            compare_colour_readings(first, second)
        return
    here, there = compare_colour_readings(first, second), compare_colour_readings(second, first)
    assert here.darker == TURNED[there.darker]
    assert here.steps == there.steps


@given(LIQUIDS)
def test_beyond_the_ends_no_steps_are_counted(reading: ColourReading) -> None:
    found = compare_colour_readings(reading, ColourReading("Gardner", "> 18", "liquid"))
    assert found.darker == ("neither" if reading.reading == "> 18" else "second")
    assert found.steps is None
    assert found.notes


def test_solutions_of_one_kind_are_compared_however_the_solvent_is_written() -> None:
    other = ColourReading("Gardner", "9", "solution", " turpentine", Decimal("50.0"))
    assert compare_colour_readings(SOLUTION, other).steps == 0


@pytest.mark.parametrize(
    ("reading", "field"),
    [
        (ColourReading("Gardner", "9", "melt"), "sample"),
        (ColourReading("rosin grade", "WW", "solution", "turpentine", Decimal(50)), "scale"),
        (ColourReading("Gardner", "9", "solution", "ethanol", Decimal(50)), "solvent"),
        (ColourReading("Gardner", "9", "solution", "turpentine", Decimal(40)), "solids_percent"),
        (ColourReading("Gardner", "9", "solution", None, Decimal(50)), "solvent"),
        (ColourReading("Gardner", "9", "solution", " ", Decimal(50)), "solvent"),
        (ColourReading("Gardner", "9", "solution", "turpentine"), "solids_percent"),
        (ColourReading("Gardner", NOT_ON_SCALE, "liquid"), "reading"),
    ],
)
def test_what_was_read_otherwise_is_not_compared(reading: ColourReading, field: str) -> None:
    with pytest.raises(NotApplicable) as refused:
        compare_colour_readings(SOLUTION, reading)
    assert refused.value.field == f"second/{field}"


@pytest.mark.parametrize("text", ["0", "0.5", "18.5", "19", "7.25", "7,5", "<1", "", "WW", "١"])
def test_what_is_no_gardner_colour_is_refused(text: str) -> None:
    with pytest.raises(ScienceError) as refused:
        compare_colour_readings(ColourReading("Gardner", text, "liquid"), SOLUTION)
    assert refused.value.field == "first/reading"


@pytest.mark.parametrize("change", ["scale", "sample", "solids_percent"])
def test_a_word_or_a_strength_that_cannot_be_is_refused(change: str) -> None:
    wrong = {
        "scale": ColourReading("Munsell", "9", "liquid"),
        "sample": ColourReading("Gardner", "9", "powder"),
        "solids_percent": ColourReading("Gardner", "9", "solution", "ethanol", Decimal(0)),
    }
    with pytest.raises(OutOfRange) as refused:
        compare_colour_readings(wrong[change], SOLUTION)
    assert refused.value.field == f"first/{change}"
