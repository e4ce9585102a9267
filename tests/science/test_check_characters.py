"""Check characters against python-stdnum, and numbers that survive a spreadsheet."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2, mod_37_36

from service.science.check_characters import (
    ALPHABET,
    LotNumber,
    check_character,
    check_code,
    check_systems,
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


@given(BODIES)
def test_the_pure_check_character_is_that_of_the_independent_library(body: str) -> None:
    assert check_character(body, "37-2") == mod_37_2.calc_check_digit(body)


@given(st.text(ALPHABET + "*", max_size=24))
def test_pure_validity_agrees_with_the_independent_library(number: str) -> None:
    known = len(number) > 1 and "*" not in number[:-1] and mod_37_2.is_valid(number)
    assert is_valid(number, "37-2") == known


@given(BODIES, st.sampled_from(check_systems()), st.data())
def test_both_systems_notice_every_single_wrong_character(
    body: str, system: str, data: st.DataObject
) -> None:
    number = body + check_character(body, system)
    place = data.draw(st.integers(0, len(number) - 1))
    wrong = data.draw(st.sampled_from([c for c in ALPHABET if c != number[place]]))
    assert not is_valid(number[:place] + wrong + number[place + 1 :], system)


@given(BODIES, st.data())
def test_the_pure_system_notices_every_swap_of_neighbours(body: str, data: st.DataObject) -> None:
    number = body + check_character(body, "37-2")
    place = data.draw(st.integers(0, len(number) - 2))
    swapped = number[:place] + number[place + 1] + number[place] + number[place + 2 :]
    assert swapped == number or not is_valid(swapped, "37-2")


def test_the_hybrid_system_misses_one_swap_of_neighbours_in_630() -> None:
    swaps = [(c, a, b) for c in ALPHABET for a in ALPHABET for b in ALPHABET if a != b]
    missed = [
        (c, a, b) for c, a, b in swaps if check_character(c + a + b) == check_character(c + b + a)
    ]
    assert len(swaps) == 630 * len(missed)


@pytest.mark.parametrize("ask", [check_character, is_valid])
def test_an_unknown_system_is_refused(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(OutOfRange) as refused:
        ask("SPAR261107", "11-2")
    assert refused.value.field == "system"


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
    ("field", "value"),
    [
        ("prefix", "S"),
        ("prefix", "SPARVARNISH"),
        ("prefix", "spar"),
        ("prefix", "MAR"),
        ("year", 1999),
        ("year", 10**40),
        ("month", 13),
        ("sequence", 0),
        ("sequence", 100),
        ("letter", "AB"),
    ],
)
def test_a_part_out_of_range_makes_no_lot_number_and_is_blamed(
    field: str, value: str | int
) -> None:
    parts: dict[str, Any] = {"prefix": "SPAR", "year": 2026, "month": 11, "sequence": 7}
    with pytest.raises(OutOfRange) as refused:
        format_lot(**{**parts, field: value})
    assert refused.value.field == field


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


def test_a_very_long_text_has_no_neighbours_and_the_longest_none_that_is_longer() -> None:
    assert list(near("A" * 21)) == []
    assert max(len(compact(number)) for number in near("A" * 20)) == 20


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
    assert check_code(text).sound


@given(st.text(max_size=30))
def test_the_verdict_on_a_code_is_its_problem(text: str) -> None:
    verdict = check_code(text)
    assert verdict.problem == code_problem(text)
    assert verdict.sound == (verdict.problem is None)
