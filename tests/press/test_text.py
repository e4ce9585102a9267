"""Wording: lists, days and numbers as a sheet prints them."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.press.text import day, listed, percent, plain, typeset, words


@pytest.mark.parametrize(
    ("items", "sentence"),
    [
        ((), ""),
        (("a",), "a"),
        (("a", "b"), "a and b"),
        (("a", "b", "c"), "a, b and c"),
    ],
)
def test_items_are_listed_as_one_reads_them_aloud(items: tuple[str, ...], sentence: str) -> None:
    assert listed(items, "en") == sentence


@pytest.mark.parametrize(
    ("language", "first", "later"),
    [
        ("en", "1 May 2026", "25 November 2026"),
        ("en-GB", "1 May 2026", "25 November 2026"),
        ("de", "1. Mai 2026", "25. November 2026"),
        ("fr", "1er mai 2026", "25 novembre 2026"),
    ],
)
def test_a_day_is_written_as_on_a_label(language: str, first: str, later: str) -> None:
    assert day(date(2026, 5, 1), language) == first
    assert day(date(2026, 11, 25), language) == later


def test_every_month_has_its_own_name_in_every_language() -> None:
    for language in ("en", "de", "fr"):
        assert len(set(words(language).months)) == 12


def test_an_unknown_language_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'xx'"):
        day(date(2026, 11, 25), "xx")


def test_a_percentage_keeps_its_digits_and_stays_on_one_line() -> None:
    assert percent(Decimal("60.0")) == "60.0\N{NO-BREAK SPACE}%"
    assert typeset(Decimal("-0.50")) == "\N{MINUS SIGN}0.50"


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9))
def test_a_plain_number_has_no_exponent_and_reads_back_equal(number: Decimal) -> None:
    assert "E" not in plain(number)
    assert Decimal(plain(number)) == number
