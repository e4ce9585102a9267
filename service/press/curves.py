"""A curve over time as SVG: dark lines on white, with axes, levels and numbered marks.

Only presentation attributes, no style and no script, so that it stands alone or inside a page of
any policy. What it shows is also said in words, in its title and description.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import groupby

from service.press.text import plain

MEDIA = "image/svg+xml"
Point = tuple[Decimal, Decimal]

_WIDTH, _HEIGHT = 960, 540
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, 816, 64, 470
_ROW = 20  # the height of a line of words below the curve
_INK, _SOFT, _GRID, _LEVEL = "#1a1a1a", "#5c5c5c", "#dddddd", "#9a3412"
_DASHES = ("6 4", "2 3", "10 4 2 4", "12 6", "4 6")
_MINUTES = (1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 720, 1440)
_DEGREES = (1, 2, 5, 10, 20, 50, 100)
_MOST_TICKS = 12
_MOST_MARKS = 20
_NOT_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Line:
    """A line in pieces, between which nothing is known; `beside` is drawn faint, to compare."""

    name: str
    pieces: Sequence[Sequence[Point]]
    beside: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A single point, told in words below the curve."""

    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Level:
    """A value that was planned, as a line across."""

    value: Decimal
    text: str


@dataclass(frozen=True, slots=True)
class Curve:
    """All that is drawn. Times on the axis are minutes."""

    title: str
    description: str
    x_label: str
    y_label: str
    lines: Sequence[Line]
    marks: Sequence[Mark] = ()
    levels: Sequence[Level] = ()

    def points(self) -> Iterator[Point]:
        """Every point of every line and mark."""
        for line in self.lines:
            for piece in line.pieces:
                yield from piece
        yield from (mark.at for mark in self.marks)


@dataclass(frozen=True, slots=True)
class Scale:
    """How values become places between two edges of the drawing."""

    ticks: tuple[Decimal, ...]
    start: int
    end: int

    def place(self, value: Decimal) -> Decimal:
        """Where a value stands, to a tenth."""
        first, last = self.ticks[0], self.ticks[-1]
        share = (value - first) / (last - first)
        return (self.start + share * (self.end - self.start)).quantize(Decimal("0.1"))


def render(curve: Curve) -> bytes:
    """The curve as an SVG document."""
    across = _scale([point[0] for point in curve.points()], _MINUTES, _LEFT, _RIGHT)
    values = [point[1] for point in curve.points()] + [level.value for level in curve.levels]
    # Room above, so that no line runs along the edge.
    values += [max(values) + 5] if values else []
    up = _scale(values, _DEGREES, _BOTTOM, _TOP)
    named = [line for line in curve.lines if line.pieces]
    told = curve.marks[:_MOST_MARKS]
    rows = len(told) + (len(named) if len(named) > 1 else 0)
    root = _root(curve, _HEIGHT + _ROW * rows - 10)
    _axes(root, curve, across=across, up=up)
    for level in curve.levels:
        _level(root, level, up)
    for number, line in enumerate(named):
        _line(root, line, across=across, up=up, dash=_DASHES[(number - 1) % len(_DASHES)])
    for number, mark in enumerate(curve.marks, 1):
        _mark(root, mark, number, across=across, up=up)
    if len(named) > 1:
        _legend(root, named)
    _words(root, [f"{n}: {mark.text}" for n, mark in enumerate(told, 1)], rows - len(told))
    drawn: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return drawn


def _root(curve: Curve, height: int) -> ET.Element:
    names = {"role": "img", "aria-labelledby": "curve-title curve-description"}
    root = ET.Element(
        "svg",
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {_WIDTH} {height}",
        width=str(_WIDTH),
        height=str(height),
        attrib={"font-family": "sans-serif", "font-size": "14", "fill": _INK, **names},
    )
    for tag, words in (("title", curve.title), ("desc", curve.description)):
        name = {"title": "curve-title", "desc": "curve-description"}[tag]
        _put(root, tag, words, id=name)
    _put(root, "rect", x="0", y="0", width=str(_WIDTH), height=str(height), fill="#ffffff")
    _put(root, "text", curve.title, x=str(_LEFT), y="28", font_size="18", font_weight="bold")
    return root


def _put(parent: ET.Element, tag: str, text: str | None = None, **attributes: str) -> ET.Element:
    named = {name.replace("_", "-"): value for name, value in attributes.items()}
    found = ET.SubElement(parent, tag, named)
    found.text = None if text is None else _NOT_IN_XML.sub("\N{REPLACEMENT CHARACTER}", text)
    return found


def _scale(values: Sequence[Decimal], steps: Sequence[int], *ends: int) -> Scale:
    """Round numbers around all values; where there are none, around 0 to 1."""
    low, high = min(values, default=Decimal(0)), max(values, default=Decimal(1))
    step = _step(high - low, steps)
    first = (low / step).to_integral_value(ROUND_FLOOR) * step
    last = (high / step).to_integral_value(ROUND_CEILING) * step
    last = last if last > first else first + step
    count = int((last - first) / step)
    return Scale(tuple(first + step * number for number in range(count + 1)), *ends)


def _step(span: Decimal, steps: Sequence[int]) -> Decimal:
    """The smallest usual step that needs no more ticks than can be read."""
    for step in steps:
        if span <= step * (_MOST_TICKS - 1):
            return Decimal(step)
    step = steps[-1]
    while span > step * (_MOST_TICKS - 1):
        step *= 2
    return Decimal(step)


def _axes(root: ET.Element, curve: Curve, *, across: Scale, up: Scale) -> None:
    grid = _put(root, "g", stroke=_GRID, stroke_width="1")
    words = _put(root, "g", fill=_SOFT)
    for tick in across.ticks:
        x = str(across.place(tick))
        _put(grid, "line", x1=x, y1=str(_TOP), x2=x, y2=str(_BOTTOM))
        _put(words, "text", plain(tick), x=x, y=str(_BOTTOM + 20), text_anchor="middle")
    for tick in up.ticks:
        y = up.place(tick)
        _put(grid, "line", x1=str(_LEFT), y1=str(y), x2=str(_RIGHT), y2=str(y))
        _put(words, "text", plain(tick), x=str(_LEFT - 8), y=str(y + 5), text_anchor="end")
    frame = f"M{_LEFT} {_TOP}V{_BOTTOM}H{_RIGHT}"
    _put(root, "path", d=frame, fill="none", stroke=_INK, stroke_width="1.5")
    _put(root, "text", curve.y_label, x=str(_LEFT), y=str(_TOP - 12))
    _put(root, "text", curve.x_label, x=str(_RIGHT), y=str(_BOTTOM + 44), text_anchor="end")


def _level(root: ET.Element, level: Level, up: Scale) -> None:
    y = up.place(level.value)
    ends = {"x1": str(_LEFT), "y1": str(y), "x2": str(_RIGHT), "y2": str(y)}
    _put(root, "line", **ends, stroke=_LEVEL, stroke_width="1", stroke_dasharray="8 4")
    # Beside the curve, where no line runs through it.
    _put(root, "text", level.text, x=str(_RIGHT + 8), y=str(y + 5), fill=_LEVEL)


def _line(root: ET.Element, line: Line, *, across: Scale, up: Scale, dash: str) -> None:
    path = " ".join(_path(piece, across=across, up=up) for piece in line.pieces if piece)
    look = {"stroke": _SOFT, "stroke_width": "1.2", "stroke_dasharray": dash}
    if not line.beside:
        look = {"stroke": _INK, "stroke_width": "2"}
    drawn = _put(root, "path", d=path, fill="none", stroke_linejoin="round", **look)
    drawn.set("stroke-linecap", "round")  # a piece of one point is a dot
    _put(drawn, "title", line.name)


def _path(piece: Sequence[Point], *, across: Scale, up: Scale) -> str:
    """The piece as far as the eye can tell: of each column its first, lowest, highest, last."""
    places = ((across.place(x), up.place(y)) for x, y in piece)
    drawn: list[tuple[Decimal, Decimal]] = []
    for _, column in groupby(places, key=lambda place: int(place[0])):
        held = list(column)
        low = max(range(len(held)), key=lambda n: held[n][1])
        high = min(range(len(held)), key=lambda n: held[n][1])
        drawn += [held[n] for n in sorted({0, low, high, len(held) - 1})]
    drawn = drawn * 2 if len(drawn) == 1 else drawn
    return "M" + "L".join(f"{x} {y}" for x, y in drawn)


def _mark(root: ET.Element, mark: Mark, number: int, *, across: Scale, up: Scale) -> None:
    x, y = across.place(mark.at[0]), up.place(mark.at[1])
    at = {"cx": str(x), "cy": str(y), "r": "5"}
    dot = _put(root, "circle", **at, fill="#ffffff", stroke=_INK, stroke_width="2")
    _put(dot, "title", mark.text)
    if number <= _MOST_MARKS:
        _put(root, "text", str(number), x=str(x + 8), y=str(y - 8), font_weight="bold")


def _legend(root: ET.Element, lines: Sequence[Line]) -> None:
    for number, line in enumerate(lines):
        y = str(_HEIGHT + _ROW * number - 5)
        look = {"stroke": _SOFT, "stroke_dasharray": _DASHES[(number - 1) % len(_DASHES)]}
        look = look if line.beside else {"stroke": _INK}
        _put(root, "line", x1=str(_LEFT), y1=y, x2=str(_LEFT + 40), y2=y, stroke_width="2", **look)
    _words(root, [line.name for line in lines], 0, indent=50)


def _words(root: ET.Element, rows: Sequence[str], after: int, indent: int = 0) -> None:
    for number, words in enumerate(rows, after):
        y = str(_HEIGHT + _ROW * number)
        _put(root, "text", words[:130], x=str(_LEFT + indent), y=y)
