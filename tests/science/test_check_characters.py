"""Check characters against python-stdnum, and numbers that survive a spreadsheet."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from service.science.check_characters import (
    ALPHABET,
    LotNumber,
    check_character,
    code_problem,
    compact,
    format_lot,
    is_valid,
    near,
    parse_lot,
)
from service.science.errors import NumberMalformed, OutOfRange

BODIES = st.text(ALPHABET, min_size=1, max_size=24)
LOTS = st.builds(
    format_lot,
    st.sampled_from(["SPAR", "LIN", "RESZN", "WSP", "TUNG", "SPAR2"]),
    st.integers(2000, 2099),
    month=st.integers(1, 12),
    sequence=st.integers(1, 99),
    letter=st.sampled_from(["", *ALPHABET[10:]]),
)


@given(BODIES)
def test_the_check_character_is_that_of_the_independent_library(body: str) -> None:
    assert check_character(body) == mod_37_36.calc_check_digit(body)


@given(st.text(ALPHABET, max_size=24))
def test_validity_agrees_with_the_independent_library(number: str) -> None:
    assert is_valid(number) == (len(number) > 1 and mod_37_36.is_valid(number))


@given(LOTS, st.data())
def test_every_single_wrong_character_is_noticed(number: str, data: st.DataObject) -> None:
    bare = compact(number)
    place = data.draw(st.integers(0, len(bare) - 1))
    wrong = data.draw(st.sampled_from([c for c in ALPHABET if c != bare[place]]))
    assert not is_valid(bare[:place] + wrong + bare[place + 1 :])


@pytest.mark.parametrize(
    "number",
    ["SPAR-2611-07-L", "SPAR-2611-07A-M", "LIN-2609-04-A", "RESZN-2611-02-E", "TUNG-2610-01-G"],
)
def test_the_numbers_of_the_sample_workshop_check(number: str) -> None:
    assert mod_37_36.is_valid(compact(number))
    assert is_valid(number)


@pytest.mark.parametrize("body", ["", "LOT-1", "lot1", "É1"])
def test_a_body_outside_the_alphabet_has_no_check_character(body: str) -> None:
    with pytest.raises(NumberMalformed):
        check_character(body)


@pytest.mark.parametrize("number", ["", "A", "SPAR/1", "ß1"])
def test_what_is_no_number_is_not_valid(number: str) -> None:
    assert not is_valid(number)


def test_spaces_dots_and_every_dash_are_stripped() -> None:
    assert compact(" spar\u2013 2611.07_a \u2212m\u2011") == "SPAR261107AM"


@given(LOTS)
def test_a_lot_number_is_read_as_it_was_written(number: str) -> None:
    lot = parse_lot(number.lower().replace("-", " "))
    assert lot is not None
    assert lot.formatted == number
    assert lot.sound
    assert code_problem(number) is None


def test_a_lot_number_is_read_into_its_parts() -> None:
    assert parse_lot("SPAR-2611-07A-M") == LotNumber("SPAR", 2026, 11, 7, "A", "M")


@pytest.mark.parametrize("text", ["", "OV26-031/A", "S-2611-07-L", "SPAR-26-07", "26110712"])
def test_a_number_of_another_scheme_is_not_read(text: str) -> None:
    assert parse_lot(text) is None


def test_a_mistyped_number_has_the_shape_but_is_not_sound() -> None:
    lot = parse_lot("SPAR-2671-07A-M")
    assert lot is not None
    assert not lot.sound


def test_a_month_that_does_not_exist_is_not_sound_even_if_it_checks() -> None:
    lot = parse_lot("SPAR267107A" + check_character("SPAR267107A"))
    assert lot is not None
    assert not lot.sound


@pytest.mark.parametrize(
    ("prefix", "year", "month", "sequence", "letter"),
    [
        ("S", 2026, 11, 7, ""),
        ("SPARVARNISH", 2026, 11, 7, ""),
        ("spar", 2026, 11, 7, ""),
        ("MAR", 2026, 11, 7, ""),
        ("SPAR", 1999, 11, 7, ""),
        ("SPAR", 2026, 13, 7, ""),
        ("SPAR", 2026, 11, 0, ""),
        ("SPAR", 2026, 11, 100, ""),
        ("SPAR", 2026, 11, 7, "AB"),
    ],
)
def test_a_part_out_of_range_makes_no_lot_number(
    prefix: str, year: int, month: int, sequence: int, letter: str
) -> None:
    with pytest.raises(OutOfRange):
        format_lot(prefix, year, month=month, sequence=sequence, letter=letter)


def test_the_true_number_is_among_the_neighbours_that_check() -> None:
    neighbours = list(near("SPAR-2671-07A-M"))
    checking = [number for number in neighbours if is_valid(number)]
    assert "SPAR-2611-07A-M" in checking
    assert neighbours[: len(checking)] == checking


@given(LOTS, st.data())
def test_a_swap_of_neighbours_is_found_again(number: str, data: st.DataObject) -> None:
    bare = compact(number)
    place = data.draw(st.integers(0, len(bare) - 2))
    swapped = bare[:place] + bare[place + 1] + bare[place] + bare[place + 2 :]
    assert swapped == bare or number in near(swapped)


@given(LOTS, st.data())
def test_a_character_left_out_or_too_many_is_found_again(number: str, data: st.DataObject) -> None:
    bare = compact(number)
    place = data.draw(st.integers(0, len(bare) - 1))
    assert number in near(bare[:place] + bare[place + 1 :])
    assert number in near(bare[:place] + "7" + bare[place:])


def test_a_number_has_each_neighbour_once_and_is_none_of_its_own() -> None:
    neighbours = list(near("AB1"))
    # A character put in beside its like gives one number from two places.
    put_in = 4 * 36 - 3
    assert len(neighbours) == len(set(neighbours)) == 3 * 35 + 2 + 3 + put_in
    assert "AB1" not in neighbours


def test_a_very_long_text_has_no_neighbours() -> None:
    assert list(near("A" * 21)) == []


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "empty"),
        ("A" * 21, "21 characters"),
        ("1E5", "number"),
        ("00123", "two letters"),
        ("L26-1", "two letters"),
        ("-AB", "two letters"),
        ("AB/1", "two letters"),
        ("=AB", "two letters"),
        ("OV 26", "two letters"),
        ("MAR-26", "date"),
        ("mar26", "date"),
        ("DEZ-2611", "date"),
        ("SEPT-2", "date"),
        ("true", "truth"),
    ],
)
def test_a_code_a_spreadsheet_would_eat_is_refused_with_the_reason(text: str, word: str) -> None:
    problem = code_problem(text)
    assert problem is not None
    assert word in problem


@pytest.mark.parametrize("text", ["OIL-LIN", "BV-2026-001", "spar", "MARINE-2", "RESIN-ZN", "AB"])
def test_a_sound_code_has_no_problem(text: str) -> None:
    assert code_problem(text) is None
