"""GS1 numbers and links against python-stdnum and biip."""

import string
from typing import Any

import pytest
from biip import ParseError
from biip.checksums import gs1_standard_check_digit
from biip.gs1_digital_link_uris import GS1DigitalLinkURI
from biip.gs1_element_strings import GS1ElementString
from hypothesis import given
from hypothesis import strategies as st
from stdnum import ean

from service.science.errors import NumberMalformed
from service.science.gs1 import digital_link, gs1_batch, gs1_check_digit, gs1_number

BODIES = st.sampled_from([7, 11, 12, 13, 17]).flatmap(
    lambda size: st.text(string.digits, min_size=size, max_size=size)
)
# GS1 Barcode Syntax Dictionary, lint_cset82.
SET_82 = string.ascii_letters + string.digits + "!\"%&'()*+,-./:;<=>?_"
LOTS = st.text(SET_82, min_size=1, max_size=20).filter(lambda lot: lot.strip("."))


@given(BODIES)
def test_the_check_digit_is_that_of_an_independent_library(body: str) -> None:
    assert gs1_check_digit(body) == str(gs1_standard_check_digit(body))


@given(st.text(string.digits, min_size=12, max_size=12))
def test_a_thirteen_digit_number_checks_as_an_independent_library_says(body: str) -> None:
    numbers = [body + digit for digit in string.digits]
    assert [gs1_number(n).sound for n in numbers] == [ean.is_valid(n) for n in numbers]


@given(BODIES, st.data())
def test_every_single_wrong_digit_is_noticed(body: str, data: st.DataObject) -> None:
    number = body + gs1_check_digit(body)
    place = data.draw(st.integers(0, len(number) - 1))
    wrong = data.draw(st.sampled_from([d for d in string.digits if d != number[place]]))
    found = gs1_number(number[:place] + wrong + number[place + 1 :])
    assert not found.sound
    assert found.gtin_14 is None
    assert found.expected_check_digit in (found.problem or "")


def test_an_sscc_is_known_and_has_no_article_number() -> None:
    found = gs1_number("1061 4141 2345 6789 08")
    assert (found.sound, found.kind, found.gtin_14) == (True, "SSCC", None)


@pytest.mark.parametrize("number", ["", "12345", "629104150021A", "1" * 19])
def test_what_is_no_gs1_number_is_refused(number: str) -> None:
    with pytest.raises(NumberMalformed) as refused:
        gs1_number(number)
    assert refused.value.field == "number"
    with pytest.raises(NumberMalformed) as refused:
        gs1_check_digit(number)
    assert refused.value.field == "body"


@given(st.text(SET_82 + " #$@[]^`~ä", min_size=1, max_size=22))
def test_a_lot_can_stand_in_a_code_where_an_independent_library_reads_it(lot: str) -> None:
    try:
        read = GS1ElementString.extract("10" + lot).value == lot
    except ParseError:
        read = False
    verdict = gs1_batch(lot)
    assert verdict.valid == read
    assert verdict.element == (f"(10){lot}" if read else None)


def test_no_lot_is_no_batch() -> None:
    assert gs1_batch("").problem == "it is empty"


@given(LOTS, st.none() | LOTS, st.none() | LOTS)
def test_an_independent_library_reads_the_parts_of_a_link_in_order(
    lot: str, variant: str | None, serial: str | None
) -> None:
    link = digital_link("9638507" + "4", lot, variant=variant, serial=serial)
    parts = [("01", "00000096385074"), ("22", variant), ("10", lot), ("21", serial)]
    read = GS1DigitalLinkURI.parse(link.address).element_strings
    assert [(each.ai.ai, each.value) for each in read] == [p for p in parts if p[1] is not None]
    assert link.element_string == "".join(f"({ai}){text}" for ai, text in parts if text is not None)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"gtin": "09506000134353"}, "gtin"),
        ({"gtin": "106141412345678908"}, "gtin"),
        ({"gtin": "123"}, "gtin"),
        ({"lot": "ABC 123"}, "lot"),
        ({"lot": ".."}, "lot"),
        ({"variant": ""}, "variant"),
        ({"serial": "x" * 21}, "serial"),
        ({"domain": "https://lots.example"}, "domain"),
        ({"domain": "localhost"}, "domain"),
    ],
)
def test_a_part_that_breaks_a_link_is_blamed(change: dict[str, str], field: str) -> None:
    sent: dict[str, Any] = {"gtin": "09506000134352", "lot": "ABC123", **change}
    with pytest.raises(NumberMalformed) as refused:
        digital_link(**sent)
    assert refused.value.field == field


def test_a_host_of_ones_own_answers_in_lower_case() -> None:
    link = digital_link("09506000134352", "L1", domain=" Lots.Example ")
    assert link.address == "https://lots.example/01/09506000134352/10/L1"
