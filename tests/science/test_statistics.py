"""Replicate readings against the standard library."""

import statistics as standard_library
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.statistics import mean, repeatability, standard_deviation, value_range

READINGS = st.lists(st.decimals(1, 9999, places=2), min_size=2, max_size=9)


@given(READINGS)
def test_mean_and_deviation_agree_with_the_standard_library(readings: list[Decimal]) -> None:
    assert mean(readings) == pytest.approx(standard_library.mean(readings), rel=Decimal("1e-20"))
    assert standard_deviation(readings) == pytest.approx(
        standard_library.stdev(readings), rel=Decimal("1e-9"), abs=Decimal("1e-9")
    )


def test_a_summary_of_two_readings_has_every_figure() -> None:
    summary = repeatability([Decimal(61), Decimal(63)])
    assert (summary.readings, summary.mean, summary.low, summary.high) == (2, 62, 61, 63)
    assert summary.range == value_range([Decimal(61), Decimal(63)]) == 2
    assert summary.standard_deviation == Decimal(2).sqrt()
    assert summary.range_percent == Decimal(200) / 62


def test_one_reading_has_a_mean_and_no_spread() -> None:
    summary = repeatability([Decimal(62)])
    assert summary.mean == 62
    assert summary.standard_deviation is None
    assert summary.range_percent is None


def test_readings_around_zero_have_no_range_in_percent() -> None:
    assert repeatability([Decimal(-1), Decimal(1)]).range_percent is None


def test_a_range_in_percent_of_a_negative_mean_is_still_positive() -> None:
    percent = repeatability([Decimal(-4), Decimal(-6)]).range_percent
    assert percent == 40


@pytest.mark.parametrize("summarise", [mean, value_range, standard_deviation, repeatability])
def test_no_readings_have_no_summary(summarise: object) -> None:
    assert callable(summarise)
    with pytest.raises(NotApplicable):
        summarise([])


def test_a_reading_that_is_not_finite_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        mean([Decimal(1), Decimal("NaN")])
    assert refused.value.field == "values/1"


@given(READINGS, st.decimals(1, 1000, places=1))
def test_readings_in_a_smaller_unit_have_all_figures_scaled(
    readings: list[Decimal], factor: Decimal
) -> None:
    one, other = repeatability(readings), repeatability([factor * each for each in readings])
    assert other.mean == pytest.approx(factor * one.mean, rel=Decimal("1e-20"))
    assert other.range == factor * one.range
    assert other.range_percent == pytest.approx(one.range_percent, rel=Decimal("1e-20"))
