"""A sheet in a spreadsheet: flat, complete, numbers as numbers and no formula smuggled in."""

import csv
import io
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.press import csv as sheet
from service.press.blocks import (
    Choice,
    Choices,
    Document,
    Fact,
    Facts,
    Form,
    Heading,
    Link,
    Note,
    Preformatted,
    Quantity,
    Table,
)

TRIGGERS = ("=", "+", "-", "@", "\t", "\r", "\n")
TROUBLE = st.text(st.sampled_from("'=+-@\t\r\n\"a,"), max_size=8) | st.text()


def read(document: Document) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(sheet.render(document).decode(), newline="")))


def named(document: Document, name: str) -> dict[str, str]:
    (row,) = [row for row in read(document) if row["name"] == name]
    return row


def one_fact(fact: Fact) -> Document:
    return Document("Rowlock oil", "", "en", (Heading("Constants"), Facts((fact,))))


def test_the_file_opens_with_one_header_row_and_no_byte_order_mark(spar: Document) -> None:
    assert sheet.render(spar).startswith(b"section,name,value,unit,basis,method,text\r\n")


def test_every_record_ends_in_crlf_and_has_the_same_columns(spar: Document) -> None:
    page = sheet.render(spar).decode()
    assert page.endswith("\r\n")
    assert page.count("\n") == page.count("\r\n")
    assert {len(row) for row in csv.reader(io.StringIO(page, newline=""))} == {7}


def test_a_figure_is_one_row_with_its_basis_and_the_method_of_its_footnote(spar: Document) -> None:
    assert named(spar, "Flow time") == {
        "section": "Constants",
        "name": "Flow time",
        "value": "62",
        "unit": "s",
        "basis": "measured",
        "method": "ISO 2431, cup 4, 23.0 °C",
        "text": "",
    }


def test_an_observation_carries_the_basis_and_method_of_its_panel(spar: Document) -> None:
    seen = [row for row in read(spar) if row["name"] == "observation"]
    assert len(seen) == 3
    assert {(row["basis"], row["method"]) for row in seen} == {
        ("measured", "HANDLER, version 2, the workshop's own")
    }


def test_words_stand_under_text_and_never_under_value(spar: Document) -> None:
    assert named(spar, "Directions")["text"] == "Three thin coats, a day apart."
    assert all(Decimal(row["value"]).is_finite() for row in read(spar) if row["value"])


def test_every_footnote_and_caution_is_in_the_file(spar: Document) -> None:
    notes = [row["name"] for row in read(spar) if row["section"] == "notes"]
    assert notes == ["panel", "cup", "nv", "rho", "ratio"]
    assert named(spar, "caution")["text"].startswith("Rags soaked in this oil")


def test_a_notice_stands_at_the_head_of_the_file() -> None:
    document = Document("Rowlock oil", "", "en", (), notice="Recalled 4 January 2027.")
    assert [row["name"] for row in read(document)] == ["title", "notice"]


def test_a_table_gives_a_row_for_each_cell_named_by_its_row_and_column() -> None:
    left = Quantity(Decimal("-0.045"), "kg", "calculated", "ledger")
    table = Table(("Lot", "Material", "Left", "Count"), (("ROS-1", "rosin", left, Decimal("4")),))
    document = Document(
        "Stock", "", "en", (table,), footnotes=(Note("ledger", "calculated", "receipts less use"),)
    )
    assert named(document, "ROS-1: Material")["text"] == "rosin"
    assert named(document, "ROS-1: Left")["value"] == "-0.045"
    assert named(document, "ROS-1: Left")["method"] == "receipts less use"
    assert named(document, "ROS-1: Count")["value"] == "4"


def test_a_choice_gives_what_tells_it_apart_and_where_it_leads() -> None:
    jar = Choice(Link("SPAR-2611-07A-M", "/l/SPAR-2611-07A-M"), "250 ml")
    bare = Choice(Link("SPAR-2611-07B-K", "/l/SPAR-2611-07B-K"))
    rows = read(Document("Jars", "", "en", (Choices((jar, bare)),)))[1:]
    assert [(row["section"], row["name"], row["text"]) for row in rows] == [
        ("", "SPAR-2611-07A-M", "250 ml"),
        ("links", "SPAR-2611-07A-M", "/l/SPAR-2611-07A-M"),
        ("links", "SPAR-2611-07B-K", "/l/SPAR-2611-07B-K"),
    ]


def test_a_negative_number_stays_a_number() -> None:
    fact = Fact("Change on drying", Decimal("-0.50"), "%", "measured")
    assert named(one_fact(fact), "Change on drying")["value"] == "-0.50"


def test_a_large_number_is_written_out() -> None:
    assert named(one_fact(Fact("Strokes", Decimal("1.2E+4"))), "Strokes")["value"] == "12000"


@pytest.mark.parametrize("trigger", TRIGGERS)
def test_no_cell_of_words_begins_as_a_formula_would(trigger: str) -> None:
    bad = f'{trigger}cmd|"/c calc"!A0'
    fact = Fact(bad, Decimal("-1"), bad, bad, bad)
    document = Document(
        *(bad, bad, "en", (Heading(bad), Facts((fact,)), Preformatted(bad))),
        footnotes=(Note(bad, bad, bad, bad),),
    )
    cells = [(column, cell) for row in read(document) for column, cell in row.items() if cell]
    assert ("value", "-1") in cells
    assert not [cell for column, cell in cells if column != "value" and cell.startswith(TRIGGERS)]


@given(TROUBLE)
def test_guarded_text_comes_back_as_it_was(text: str) -> None:
    assert sheet.unguard(sheet.guard(text)) == text
    assert not sheet.guard(text).startswith(TRIGGERS)


@given(TROUBLE, st.decimals(allow_nan=False, allow_infinity=False, places=3))
def test_a_fact_survives_the_file(label: str, value: Decimal) -> None:
    (row,) = [row for row in read(one_fact(Fact(label, value))) if row["section"] == "Constants"]
    assert sheet.unguard(row["name"]) == label
    assert Decimal(row["value"]) == value


def test_a_look_up_form_has_no_place_in_a_spreadsheet() -> None:
    document = Document("Find", "", "en", (Form("/l", "Number on your jar", "number", "Show"),))
    assert [row["name"] for row in read(document)] == ["title"]


def test_the_same_sheet_gives_the_same_bytes(spar: Document) -> None:
    assert sheet.render(spar) == sheet.render(spar)
