"""The type of a PDF: its face, its styles, what its face cannot draw, and widths of columns."""

import functools
import unicodedata
from collections.abc import Mapping, Sequence
from html import unescape
from re import sub
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfmetrics import registerFontFamily
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph

PAGES = {"a4": A4, "letter": LETTER}
HAIR, FAINT = HexColor("#b9b0a1"), HexColor("#5d564c")
PLAIN, BOLD, ITALIC, BOTH = "Vera", "VeraBd", "VeraIt", "VeraBI"  # they come with the library
SMALL, BODY = 7.5, 9.0
_PADDING = 10.0  # of a cell, and a little more against rounding


@functools.cache
def register() -> None:
    """Have the face known, once."""
    for name in (PLAIN, BOLD, ITALIC, BOTH):
        pdfmetrics.registerFont(TTFont(name, f"{name}.ttf"))
    registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=ITALIC, boldItalic=BOTH)


def _style(name: str, size: float = BODY, **more: Any) -> ParagraphStyle:
    settled = {"fontName": PLAIN, "leading": size * 1.3, "splitLongWords": 1, **more}
    return ParagraphStyle(name, fontSize=size, **settled)


STYLES: Mapping[str, ParagraphStyle] = {
    style.name: style
    for style in (
        _style("title", 16, spaceAfter=2),
        _style("subtitle", 10, fontName=ITALIC, textColor=FAINT, spaceAfter=10),
        _style("notice", 11, fontName=BOLD),
        _style("h2", 12, spaceBefore=10, spaceAfter=4),
        _style("h3", 10, fontName=ITALIC, spaceBefore=8, spaceAfter=3),
        _style("body", spaceAfter=4),
        _style("emphasis", fontName=ITALIC, spaceAfter=4),
        _style("caption", 8, fontName=ITALIC, textColor=FAINT, spaceAfter=2),
        _style("cell", 8),
        _style("head", 8, fontName=BOLD),
        _style("head-number", 8, fontName=BOLD, alignment=TA_RIGHT),
        _style("number", 8, alignment=TA_RIGHT),
        _style("small", SMALL, textColor=FAINT, spaceAfter=2),
    )
}


def set_in(style: str, text: str) -> Paragraph:
    """Plain words in a style."""
    return Paragraph(safe(text), STYLES[style])


def marked(text: str, note: str | None, marks: Mapping[str, int]) -> str:
    """Words with the mark of their footnote."""
    return safe(text) + (f"<super>{marks[note]}</super>" if note is not None else "")


def safe(text: str) -> str:
    """Words as the library reads them, with what the face cannot draw told otherwise."""
    told = "".join(char if _drawn(char) else _otherwise(char) for char in text)
    return escape(told).replace("\n", "<br/>")


@functools.cache
def _glyphs() -> frozenset[int]:
    """The characters that every weight of the face draws."""
    register()
    faces = [pdfmetrics.getFont(name).face for name in (PLAIN, BOLD, ITALIC, BOTH)]
    return frozenset.intersection(*(frozenset(face.charToGlyph) for face in faces))


def _drawn(char: str) -> bool:
    return char == "\n" or (char.isprintable() and ord(char) in _glyphs()) or char == "\xa0"


def _otherwise(char: str) -> str:
    """The letter without its marks, a space for a tab, or else the number of the character."""
    if char.isspace():
        return " "
    base = "".join(part for part in unicodedata.normalize("NFKD", char) if _drawn(part))
    return base or f"[U+{ord(char):04X}]"


def _bare(markup: str) -> str:
    return unescape(sub(r"<[^>]*>", " ", markup))


def widths(rows: Sequence[Sequence[str]], wide: float) -> list[float]:
    """What each column takes of the width: its longest word, and of the rest according to how
    much it has to say."""
    columns = [[_bare(cell) for cell in column] for column in zip(*rows, strict=True)]
    least = [max(_longest_word(cell) for cell in column) + _PADDING for column in columns]
    wished = [max(_length(cell) for cell in column) + _PADDING for column in columns]
    if sum(least) >= wide:
        # Narrower than its padding no column can be set, however long the words of the others.
        floor = min(2 * _PADDING, wide / len(columns))
        words = [one - _PADDING for one in least]
        return [floor + one * (wide - floor * len(columns)) / sum(words) for one in words]
    more = [max(want - need, 0) for want, need in zip(wished, least, strict=True)]
    spare = wide - sum(least)
    if sum(more) <= spare:
        left = (spare - sum(more)) / len(columns)
        return [need + one + left for need, one in zip(least, more, strict=True)]
    return [need + one * spare / sum(more) for need, one in zip(least, more, strict=True)]


def _length(text: str) -> float:
    found: float = pdfmetrics.stringWidth(text, BOLD, STYLES["cell"].fontSize)
    return found


def _longest_word(text: str) -> float:
    return max((_length(word) for word in text.split()), default=0.0)


def shortened(text: str, room: float) -> str:
    """A line that fits, its end cut off where it does not."""
    while text and pdfmetrics.stringWidth(text, PLAIN, SMALL) > room:
        text = text[:-2].rstrip() + "…" if len(text) > 2 else ""
    return text
