"""A document as a PDF to file away: the same document gives the same bytes, and nothing of it
is fetched or run. Slow to import, so whoever sets one imports this module then."""

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    LongTable,
    PageTemplate,
    Paragraph,
    Spacer,
    TableStyle,
)

from service.press import blocks, pdf_type
from service.press.blocks import Block, Cell, Document
from service.press.html import Paper
from service.press.pdf_type import HAIR, PAGES, PLAIN, STYLES, marked, safe, set_in, widths
from service.press.text import Words, measured_in, typeset, words

_MARGIN, _FOOT = 18 * mm, 14 * mm
_FOLLOWS = 25 * mm  # what stands under a heading before the page may end
_RULED = TableStyle(
    [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 9),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, HAIR),
    ]
)
_HEADED = TableStyle([("LINEBELOW", (0, 0), (-1, 0), 0.8, black)])
_BOXED = TableStyle(
    [("BOX", (0, 0), (-1, -1), 1.2, black), ("LEFTPADDING", (0, 0), (-1, -1), 8)],
    parent=_RULED,
)


def render(document: Document, *, paper: Paper = "a4") -> bytes:
    """The document as PDF; what only serves a screen (links to other forms, look-ups) is left
    out."""
    pdf_type.register()
    page = io.BytesIO()
    wide, high = PAGES[paper]
    template = BaseDocTemplate(
        page,
        pagesize=(wide, high),
        title=safe(document.title),
        subject=safe(document.subtitle),
        lang=document.language,
        invariant=1,
    )
    frame = Frame(
        _MARGIN, _MARGIN + _FOOT, wide - 2 * _MARGIN, high - 2 * _MARGIN - _FOOT, *([0] * 4)
    )
    template.addPageTemplates([PageTemplate(frames=[frame])])
    setter = _Setter(document, wide - 2 * _MARGIN, words(document.language))
    running = " · ".join(filter(None, (document.title, document.digest)))
    template.build(list(setter.story()), canvasmaker=_numbered(safe(running), wide))
    return page.getvalue()


def _numbered(running: str, wide: float) -> Callable[..., Canvas]:
    """A canvas that knows at the end how many pages there are, and says so at the foot of each."""

    class Numbered(Canvas):  # type: ignore[misc]  # the library has no types
        def __init__(self, *given: Any, **named: Any) -> None:
            super().__init__(*given, **named)
            self._drawn: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802  the library's name
            self._drawn.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            for number, drawn in enumerate(self._drawn, start=1):
                self.__dict__.update(drawn)
                self._foot(f"{number} / {len(self._drawn)}")
                super().showPage()
            super().save()

        def _foot(self, number: str) -> None:
            self.setFont(PLAIN, pdf_type.SMALL)
            room = wide - 2 * _MARGIN - 60
            self.drawString(_MARGIN, _MARGIN, pdf_type.shortened(running, room))
            self.drawRightString(wide - _MARGIN, _MARGIN, number)

    return Numbered


@dataclass(frozen=True)
class _Setter:
    """One document being set in a column of so many points."""

    document: Document
    wide: float
    words: Words

    def story(self) -> Iterator[Flowable]:
        if self.document.notice:
            yield self._boxed([set_in("notice", self.document.notice)])
        yield set_in("title", self.document.title)
        if self.document.subtitle:
            yield set_in("subtitle", self.document.subtitle)
        for block in self.document.blocks:
            yield from self._set(block)
        yield from self._notes()
        if self.document.canonical_url:
            yield set_in("small", self.document.canonical_url)

    @property
    def marks(self) -> Mapping[str, int]:
        used = dict.fromkeys(self.document.notes_used())
        return {name: number for number, name in enumerate(used, start=1)}

    def _set(self, block: Block) -> Iterator[Flowable]:
        return _SET[type(block)](self, block)

    def _heading(self, block: blocks.Heading) -> Iterator[Flowable]:
        # Under a chapter there may stand another heading, which must not part from it.
        yield CondPageBreak(_FOLLOWS if block.level > 2 else _FOLLOWS * 1.5)
        yield set_in(f"h{block.level}", block.text)

    def _paragraph(self, block: blocks.Paragraph) -> Iterator[Flowable]:
        yield set_in("emphasis" if block.emphasis else "body", block.text)

    def _facts(self, block: blocks.Facts) -> Iterator[Flowable]:
        yield self._table([[fact.label, fact] for fact in block.rows])

    def _observations(self, block: blocks.Observations) -> Iterator[Flowable]:
        for one in block.rows:
            yield Paragraph(f"• {marked(one.text, one.note, self.marks)}", STYLES["body"])

    def _warning(self, block: blocks.Caution) -> Iterator[Flowable]:
        yield self._boxed([self._caution(block.text)])

    def _preformatted(self, block: blocks.Preformatted) -> Iterator[Flowable]:
        yield set_in("small", block.text.replace(" ", "\N{NO-BREAK SPACE}"))

    def _choices(self, block: blocks.Choices) -> Iterator[Flowable]:
        for one in block.rows:
            yield set_in("body", " ".join(filter(None, (one.link.text, one.text))))

    def _form(self, _: blocks.Form) -> Iterator[Flowable]:
        """Nobody can fill in a look-up on paper."""
        yield from ()

    def _caution(self, text: str) -> Paragraph:
        return Paragraph(f"<b>{safe(self.words.caution)}</b> {safe(text)}", STYLES["body"])

    def _titled_table(self, block: blocks.Table) -> Iterator[Flowable]:
        if block.caption:
            yield CondPageBreak(_FOLLOWS)
            yield set_in("caption", block.caption)
        numeric = [block.holds_numbers(place) for place in range(len(block.columns))]
        yield self._table(block.rows, block.columns, numeric)

    def _stage(self, stage: blocks.Worksheet) -> Iterator[Flowable]:
        """A stage of work: all cautions, then its tasks with room to write beside."""
        yield CondPageBreak(_FOLLOWS)
        yield set_in("h2", stage.heading)
        yield from (self._boxed([self._caution(one.text)]) for one in stage.cautions)
        said = (self.words.task, self.words.target, self.words.actual, self.words.time)
        rows = [[task.number, self._task(task), *_aim(task), "", ""] for task in stage.tasks]
        yield self._table(rows, ("", *said))

    def _task(self, task: blocks.Task) -> str:
        lots = f"{self.words.lot} {', '.join(task.lots)}" if task.lots else ""
        return "\n".join(filter(None, (task.text, task.detail, lots)))

    def _table(
        self,
        rows: Sequence[Sequence[Cell | blocks.Fact]],
        columns: Sequence[str] = (),
        numeric: Sequence[bool] = (),
    ) -> Flowable:
        if not rows:
            return Spacer(0, 0)
        flush = [*numeric] or [False] * len(rows[0])
        texts = [[self._cell(cell) for cell in row] for row in rows]
        heads = [[safe(column) for column in columns]] if columns else []
        cells = [
            [Paragraph(text, style) for text, style in zip(row, styles, strict=True)]
            for row, styles in self._styled([*heads, *texts], len(heads), flush)
        ]
        table = LongTable(
            cells,
            colWidths=widths([*heads, *texts], self.wide),
            repeatRows=len(heads),
            splitInRow=1,
            spaceAfter=8,
        )
        table.setStyle(_RULED)
        if heads:
            table.setStyle(_HEADED)
        return table

    def _styled(
        self, rows: Sequence[Sequence[str]], heads: int, flush: Sequence[bool]
    ) -> Iterator[tuple[Sequence[str], Sequence[Any]]]:
        """Each row with the styles of its cells: figures flush right, also under their heads."""
        for place, row in enumerate(rows):
            words, figures = ("head", "head-number") if place < heads else ("cell", "number")
            yield row, [STYLES[figures if right else words] for right in flush]

    def _cell(self, cell: Cell | blocks.Fact) -> str:
        if isinstance(cell, str):
            return safe(cell)
        if isinstance(cell, Decimal):
            return safe(typeset(cell))
        value = typeset(cell.value) if isinstance(cell.value, Decimal) else cell.value
        text = " ".join(filter(None, (value, measured_in(cell.unit))))
        basis = f" <i>{safe(cell.basis)}</i>" if cell.basis else ""
        return marked(text, cell.note, self.marks) + basis

    def _boxed(self, inside: Sequence[Flowable]) -> Flowable:
        box = LongTable([[list(inside)]], colWidths=[self.wide], splitInRow=1, spaceAfter=8)
        box.setStyle(_BOXED)
        return box

    def _notes(self) -> Iterator[Flowable]:
        marks = self.marks
        if not marks:
            return
        title = set_in("h3", self.words.notes)
        told = [
            Paragraph(_note(note, marks[note.name]), STYLES["small"])
            for note in sorted(self.document.footnotes, key=lambda note: marks[note.name])
        ]
        yield KeepTogether([title, *told[:1]])
        yield from told[1:]


_SET: Mapping[type, Callable[..., Iterator[Flowable]]] = {
    blocks.Heading: _Setter._heading,
    blocks.Paragraph: _Setter._paragraph,
    blocks.Facts: _Setter._facts,
    blocks.Table: _Setter._titled_table,
    blocks.Observations: _Setter._observations,
    blocks.Caution: _Setter._warning,
    blocks.Preformatted: _Setter._preformatted,
    blocks.Choices: _Setter._choices,
    blocks.Worksheet: _Setter._stage,
    blocks.Form: _Setter._form,
}


def _aim(task: blocks.Task) -> tuple[str]:
    target = typeset(task.target) if isinstance(task.target, Decimal) else task.target or ""
    return ("\n".join(filter(None, (f"{target} {task.unit}".strip(), task.tolerance))),)


def _note(note: blocks.Note, mark: int) -> str:
    basis = f"<i>{safe(note.basis)}</i>, " if note.basis else ""
    return f"<super>{mark}</super> {basis}{safe('; '.join(filter(None, (note.method, note.text))))}"
