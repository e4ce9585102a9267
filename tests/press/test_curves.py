"""The curve as SVG: whole in every case, and said in words."""

import re
import xml.etree.ElementTree as ET
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from service.press.curves import Curve, Level, Line, Mark, render

SVG = "{http://www.w3.org/2000/svg}"
numbers = st.decimals(-20, 400, places=1)
points = st.lists(st.tuples(st.decimals(0, 5000, places=2), numbers), max_size=60)


def curve(*lines: Line, marks: tuple[Mark, ...] = (), levels: tuple[Level, ...] = ()) -> Curve:
    """A curve of these lines."""
    return Curve("Cook", "What was read.", "minutes", "°C", lines, marks, levels)


def drawn(one: Curve) -> ET.Element:
    """The root of the document."""
    return ET.fromstring(render(one))


def places(root: ET.Element) -> list[tuple[float, float]]:
    """Every point of every path."""
    return [
        (float(x), float(y))
        for path in root.iter(f"{SVG}path")
        for x, y in re.findall(r"([\d.-]+) ([\d.-]+)", path.get("d", ""))
    ]


@given(points, points)
def test_everything_lies_inside_the_drawing(
    one: list[tuple[Decimal, Decimal]], other: list[tuple[Decimal, Decimal]]
) -> None:
    marks = tuple(Mark(point, "read") for point in other)
    root = drawn(curve(Line("a", [sorted(one)]), marks=marks, levels=(Level(Decimal(240), "x"),)))
    for x, y in places(root):
        assert 64 <= x <= 816
        assert 64 <= y <= 470
    assert len(list(root.iter(f"{SVG}circle"))) == len(other)


@given(st.text(max_size=60))
def test_no_words_break_the_drawing(words: str) -> None:
    mark = Mark((Decimal(1), Decimal(20)), words)
    root = drawn(Curve(words, words, "minutes", "°C", (), (mark,)))
    assert root.find(f"{SVG}title") is not None


def test_the_drawing_has_a_title_and_a_description() -> None:
    root = drawn(curve())
    assert root.get("role") == "img"
    named = [root.find(f"{SVG}{tag}") for tag in ("title", "desc")]
    assert [one is not None and one.text for one in named] == ["Cook", "What was read."]
    ids = " ".join(one.get("id", "") for one in named if one is not None)
    assert root.get("aria-labelledby") == ids


def test_nothing_is_styled_or_run() -> None:
    mark = Mark((Decimal(1), Decimal(20)), "<script>alert(1)</script>")
    body = render(curve(Line("a", [[mark.at]]), marks=(mark,))).decode()
    assert "style" not in body
    assert "<script" not in body


def test_a_line_is_broken_where_nothing_is_known() -> None:
    pieces = [[(Decimal(0), Decimal(20)), (Decimal(1), Decimal(30))], [(Decimal(9), Decimal(40))]]
    paths = list(drawn(curve(Line("a", pieces))).iter(f"{SVG}path"))
    assert paths[-1].get("d", "").count("M") == 2


def test_a_long_log_keeps_its_peak_in_a_small_drawing() -> None:
    log = [(Decimal(n) / 60, Decimal(200)) for n in range(50_000)]
    log[31_234] = (log[31_234][0], Decimal(390))
    body = render(curve(Line("a", [log])))
    assert len(body) < 60_000
    root = ET.fromstring(body)
    highest = min(y for _, y in places(root))
    flat = max(y for _, y in places(root))
    assert flat - highest > 300


def test_lines_beside_are_told_apart_in_words() -> None:
    log = [[(Decimal(0), Decimal(20)), (Decimal(9), Decimal(40))]]
    root = drawn(curve(Line("this one", log), Line("the one before", log, beside=True)))
    told = [text.text for text in root.iter(f"{SVG}text")]
    assert {"this one", "the one before"} <= set(told)
