"""Rounding to a step, to digits, and writing numbers out."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NumberMalformed, OutOfRange
from service.science.rounding import (
    decimal_of,
    from_float,
    plain,
    round_half_away,
    round_half_even,
    round_significant,
    round_to_step,
    rounding_rules,
)

VALUES = st.decimals(-(10**9), 10**9, allow_nan=False, places=6)
STEPS = st.decimals("0.001", 1000, allow_nan=False, places=3)


@given(VALUES, STEPS)
def test_a_rounded_value_is_a_multiple_of_the_step_and_the_nearest(
    value: Decimal, step: Decimal
) -> None:
    for rounded in (round_half_even(value, step), round_half_away(value, step)):
        assert (Fraction(rounded) / Fraction(step)).denominator == 1
        assert 2 * abs(Fraction(rounded) - Fraction(value)) <= Fraction(step)


@given(VALUES, STEPS)
def test_rounding_again_changes_nothing(value: Decimal, step: Decimal) -> None:
    once = round_half_even(value, step)
    assert round_half_even(once, step) == once


def test_an_exact_third_is_rounded_once_from_the_ratio() -> None:
    assert round_half_even(Fraction(1000, 3), Decimal("0.5")) == Decimal("333.5")


@pytest.mark.parametrize("step", ["0", "-1", "NaN"])
def test_a_step_that_is_no_step_is_refused(step: str) -> None:
    with pytest.raises(OutOfRange):
        round_half_even(Decimal(1), Decimal(step))


@pytest.mark.parametrize(
    ("value", "digits", "shown"),
    [
        ("25.7691", 3, "25.8"),
        ("9.96", 2, "10"),
        ("12345", 2, "12000"),
        ("0.00012355", 4, "0.0001236"),
        ("-2.5", 1, "-2"),
        ("0", 3, "0"),
    ],
)
def test_significant_digits_are_kept_and_no_exponent_shows(
    value: str, digits: int, shown: str
) -> None:
    assert str(round_significant(Decimal(value), digits)) == shown


@pytest.mark.parametrize("digits", [0, -1, 29])
def test_no_significant_digits_and_too_many_are_refused(digits: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        round_significant(Decimal(1), digits)
    assert refused.value.field == "digits"


@given(VALUES, STEPS)
def test_a_rule_by_its_name_rounds_as_the_rule(value: Decimal, step: Decimal) -> None:
    even, away = rounding_rules()
    assert round_to_step(value, step, rule=even) == round_half_even(value, step)
    assert round_to_step(value, step, rule=away) == round_half_away(value, step)


@given(VALUES, STEPS)
def test_rounding_away_from_zero_mirrors_at_zero(value: Decimal, step: Decimal) -> None:
    assert round_half_away(-value, step) == -round_half_away(value, step)


def test_an_unknown_rule_names_the_ones_there_are() -> None:
    with pytest.raises(OutOfRange, match="half-up") as refused:
        round_to_step(Decimal(1), Decimal(1), rule="half-up")
    assert "half-even, half-away" in refused.value.hint


@pytest.mark.parametrize("value", ["1e101", "1e-101", "-1e999999"])
def test_a_number_too_large_to_reckon_with_is_refused_at_once(value: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        round_half_even(Decimal(value), Decimal(1))
    assert refused.value.field == "value"


def test_a_float_is_taken_over_with_its_sound_digits() -> None:
    assert from_float(0.1 + 0.2) == Decimal("0.3")
    with pytest.raises(NumberMalformed):
        from_float(float("inf"))


@given(st.decimals(allow_nan=False, allow_infinity=False).filter(lambda d: abs(d.adjusted()) < 99))
def test_a_number_is_written_out_without_losing_anything(value: Decimal) -> None:
    assert Decimal(plain(value)) == value
    assert "E" not in plain(value)


def test_zero_is_written_without_a_sign_and_keeps_its_places() -> None:
    assert plain(Decimal("-0.00")) == "0.00"


def test_what_is_not_finite_is_not_written() -> None:
    with pytest.raises(NumberMalformed):
        plain(Decimal("NaN"))


def test_a_ratio_becomes_a_decimal_of_28_digits() -> None:
    assert decimal_of(Fraction(2, 3)) == Decimal("0." + "6" * 27 + "7")
