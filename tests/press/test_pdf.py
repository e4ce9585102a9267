"""The PDF: whole, the same bytes each time, its words readable, nothing in it that acts."""

import re
import shutil
import subprocess
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.press import pdf, pdf_type
from service.press.blocks import (
    Block,
    Caution,
    Choice,
    Choices,
    Document,
    Fact,
    Facts,
    Form,
    Heading,
    Link,
    Note,
    Observations,
    Paragraph,
    Preformatted,
    Quantity,
    Seen,
    Table,
    Task,
    Worksheet,
)
from tests.press.pages import HOSTILE

PDFTOTEXT = shutil.which("pdftotext")
reads = pytest.mark.skipif(PDFTOTEXT is None, reason="pdftotext is needed")
NOTE = Note("pyk", "measured", "pyknometer", "lot SPAR-2611-07-L")


def every_block(text: str) -> tuple[Block, ...]:
    return (
        Heading(text),
        Heading(text, 3),
        Paragraph(text),
        Paragraph(text, emphasis=True),
        Facts((Fact(text, text, text, text), Fact("Density", Decimal("0.897"), "kg/l", "", "pyk"))),
        Table((text, "g"), ((text, Quantity(Decimal("-5.4"), "g")),), text),
        Table((text,), ()),
        Observations((Seen(text), Seen("faint whitening", "pyk"))),
        Caution(text),
        Preformatted(text),
        Form("/l", text, "number", text),
        Choices((Choice(Link(text, "/l/SPAR"), text),)),
        Worksheet(
            text,
            (Task("1", text, Decimal("1149"), "g", "within 3 g", ("L-1",), text),),
            (Caution(text),),
        ),
    )


def document(text: str = "oil", **more: object) -> Document:
    plain = Document("Batch record", "SPAR-2611-07-L", "en", every_block(text), footnotes=(NOTE,))
    return replace(plain, **more)  # type: ignore[arg-type]  # the fields are named by each test


def words(page: bytes, folder: Path) -> str:
    file = folder / "page.pdf"
    file.write_bytes(page)
    done = subprocess.run([str(PDFTOTEXT), "-layout", file, "-"], capture_output=True, check=True)
    return done.stdout.decode()


def test_the_same_document_gives_the_same_bytes() -> None:
    first = pdf.render(document())
    assert first.startswith(b"%PDF-1.")
    assert first == pdf.render(document())


def test_nothing_in_it_acts_or_leads_elsewhere() -> None:
    made = pdf.render(document(HOSTILE, notice=HOSTILE))
    for action in (b"/JavaScript", b"/Launch", b"/URI", b"/OpenAction", b"/EmbeddedFile"):
        assert action not in made


@pytest.mark.parametrize(("paper", "size"), [("a4", "595.2"), ("letter", "612")])
def test_the_paper_is_the_one_asked_for(paper: pdf.Paper, size: str) -> None:
    assert re.search(rb"/MediaBox \[ 0 0 " + size.encode(), pdf.render(document(), paper=paper))


@reads
def test_all_words_and_numbers_can_be_read_back(tmp_path: Path) -> None:
    said = words(pdf.render(document(HOSTILE, digest="sha256 abcdef")), tmp_path)
    assert "alert(1)" in said
    for part in ("Batch record", "0.897 kg/l", "−5.4 g", "pyknometer", "sha256 abcdef", "1149 g"):
        assert part in said
    assert "1/1" in said.replace(" ", "")


@reads
def test_a_long_table_goes_on_under_its_head_on_numbered_pages(tmp_path: Path) -> None:
    rows = tuple((f"{n:03d}", f"point {n:03d}") for n in range(200))
    long = Document("Long", "", "en", (Table(("No", "Point"), rows),))
    said = words(pdf.render(long), tmp_path)
    pages = said.count("Point")
    assert pages > 2
    assert f"{pages}/{pages}" in said.replace(" ", "")
    assert all(f"point {n:03d}" in said for n in range(200))


@reads
def test_what_the_face_cannot_draw_is_told_otherwise(tmp_path: Path) -> None:
    said = words(pdf.render(document("Łódź, naïve, 漆, 20 °C ≥ 5 µm\ttab")), tmp_path)
    assert "[U+6F06], 20 °C ≥ 5 µm tab" in said


def test_letters_keep_their_shape_where_only_the_mark_is_missing() -> None:
    assert pdf_type.safe("ộ") in {"ộ", "o"}
    assert pdf_type.safe("a\nb<c") == "a<br/>b&lt;c"


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=300), st.integers(1, 9))
def test_no_text_stops_the_press(text: str, columns: int) -> None:
    wide = Table(tuple("abcdefghi"[:columns]), (tuple([text] * columns),))
    made = pdf.render(Document("x", "", "en", (*every_block(text), wide), footnotes=(NOTE,)))
    assert made.rstrip().endswith(b"%%EOF")


def test_a_short_column_beside_a_word_without_end_keeps_its_room() -> None:
    pdf_type.register()
    found = pdf_type.widths([["a", "w" * 3000, ""]], 480.0)
    assert sum(found) == pytest.approx(480)
    assert min(found) >= 20


def test_a_cell_longer_than_a_page_goes_on_overleaf() -> None:
    told = " ".join(["and stirred"] * 2000)
    made = pdf.render(Document("x", "", "en", (Table(("a", "b"), (("1", told),)),)))
    assert made.count(b"/Type /Page\n") + made.count(b"/Type /Page ") > 1


@given(st.lists(st.lists(st.text(max_size=60), min_size=3, max_size=3), min_size=1, max_size=5))
def test_columns_fill_the_width_and_no_more(rows: list[list[str]]) -> None:
    pdf_type.register()
    found = pdf_type.widths(rows, 480.0)
    assert sum(found) == pytest.approx(480)
    assert min(found) > 0
