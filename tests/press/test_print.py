"""A real browser prints a sheet for the bench: its paper, whole rows, sizes one reads standing."""

import json
import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from service.press import html
from service.press.blocks import Document, Task, Worksheet
from service.press.html import Paper
from tests.journeys.test_browser import CHROMIUM, chromium
from tests.press.bench import COOK, sheet

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="Chromium is needed")

POINT, MILLIMETRE = 96 / 72, 96 / 25.4  # in the pixels of CSS (CSS Values 4, section 6.2)
WIDTHS = {"a4": 210 - 2 * 15, "letter": 215.9 - 2 * 15}
LONG = Worksheet(
    "Stage 3. A heading that goes on for longer than the paper is wide, and then some more of it",
    (
        Task("123456", "Kettlewharf" * 12, Decimal("123456789012.123456"), "mg KOH/g", "±" * 60),
        Task("2", "Stir in slowly. " * 20, "the film takes no print any more", "", "", ("A" * 60,)),
    ),
)
MEASURE = """<script>
const all = (what) => [...document.querySelectorAll(what)];
const size = (what) => all(what).map((one) => parseFloat(getComputedStyle(one).fontSize));
const boxes = all(".box").map((one) => one.getBoundingClientRect());
document.body.dataset.measured = JSON.stringify({
  over: all("th, td, p, li, h1, h2").filter((one) => one.scrollWidth > one.clientWidth + 1).length,
  wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
  body: parseFloat(getComputedStyle(document.body).fontSize),
  targets: Math.min(...size(".target .figure, .target .aim")),
  box: Math.min(...boxes.flatMap((box) => [box.width, box.height])),
  rows: all("tbody tr").map((one) => getComputedStyle(one).breakInside),
  folded: all(".folded li").map((one) => one.getBoundingClientRect().height > 0),
});
</script>"""


def pdf(document: Document, paper: Paper, folder: Path) -> str:
    page, out = folder / "sheet.html", folder / "sheet.pdf"
    page.write_bytes(html.render(document, paper=paper))
    chromium(folder, "--no-pdf-header-footer", f"--print-to-pdf={out}", page.as_uri())
    return out.read_bytes().decode("latin-1")


def media_boxes(printed: str) -> list[list[float]]:
    boxes = re.findall(r"/MediaBox \[([^\]]*)\]", printed)
    return [[float(side) for side in box.split()] for box in boxes]


@pytest.mark.parametrize(("paper", "millimetres"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_each_page_has_the_size_of_its_paper(
    tmp_path: Path, paper: Paper, millimetres: tuple[float, float]
) -> None:
    """Sizes from ISO 216 and ANSI/ASME Y14.1; a printer's point is 1/72 inch."""
    found = media_boxes(pdf(sheet(COOK, replace(COOK, heading="Again")), paper, tmp_path))
    assert found
    for box in found:
        assert box[2:] == pytest.approx([side / 25.4 * 72 for side in millimetres], abs=0.5)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_row_that_does_not_fit_goes_whole_to_the_next_page(tmp_path: Path, paper: Paper) -> None:
    # Each row is taller than half a page, so that a page holds one; broken rows would need fewer.
    lots = tuple(f"LINSEED-2609-{line:02}-A" for line in range(26))
    tasks = tuple(Task(str(line), "Weigh in", Decimal(line), "g", "", lots) for line in range(6))
    assert len(media_boxes(pdf(sheet(Worksheet("Cook", tasks)), paper, tmp_path))) == len(tasks)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_is_clipped_and_everything_is_large_enough(tmp_path: Path, paper: Paper) -> None:
    page = html.render(sheet(COOK, LONG), paper=paper).decode()
    # The rules for print on a screen as wide as the paper's text, so that they can be measured.
    shown = page.replace("@media screen", "@media speech").replace("@media print", "@media all")
    file = tmp_path / "sheet.html"
    file.write_text(shown.replace("</body>", f"{MEASURE}</body>"), "utf-8")
    size = f"--window-size={round(WIDTHS[paper] * MILLIMETRE)},1000"
    dumped = chromium(tmp_path, size, "--dump-dom", file.as_uri())
    (found,) = re.findall(r'data-measured="([^"]*)"', dumped)
    measured = json.loads(found.replace("&quot;", '"'))
    assert (measured["over"], measured["wide"]) == (0, 0)
    assert measured["body"] >= 11 * POINT - 0.01
    assert measured["targets"] >= 18 * POINT - 0.01
    assert measured["box"] >= 6 * MILLIMETRE
    assert measured["rows"] == ["avoid"] * 6
    assert measured["folded"] == [True, True]
