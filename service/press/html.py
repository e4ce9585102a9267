"""A document as one self-contained page: no script runs, nothing is fetched."""

import base64
import hashlib
import json
import re
from collections.abc import Mapping
from decimal import Decimal
from importlib.resources import files
from typing import Literal

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from service.press.blocks import Block, Document, Worksheet
from service.press.text import NO_BREAK_SPACE, typeset, words

Paper = Literal["a4", "letter"]
_TEMPLATES = files("service.press") / "templates"
STYLE = (_TEMPLATES / "sheet.css").read_text(encoding="utf-8")
BENCH_STYLE = (_TEMPLATES / "bench.css").read_text(encoding="utf-8")
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:°[CF]|%|[kmcdµ]?[gmls]|h|d|min|kg/l|mm2/s)(?!\w))")


def _csp_hash(style: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()}'"


# Every style the press sets, as a content policy lists them.
STYLE_CSP_HASH = f"{_csp_hash(STYLE)} {_csp_hash(BENCH_STYLE)}"


def render(document: Document, *, paper: Paper = "a4") -> bytes:
    """The document as HTML; the same document gives the same bytes.

    What is worked from by hand is set for a size of paper; any other sheet takes the printer's.
    """
    bench = any(isinstance(block, Worksheet) for block in document.blocks)
    used = list(dict.fromkeys(document.notes_used()))
    marks = {name: number for number, name in enumerate(used, start=1)}
    page = _PRESS.get_template("document.html.j2").render(
        document=document,
        words=words(document.language),
        style=Markup(BENCH_STYLE if bench else STYLE),
        paper=paper if bench else None,
        json_ld=None if document.json_ld is None else _data_island(document.json_ld),
        marks=marks,
        footnotes=sorted(document.footnotes, key=lambda note: marks[note.name]),
    )
    return page.encode()


def is_current(page: bytes) -> bool:
    """Whether a page bears a present style; the policy of an answer allows no other."""
    return any(style.encode() in page for style in (STYLE, BENCH_STYLE))


def _data_island(data: Mapping[str, object]) -> Markup:
    """JSON that may stand inside a script element: no `<` is left to close it."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    return Markup(text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026"))


def _template_of(block: Block) -> str:
    return f"blocks/{type(block).__name__.lower()}.html.j2"


def _set(value: Decimal | str) -> str:
    """A value as it is printed: a true minus sign, and no line break before a unit."""
    if isinstance(value, Decimal):
        return typeset(value)
    return _BEFORE_UNIT.sub(NO_BREAK_SPACE, value)


def _press() -> Environment:
    press = Environment(
        loader=PackageLoader("service.press"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    press.filters.update({"template": _template_of, "set": _set})
    press.tests["number"] = lambda value: isinstance(value, Decimal)
    press.tests["a_time"] = lambda value: isinstance(value, str) and bool(_TIME.fullmatch(value))
    return press


# A day, a time, and how far it may be off: on a narrow page it stays in one piece.
_TIME = re.compile(r"\d{4}-\d\d-\d\d( \d\d:\d\d)?( ± \d+ \w+)?")
_PRESS = _press()
