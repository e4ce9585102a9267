"""What cannot be printed rightly is refused before it is set."""

from dataclasses import replace
from decimal import Decimal

import pytest

from service.press.blocks import (
    Document,
    Fact,
    Facts,
    Form,
    Heading,
    Link,
    Note,
    Quantity,
    Table,
)

FLASH = Facts((Fact("Flash point", Decimal("41.5"), "°C", "measured", "flash"),))
NOTE = Note("flash", "measured", "closed cup")


def sheet(*, footnotes: tuple[Note, ...]) -> Document:
    return Document("Rowlock oil", "", "en", (FLASH,), footnotes=footnotes)


@pytest.mark.parametrize(
    ("footnotes", "fault"),
    [
        ((), "missing: flash"),
        ((NOTE, replace(NOTE, name="cup")), "unused: cup"),
        ((NOTE, NOTE), "given twice: flash"),
    ],
)
def test_marks_and_footnotes_must_match(footnotes: tuple[Note, ...], fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        sheet(footnotes=footnotes)


def test_notes_in_table_cells_count_as_used() -> None:
    cell = Quantity(Decimal("3.6"), "kg", "measured", "flash")
    table = Table(("Lot", "Left"), (("LIN-2609-04-A", cell),))
    document = Document("Stock", "", "en", (table,), footnotes=(NOTE,))
    assert list(document.notes_used()) == ["flash"]


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "sNaN"])
def test_a_number_that_is_none_cannot_be_a_figure(number: str) -> None:
    with pytest.raises(ValueError, match="cannot be printed"):
        Fact("Density", Decimal(number), "kg/l")
    with pytest.raises(ValueError, match="cannot be printed"):
        Quantity(Decimal(number))
    with pytest.raises(ValueError, match="cannot be printed"):
        Table(("Left",), ((Decimal(number),),))


@pytest.mark.parametrize("level", [0, 1, 4])
def test_a_heading_is_a_section_or_a_subsection(level: int) -> None:
    with pytest.raises(ValueError, match="level 2 or 3"):
        Heading("Constants", level)


def test_a_row_short_of_a_cell_is_refused() -> None:
    with pytest.raises(ValueError, match="one cell under each column"):
        Table(("Lot", "Left"), (("LIN-2609-04-A",),))


@pytest.mark.parametrize(
    "address",
    ["javascript:alert(1)", "data:text/html,x", "//elsewhere.example", "/\\elsewhere", "l/x", ""],
)
def test_an_address_that_leads_astray_is_refused(address: str) -> None:
    with pytest.raises(ValueError, match="not to"):
        Link("Other", address)
    with pytest.raises(ValueError, match="own host"):
        Form(address, "Number", "n", "Show")
    with pytest.raises(ValueError, match="absolute"):
        replace(sheet(footnotes=(NOTE,)), canonical_url=address)


@pytest.mark.parametrize("address", ["/", "/l/SPAR-2611-07A-M.json", "https://lots.example.org/l"])
def test_paths_and_web_addresses_are_links(address: str) -> None:
    assert Link("Here", address).href == address


def test_a_form_never_asks_another_host() -> None:
    with pytest.raises(ValueError, match="own host"):
        Form("https://lots.example.org/l", "Number", "n", "Show")
