"""What a label says, decided without a database."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.labels.rules import (
    Counted,
    band,
    called_for,
    contents_text,
    count_problems,
    differences,
    in_order,
    lot_address,
    months_after,
    smallest,
    span,
)


@pytest.mark.parametrize(
    ("ml", "sizes"),
    [
        (250, ("52 x 74 mm", "10 mm", "1.2 mm")),
        (500, ("52 x 74 mm", "10 mm", "1.2 mm")),
        (501, ("52 x 74 mm", "10 mm", "1.4 mm")),
        (3000, ("52 x 74 mm", "10 mm", "1.4 mm")),
        (3001, ("74 x 105 mm", "23 mm", "1.8 mm")),
        (50_001, ("105 x 148 mm", "32 mm", "2.0 mm")),
        (500_001, ("148 x 210 mm", "46 mm", "2.0 mm")),
    ],
)
def test_the_smallest_sizes_follow_the_pack(ml: int, sizes: tuple[str, str, str]) -> None:
    """CLP Annex I, table 1.3; Regulation (EU) 2024/2865 for the letters."""
    assert smallest(ml * 1000) == sizes


@given(st.fractions(min_value=0, max_value=1))
def test_every_share_lies_in_its_band(share: Fraction) -> None:
    words = band(share).removesuffix(" %")
    low, _, high = words.partition(" to ")
    if words.startswith("under"):
        assert share < Fraction(1, 100)
    else:
        assert Fraction(low) / 100 <= share <= Fraction(high) / 100


@given(st.dictionaries(st.sampled_from("ABCDEF"), st.fractions(0, 1000), min_size=1))
def test_contents_stand_by_falling_share_and_add_up(masses: dict[str, Fraction]) -> None:
    masses = {"Z": Fraction(1), **masses}
    parts = in_order(masses, {code: code.lower() for code in masses})
    shares = [part.share for part in parts]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == 1


@given(st.dates(date(2000, 1, 1), date(2100, 12, 31)), st.integers(1, 600))
def test_months_are_counted_on_the_calendar(day: date, months: int) -> None:
    year, month = map(int, months_after(day, months).split("-"))
    assert (year - day.year) * 12 + month - day.month == months
    assert 1 <= month <= 12


def test_the_rag_caution_follows_the_flag_and_not_the_family() -> None:
    assert called_for(autoxidising=True, family="wax") == ("oily-rags",)
    assert called_for(autoxidising=None, family="drying-oil") == ()
    assert called_for(autoxidising=True, family="solvent") == ("oily-rags", "solvent-in-use")


def test_an_address_with_a_path_keeps_its_case() -> None:
    assert lot_address("https://shop.example/Lots", "AB-1") == "https://shop.example/Lots/l/AB-1"
    assert lot_address("https://shop.example", "AB-1") == "HTTPS://SHOP.EXAMPLE/L/AB-1"
    assert lot_address(None, "AB-1") is None


def test_faces_differ_where_either_has_something_else() -> None:
    assert differences({"a": 1, "b": 2}, {"a": 1, "b": 3, "c": 4}) == ["b", "c"]
    assert differences({"a": 1}, {"a": 1}) == []


@pytest.mark.parametrize(
    ("counted", "codes"),
    [
        (Counted(26, 24, 2, 24, 24), []),
        (Counted(26, 24, 2, 24, None), []),
        (Counted(26, 24, 1, 24, 24), ["labels-unaccounted"]),
        (Counted(26, 24, 2, 24, 23), ["labels-not-jars"]),
        (Counted(26, 23, 2, 23, 24), ["labels-unaccounted", "labels-not-jars"]),
        (Counted(10, 8, 2, 16, 8), ["labels-not-jars"]),
    ],
)
def test_counts_that_do_not_add_up_are_named(counted: Counted, codes: list[str]) -> None:
    assert [code for code, _ in count_problems(counted)] == codes


def test_words_of_nothing_are_none() -> None:
    assert contents_text(None) is None
    assert span(None) is None
    assert (span(1), span(12)) == ("1 month", "12 months")
