"""The Student quantile against scipy."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from service.science.errors import OutOfRange
from service.science.student import student_quantile

PROBABILITIES = st.decimals("0.51", "0.9999", places=4)


@settings(max_examples=60)
@given(PROBABILITIES, st.integers(1, 200))
def test_the_quantile_is_that_of_scipy(probability: Decimal, degrees: int) -> None:
    known = stats.t.ppf(float(probability), degrees)
    assert float(student_quantile(probability, degrees)) == pytest.approx(known, rel=1e-9)


@pytest.mark.parametrize("degrees", [9998, 9999])
def test_many_degrees_of_freedom_are_reckoned_too(degrees: int) -> None:
    known = stats.t.ppf(0.995, degrees)
    assert float(student_quantile(Decimal("0.995"), degrees)) == pytest.approx(known, rel=1e-9)


@settings(max_examples=30)
@given(PROBABILITIES, st.integers(1, 60))
def test_more_readings_need_a_smaller_t(probability: Decimal, degrees: int) -> None:
    assert student_quantile(probability, degrees + 1) < student_quantile(probability, degrees)


@pytest.mark.parametrize(
    ("probability", "degrees", "field"),
    [
        ("0.5", 5, "probability"),
        ("1", 5, "probability"),
        ("0.975", 0, "degrees_of_freedom"),
        ("0.975", 10_000, "degrees_of_freedom"),
    ],
)
def test_what_has_no_quantile_is_refused(probability: str, degrees: int, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        student_quantile(Decimal(probability), degrees)
    assert refused.value.field == field
