"""Plain decimal numbers, and what is said of every other kind."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NumberMalformed
from service.science.numerals import check_number, parse_number, split_number


@pytest.mark.parametrize(
    ("text", "digits"),
    [("1.50", "1.50"), (" 7 ", "7"), ("+2", "2"), ("\u22123.0", "-3.0"), ("-0.00", "0.00")],
)
def test_a_plain_number_keeps_its_digits(text: str, digits: str) -> None:
    assert str(parse_number(text)) == digits


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("1,5 kg", "write 1.5 kg"),
        ("1,500 kg", "write 1500 kg or 1.500 kg"),
        ("1.500,5 kg", "write 1500.5 kg"),
        ("1,500.5 kg", "write 1500.5 kg"),
        ("1,500,000 kg", "together"),
        ("1 500 kg", "together"),
        ("1\u2009500 kg", "together"),
        ("1'500 kg", "together"),
        ("1_500 kg", "together"),
        ("1e3 g", "write the number out"),
        ("1.5E-3 g", "write the number out"),
        ("--5 kg", "one sign"),
        ("+ -5 kg", "one sign"),
        (".5 kg", "write 0.5 kg"),
        ("5. kg", "write 5 kg"),
        ("1.5.2 kg", "one decimal point"),
        ("9**9**9 kg", "send the result"),
        ("1/2 kg", "send the result"),
        ("5-6 kg", "send the result"),
        ("5² kg", "send the result"),
        ("3 ± 1 kg", "send the result"),
        ("NaN kg", "such as 1.5"),
        ("-Infinity", "such as 1.5"),
        ("∞", "such as 1.5"),
        ("½ kg", "number first"),
        ("٣ kg", "number first"),
        ("about 5 kg", "number first"),
        ("", "such as 1.5"),
        ("1" * 13, "12 digits before"),
        ("0." + "1" * 13, "12 after"),
        ("1" * 65, "64 characters"),
    ],
)
def test_a_malformed_number_is_refused_with_what_to_write(text: str, hint: str) -> None:
    with pytest.raises(NumberMalformed) as refused:
        split_number(text)
    assert hint in refused.value.hint


def test_a_number_with_something_behind_it_is_not_a_number_alone() -> None:
    with pytest.raises(NumberMalformed, match="“kg” follows the number"):
        parse_number("5 kg")


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Decimal("1E+3"), "1000"),
        (Decimal("1.50"), "1.50"),
        (7, "7"),
        (Decimal("-0.00"), "0.00"),
        (Decimal("0E+400"), "0"),
    ],
)
def test_a_number_that_came_as_a_number_is_written_out(value: Decimal | int, shown: str) -> None:
    assert str(check_number(value)) == shown


@pytest.mark.parametrize("value", [Decimal("1E+999999"), Decimal("1E-13"), 10**12])
def test_a_number_of_too_many_digits_is_refused_without_being_written_out(
    value: Decimal | int,
) -> None:
    with pytest.raises(NumberMalformed, match="too many digits"):
        check_number(value)


@given(
    st.decimals(
        Decimal("-999999999999"), Decimal("999999999999"), allow_nan=False, places=12
    ).filter(bool)
)
def test_every_number_of_twelve_and_twelve_digits_is_read_as_written(value: Decimal) -> None:
    assert format(parse_number(format(value, "f")), "f") == format(value, "f")
