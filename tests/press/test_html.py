"""The page: whole, safe with hostile words, at home under a strict content policy."""

import base64
import hashlib
import json
import re
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.press import html
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
)
from tests.press.pages import HOSTILE, Page, spaced


def hostile_blocks(bad: str) -> tuple[Block, ...]:
    cell = Quantity(Decimal("1"), bad, bad, bad)
    return (
        Heading(bad),
        Heading(bad, 3),
        Paragraph(bad),
        Paragraph(bad, emphasis=True),
        Facts((Fact(bad, bad, bad, bad, bad), Fact(bad, Decimal("1"), bad, bad, bad))),
        Table((bad, bad), ((bad, cell),), bad),
        Observations((Seen(bad, bad),)),
        Caution(bad, bad),
        Preformatted(bad),
        Form("/l?" + bad, bad, bad, bad),
        Choices((Choice(Link(bad, "/l/" + bad), bad),)),
    )


def hostile(bad: str) -> Document:
    return Document(
        title=bad,
        subtitle=bad,
        language="en-" + bad,
        blocks=hostile_blocks(bad),
        notice=bad,
        links=(Link(bad, "/l/" + bad),),
        footnotes=(Note(bad, bad, bad, bad),),
        json_ld={"name": bad, bad: [bad]},
        canonical_url="https://lots.example.org/" + bad,
    )


def test_the_page_is_balanced_with_exactly_one_title(spar: Document) -> None:
    page = Page(html.render(spar))
    assert page.tags["h1"] == 1
    assert page.text("h1") == "Spar varnish, long oil"
    assert page.values("lang") == ["en"]
    assert ("meta", "name", "viewport") in page.attributes


def test_every_kind_of_block_is_set_and_balanced_with_hostile_words() -> None:
    harmless = Page(html.render(hostile("harmless")))
    page = Page(html.render(hostile(HOSTILE)))
    assert page.tags == harmless.tags
    assert page.tags["img"] == 0
    assert page.tags["script"] == 1
    assert page.text("h1") == HOSTILE
    assert page.text("pre") == HOSTILE


def test_a_time_stays_in_one_piece_on_a_narrow_page() -> None:
    words = "2026-09-15 is when it was said to be tried again"
    rows = (("begun", "2026-09-15 11:40"), ("done", "2026-09-15 11:00 ± 12 h"), ("told", words))
    table = Table(("What", "When"), rows)
    page = html.render(Document(title="x", subtitle="", language="en", blocks=(table,))).decode()
    assert page.count('class="time"') == 2
    assert ".time { white-space: nowrap" in page


def test_hostile_words_open_no_attribute() -> None:
    names = {name for _, name, _ in Page(html.render(hostile(HOSTILE))).attributes}
    assert names == {name for _, name, _ in Page(html.render(hostile("harmless"))).attributes}
    assert not [name for name in names if name.startswith("on") or name == "style"]


@given(st.text(st.sampled_from("<>/!-&;\"'sScript{}%\u2028 "), min_size=1, max_size=30))
def test_structured_data_cannot_break_out_of_its_element(bad: str) -> None:
    document = Document("Oil", "", "en", (), json_ld={"name": bad})
    page = html.render(document).decode()
    (island,) = re.findall(r'<script type="application/ld\+json">(.*)</script>', page)
    assert not set(island) & set("<>&")
    assert json.loads(island) == {"name": bad}


def test_structured_data_is_data_and_never_a_program(spar: Document) -> None:
    page = Page(html.render(spar))
    assert [value for tag, name, value in page.attributes if (tag, name) == ("script", "type")] == [
        "application/ld+json"
    ]
    assert json.loads(page.text("script")) == spar.json_ld


def test_the_policy_hash_is_that_of_the_style_in_the_page(spar: Document) -> None:
    (served,) = re.findall(rb"<style>(.*?)</style>", html.render(spar), re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(served).digest()).decode()
    assert f"'sha256-{digest}'" in html.STYLE_CSP_HASH.split(" ")
    assert html.is_current(html.render(spar))


def test_nothing_is_fetched_from_anywhere(spar: Document) -> None:
    page = html.render(spar).decode()
    assert Page(page.encode()).values("src") == []
    assert not re.search(r"url\(|@import|@font-face", page)
    assert set(re.findall(r"https?://[^/\"<\s]+", page)) == {
        "https://lots.example.org",
        "https://schema.org",
    }


def test_every_mark_leads_to_a_footnote_and_every_footnote_has_a_mark(spar: Document) -> None:
    page = Page(html.render(spar))
    marks = [value[1:] for value in page.values("href") if value.startswith("#")]
    notes = page.values("id")
    assert list(dict.fromkeys(marks)) == notes
    assert len(notes) == len(spar.footnotes)


def test_footnotes_are_numbered_in_the_order_a_reader_meets_them(spar: Document) -> None:
    shuffled = html.render(replace(spar, footnotes=spar.footnotes[::-1])).decode()
    listed = re.findall(r'<li id="note-(\d)"><sup>(\d)</sup> (.*?)</li>', shuffled)
    assert [(number, number) for number in "12345"] == [(to, shown) for to, shown, _ in listed]
    for (_, _, line), note in zip(listed, spar.footnotes, strict=True):
        method = note.method.partition("'")[0]
        assert method in spaced(line)


def test_a_figure_shows_its_value_unit_and_basis(spar: Document) -> None:
    row = re.search(r"<tr><th scope=\"row\">Flow time</th>.*?</tr>", html.render(spar).decode())
    assert row is not None
    assert Page(row[0].encode()).text("tr") == "Flow time62s2measured"


def test_a_pure_number_shows_no_unit(spar: Document) -> None:
    row = re.search(r"<tr><th scope=\"row\">Oil to resin.*?</tr>", html.render(spar).decode())
    assert row is not None
    assert Page(row[0].encode()).text("tr").endswith("charged2.05calculated")


def test_headers_of_a_table_say_what_they_head() -> None:
    left = Quantity(Decimal("-0.5"), "kg", "calculated")
    table = Table(("Lot", "Left"), (("ROS-1", left),), "Stock")
    page = Page(html.render(Document("Stock", "", "en", (table,))))
    assert page.values("scope") == ["col", "col", "row"]
    assert page.text("td") == "\N{MINUS SIGN}0.5 kg calculated"
    assert page.text("caption") == "Stock"


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    page = Page(html.render(Document("Oil", "", "en", (Paragraph("16 h at 21 °C, 3 hours"),))))
    assert page.text("p") == "16\N{NO-BREAK SPACE}h at 21\N{NO-BREAK SPACE}°C, 3 hours"


def test_a_notice_is_read_before_the_title(spar: Document) -> None:
    page = html.render(replace(spar, notice="Recalled. Do not use this jar.")).decode()
    assert page.index("Recalled. Do not use this jar.") < page.index("<h1>")
    assert 'class="notice"' not in html.render(spar).decode()


@pytest.mark.parametrize(("language", "word"), [("en", "Caution"), ("fr", "Attention")])
def test_a_caution_says_so_in_the_language_of_the_sheet(language: str, word: str) -> None:
    page = Page(html.render(Document("Oil", "", language, (Caution("Keep rags wet."),))))
    assert page.text("div") == f"{word} Keep rags wet."


def test_a_look_up_form_asks_without_a_script() -> None:
    form = Form("/l", "Number on your jar", "number", "Show")
    page = Page(html.render(Document("Find", "", "en", (form,))))
    assert ("form", "method", "get") in page.attributes
    assert ("form", "action", "/l") in page.attributes
    assert ("input", "name", "number") in page.attributes


def test_every_sentence_of_the_sheet_is_on_the_page(spar: Document) -> None:
    text = spaced(Page(html.render(spar)).text("main"))
    sentences = [
        row.text for block in spar.blocks if isinstance(block, Observations) for row in block.rows
    ]
    sentences += [block.text for block in spar.blocks if isinstance(block, Paragraph | Caution)]
    assert len(sentences) == 7
    assert [sentence for sentence in sentences if sentence not in text] == []


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb (WCAG 2.1, definition of relative luminance)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("name", ["ink", "faint", "accent"])
def test_every_ink_stands_out_from_the_paper(name: str) -> None:
    """Contrast of at least 4.5 to 1 (WCAG 2.1, success criterion 1.4.3)."""
    colour = re.search(rf"--{name}: (#\w{{6}})", html.STYLE)
    paper = re.search(r"background: (#\w{6})", html.STYLE)
    assert colour is not None
    assert paper is not None
    assert (luminance(paper[1]) + 0.05) / (luminance(colour[1]) + 0.05) >= 4.5


def test_the_same_sheet_gives_the_same_bytes(spar: Document) -> None:
    assert html.render(spar) == html.render(spar)
