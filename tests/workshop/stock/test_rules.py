"""Lot numbers against an independent library, and what lots may become."""

from datetime import date
from typing import get_args

from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from service.science.check_characters import code_problem, compact, format_lot
from service.workshop.stock import rules
from service.workshop.stock.bodies import LotKind, Quality

CODES = st.from_regex(r"[A-Z]{2}[A-Z0-9-]{0,18}", fullmatch=True).filter(
    lambda code: code_problem(code) is None
)
DAYS = st.dates(date(2000, 1, 1), date(2099, 12, 31))


@given(CODES, DAYS, st.integers(1, rules.LAST_SEQUENCE), st.sampled_from(["", "A", "Z"]))
def test_every_code_begins_a_sound_number_that_fits(
    code: str, on: date, count: int, letter: str
) -> None:
    prefix = rules.number_prefix(code)
    number = format_lot(prefix, on.year, month=on.month, sequence=count, letter=letter)
    assert len(number) <= 20
    assert code_problem(number) is None
    # python-stdnum, ISO/IEC 7064 MOD 37,36
    assert mod_37_36.is_valid(compact(number))


def test_a_month_is_never_the_beginning_of_a_number() -> None:
    assert rules.number_prefix("MAY") == "LMAY"
    assert rules.number_prefix("MA-R26") == "LMAR26"
    assert rules.number_prefix("OIL-LINSEED-X") == "OILLINSEE"


@given(st.sampled_from("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
def test_a_wrong_check_character_is_mended_as_python_stdnum_would(check: str) -> None:
    right = mod_37_36.calc_check_digit("SPAR261107")
    expected = None if check == right else f"SPAR-2611-07-{right}"
    assert rules.mended(f"spar 2611 07 {check}") == expected


def test_a_number_without_a_month_is_of_another_scheme() -> None:
    assert rules.mended("AB-1234567") is None
    assert rules.mended("KETTLE-OIL") is None


def test_rejected_and_recalled_lead_nowhere() -> None:
    allowed = {
        (old, new)
        for old in rules.QUALITIES
        for new in rules.QUALITIES
        if old != new and rules.may_become(old, new)
    }
    assert allowed == {
        ("quarantine", "released"),
        ("quarantine", "rejected"),
        ("quarantine", "recalled"),
        ("released", "quarantine"),
        ("released", "rejected"),
        ("released", "recalled"),
    }


def test_the_words_for_quality_are_the_same_everywhere() -> None:
    assert get_args(Quality) == rules.QUALITIES


def test_packs_and_packed_lots_are_counted() -> None:
    kinds = get_args(LotKind)
    assert [rules.measure(kind, counted=False) for kind in kinds] == ["mass", "mass", "count"]
    assert {rules.measure(kind, counted=True) for kind in kinds} == {"count"}
