"""A sheet for the bench: numbers, boxes, targets, cautions and paper."""

import base64
import csv
import hashlib
import io
import re
from dataclasses import replace
from decimal import Decimal

import pytest

from service.press import csv as spreadsheet
from service.press import html
from service.press.blocks import Caution, Document, Fact, Facts, Heading, Task, Worksheet
from service.press.html import Paper
from tests.press.bench import CAUTIONS, COOK, TASKS, sheet
from tests.press.pages import HOSTILE, Page, spaced


def printed(document: Document, paper: Paper = "a4") -> str:
    return html.render(document, paper=paper).decode()


def rows(page: str) -> list[str]:
    return re.findall(r"<tr>(.*?)</tr>", page.partition("<tbody>")[2], re.DOTALL)


def csv_rows(document: Document) -> list[tuple[str, str, str, str]]:
    page = io.StringIO(spreadsheet.render(document).decode(), newline="")
    read = [row for row in csv.DictReader(page) if row["section"] != "document"]
    return [(row["name"], row["value"], row["unit"], row["text"]) for row in read]


def test_every_row_has_its_number_and_one_box() -> None:
    found = rows(printed(sheet(COOK)))
    numbers = [re.findall(r'<th scope="row" class="number">(.*?)</th>', row) for row in found]
    assert numbers == [[task.number] for task in TASKS]
    assert [row.count('<span class="box"></span>') for row in found] == [1] * len(TASKS)


def test_every_row_has_a_field_for_what_was_found_and_one_for_the_time() -> None:
    for row, task in zip(rows(printed(sheet(COOK))), TASKS, strict=True):
        unit = "" if task.unit == "1" else task.unit
        assert f'<td class="actual">{unit}</td>' in row
        assert '<td class="time"></td>' in row


def test_a_target_stands_with_its_unit_tolerance_and_lots() -> None:
    first, second, third, fourth = (Page(r.encode()) for r in rows(printed(sheet(COOK))))
    assert spaced(first.text("td")) == (
        "Weigh in linseed oilLot LIN-2609-04-A, LIN-212400 g± 12 gg"
    )
    assert spaced(second.text("td")) == (
        "Hold until a drop pulls a string45 min at leaststring of 2 cm"
    )
    assert third.text("td") == "Heat off, lid on"
    assert fourth.text("td") == "Oil to resin2.0"


def test_the_heading_of_the_table_can_be_repeated_and_spans_every_column() -> None:
    page = Page(html.render(sheet(COOK)))
    assert page.text("thead") == "What to doTargetActualTime"
    spans = sum(int(span) for span in page.values("colspan"))
    assert spans + page.values("scope").count("col") - 1 == page.tags["col"] == 6


def test_three_cautions_stand_before_the_tasks_and_the_rest_is_folded_after_them() -> None:
    page = printed(sheet(COOK))
    places = [page.index(caution.text) for caution in CAUTIONS]
    assert places == sorted(places)
    assert places[2] < page.index("<tbody>")
    assert page.index("</tbody>") < page.index("<details") < places[3]
    assert Page(page.encode()).text("summary") == "More cautions: 2"
    assert page.index("More cautions after the last line: 2") < page.index("<tbody>")


@pytest.mark.parametrize("count", [0, 1, 3])
def test_nothing_is_folded_up_to_three_cautions(count: int) -> None:
    page = Page(html.render(sheet(replace(COOK, cautions=CAUTIONS[:count]))))
    assert page.tags["details"] == 0
    assert page.text("li").count("Caution ") == page.tags["li"] == count


def test_what_is_folded_on_a_screen_is_not_folded_by_the_printer() -> None:
    rule = r"@media (\w+)[^{]*\{[^@]*\.fold:not\(\[open\]\) \+ \.folded \{ display: none; \}"
    folding = re.findall(rule, html.BENCH_STYLE)
    assert folding == ["screen"]
    details = re.findall(r"<details.*?</details>", printed(sheet(COOK)))
    assert [CAUTIONS[3].text in one for one in details] == [False]


def test_the_rule_behind_a_caution_stands_in_small_print() -> None:
    page = Page(html.render(sheet(COOK)))
    assert page.text("small") == "cook-fumeskettle-clearanceoily-ragshot-resin"


def test_a_stage_without_tasks_has_no_table() -> None:
    page = Page(html.render(sheet(Worksheet("Stage 1. Read", (), CAUTIONS))))
    assert (page.tags["table"], page.tags["li"]) == (0, 5)


@pytest.mark.parametrize(
    ("language", "words"), [("en", "Actual"), ("de", "Ist"), ("fr-CA", "Relevé")]
)
def test_the_columns_are_named_in_the_language_of_the_sheet(language: str, words: str) -> None:
    page = Page(html.render(replace(sheet(COOK), language=language)))
    assert words in page.text("thead")


def test_the_foot_of_each_page_names_the_sheet_and_its_digest() -> None:
    page = printed(sheet(COOK))
    (foot,) = re.findall(r'<p class="running">.*?</p>', page)
    assert Page(foot.encode()).text("p") == "Spar varnish · Batch SPAR-2611-07 · sha256 5d41402a"
    assert "counter(page)" in html.BENCH_STYLE
    assert ".running { display: table-footer-group" in html.BENCH_STYLE


def test_a_digest_is_printed_on_any_other_sheet_too() -> None:
    document = Document("Oil", "", "en", (), digest="sha256 5d41402a")
    assert Page(html.render(document)).text("footer").strip() == "sha256 5d41402a"


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4"), ("letter", "letter")])
def test_a_sheet_for_the_bench_is_set_for_its_paper(paper: Paper, size: str) -> None:
    page = printed(sheet(COOK), paper)
    assert f'<body class="{paper}">' in page
    assert f"@page {paper} {{ size: {size}; }}" in page
    assert f".{paper} {{ page: {paper}; }}" in page
    assert "@page { margin: 15mm; }" in page


def test_any_other_sheet_is_left_to_the_printer() -> None:
    document = Document("Oil", "", "en", (Heading("Constants"),))
    assert html.render(document, paper="letter") == html.render(document)
    assert b"<body>" in html.render(document)


def test_the_policy_lists_the_style_of_the_bench() -> None:
    (served,) = re.findall(rb"<style>(.*?)</style>", html.render(sheet(COOK)), re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(served).digest()).decode()
    assert f"'sha256-{digest}'" in html.STYLE_CSP_HASH.split(" ")
    assert html.is_current(html.render(sheet(COOK)))
    assert not html.is_current(html.render(sheet(COOK)).replace(b"15mm", b"12mm"))


def test_nothing_is_fetched_and_no_script_stands_in_it() -> None:
    page = printed(sheet(COOK))
    assert not re.search(r"url\(|@import|@font-face|<script|src=", page)


def hostile(bad: str) -> Document:
    tasks = (
        Task(bad[:6], bad, Decimal("1"), bad, bad, (bad, bad), bad),
        Task(bad[1:6], bad, bad, bad, bad, (bad,), bad),
    )
    stage = Worksheet(bad, tasks, (Caution(bad, bad),) * 5)
    return Document(bad, bad, "en-" + bad, (stage,), digest=bad)


def test_hostile_words_open_no_element_and_no_attribute() -> None:
    harmless, page = (Page(html.render(hostile(bad))) for bad in ("harmless", HOSTILE))
    assert page.tags == harmless.tags
    assert (page.tags["script"], page.tags["img"]) == (0, 0)
    assert {name for _, name, _ in page.attributes} == {name for _, name, _ in harmless.attributes}
    assert page.text("h2") == HOSTILE


@pytest.mark.parametrize("number", ["", " ", "1 ", "1234567"])
def test_a_number_that_nobody_could_call_out_is_refused(number: str) -> None:
    with pytest.raises(ValueError, match="short number"):
        Task(number, "Stir")


def test_two_tasks_of_a_stage_never_bear_one_number() -> None:
    with pytest.raises(ValueError, match="same number"):
        Worksheet("Cook", (Task("1", "Stir"), Task("1", "Rest")))


def test_a_target_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be printed"):
        Task("1", "Weigh", Decimal("NaN"), "g")


def test_a_spreadsheet_has_each_task_with_empty_rows_for_what_was_found() -> None:
    stage = Worksheet("Cook", (TASKS[0], TASKS[2]), CAUTIONS[:1])
    assert csv_rows(sheet(stage)) == [
        ("caution", "", "", "Cook outdoors, the lid within reach."),
        ("1", "", "", "Weigh in linseed oil"),
        ("1: target", "12400", "g", ""),
        ("1: tolerance", "", "", "± 12 g"),
        ("1: lot", "", "", "LIN-2609-04-A"),
        ("1: lot", "", "", "LIN-2"),
        ("1: actual", "", "g", ""),
        ("1: time", "", "", ""),
        ("3", "", "", "Heat off, lid on"),
        ("3: actual", "", "", ""),
        ("3: time", "", "", ""),
    ]


def test_every_caution_and_a_target_in_words_are_in_the_spreadsheet() -> None:
    found = csv_rows(sheet(COOK))
    assert [text for name, *_, text in found if name == "caution"] == [c.text for c in CAUTIONS]
    assert ("2: target", "", "", "string of 2 cm") in found
    assert ("2: detail", "", "", "45 min at least") in found


def test_a_stage_heads_its_own_rows_and_no_later_ones() -> None:
    facts = Facts((Fact("Made by", "IDA"),))
    document = replace(sheet(COOK), blocks=(Heading("Before"), COOK, facts))
    read = list(csv.DictReader(io.StringIO(spreadsheet.render(document).decode(), newline="")))
    assert read[3]["section"] == "Stage 2. Cook"
    assert read[-1]["section"] == "Before"


@pytest.mark.parametrize("trigger", ["=", "+", "-", "@"])
def test_no_cell_of_a_task_begins_as_a_formula_would(trigger: str) -> None:
    page = spreadsheet.render(hostile(f"{trigger}12345+cmd")).decode()
    cells = [cell for row in csv.reader(io.StringIO(page, newline="")) for cell in row]
    assert not [cell for cell in cells if cell.startswith(trigger)]
