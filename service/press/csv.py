"""A document as flat rows for a spreadsheet (RFC 4180: CRLF, UTF-8, one header row, no BOM)."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal

from service.press.blocks import (
    Caution,
    Cell,
    Choice,
    Choices,
    Document,
    Fact,
    Facts,
    Form,
    Heading,
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
from service.press.text import plain

# What stands under the heading before it; a stage of work brings its own.
_Flat = Facts | Table | Observations | Caution | Paragraph | Preformatted | Choices | Form
_TRIGGERS = frozenset("=+-@\t\r\n")


@dataclass(frozen=True, slots=True)
class _Row:
    """One line; `value` holds numbers only, every other column holds words."""

    section: str = ""
    name: str = ""
    value: Decimal | None = None
    unit: str = ""
    basis: str = ""
    method: str = ""
    text: str = ""

    def cells(self) -> list[str]:
        number = "" if self.value is None else plain(self.value)
        return [
            guard(self.section),
            guard(self.name),
            number,
            *(guard(cell) for cell in (self.unit, self.basis, self.method, self.text)),
        ]


COLUMNS = tuple(field.name for field in fields(_Row))


def guard(text: str) -> str:
    """Text no spreadsheet takes for a formula: a leading apostrophe where one is needed."""
    return "'" + text if _tempts(text) else text


def unguard(text: str) -> str:
    """The text as it was before `guard`."""
    return text[1:] if text.startswith("'") and _tempts(text) else text


def _tempts(text: str) -> bool:
    # Apostrophes already there count as part of the danger, so that unguarding stays exact.
    return text.lstrip("'")[:1] in _TRIGGERS


def render(document: Document) -> bytes:
    """The document as CSV; what only serves a screen (forms) is left out."""
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(row.cells() for row in _rows(document))
    return page.getvalue().encode()


def _rows(document: Document) -> Iterator[_Row]:
    notes = {note.name: note for note in document.footnotes}
    yield from _head(document)
    section = ""
    for block in document.blocks:
        if isinstance(block, Heading):
            section = block.text
        elif isinstance(block, Worksheet):
            yield from _worksheet_rows(block)
        else:
            yield from _block_rows(section, block, notes=notes)
    for note in document.footnotes:
        yield _Row("notes", note.name, basis=note.basis, method=note.method, text=note.text)


def _head(document: Document) -> Iterator[_Row]:
    named = {
        "title": document.title,
        "subtitle": document.subtitle,
        "notice": document.notice,
        "address": document.canonical_url,
        "digest": document.digest,
    }
    for name, text in named.items():
        if text:
            yield _Row("document", name, text=text)
    for link in document.links:
        yield _Row("links", link.text, text=link.href)


def _block_rows(section: str, block: _Flat, *, notes: Mapping[str, Note]) -> Iterable[_Row]:
    match block:
        case Facts(rows=facts):
            return [_entry(section, fact.label, value=fact, notes=notes) for fact in facts]
        case Table():
            return _table_rows(section, block, notes=notes)
        case Observations(rows=seen):
            return [_observation(section, one, notes=notes) for one in seen]
        case Caution(text=text, rule=rule):
            return [_Row(section, "caution", method=rule, text=text)]
        case Paragraph(text=text) | Preformatted(text=text):
            return [_Row(section, type(block).__name__.lower(), text=text)]
        case Choices(rows=choices):
            return [row for one in choices for row in _choice(section, one)]
        case Form():
            return ()


def _choice(section: str, choice: Choice) -> Iterator[_Row]:
    if choice.text:
        yield _Row(section, choice.link.text, text=choice.text)
    yield _Row("links", choice.link.text, text=choice.link.href)


def _worksheet_rows(stage: Worksheet) -> Iterator[_Row]:
    """All cautions, then each task with rows left empty for what is found."""
    for caution in stage.cautions:
        yield _Row(stage.heading, "caution", method=caution.rule, text=caution.text)
    for task in stage.tasks:
        yield from _task_rows(stage.heading, task)


def _task_rows(section: str, task: Task) -> Iterator[_Row]:
    yield _Row(section, task.number, text=task.text)
    if task.detail:
        yield _Row(section, f"{task.number}: detail", text=task.detail)
    if isinstance(task.target, Decimal):
        yield _Row(section, f"{task.number}: target", task.target, task.unit)
    elif task.target is not None:
        yield _Row(section, f"{task.number}: target", unit=task.unit, text=task.target)
    if task.tolerance:
        yield _Row(section, f"{task.number}: tolerance", text=task.tolerance)
    for lot in task.lots:
        yield _Row(section, f"{task.number}: lot", text=lot)
    yield _Row(section, f"{task.number}: actual", unit=task.unit)
    yield _Row(section, f"{task.number}: time")


def _table_rows(section: str, table: Table, *, notes: Mapping[str, Note]) -> Iterator[_Row]:
    """A row for each cell after the first, named by its row and its column."""
    for first, *rest in table.rows:
        for column, cell in zip(table.columns[1:], rest, strict=True):
            yield _entry(section, f"{_words_of(first)}: {column}", value=cell, notes=notes)


def _entry(section: str, name: str, *, value: Fact | Cell, notes: Mapping[str, Note]) -> _Row:
    if isinstance(value, str):
        return _Row(section, name, text=value)
    if isinstance(value, Decimal):
        return _Row(section, name, value)
    row = _Row(section, name, unit=value.unit, basis=value.basis, method=_method(value.note, notes))
    if isinstance(value.value, Decimal):
        return replace(row, value=value.value)
    return replace(row, text=value.value)


def _observation(section: str, seen: Seen, *, notes: Mapping[str, Note]) -> _Row:
    row = _Row(section, "observation", text=seen.text)
    if seen.note is None:
        return row
    return replace(row, basis=notes[seen.note].basis, method=notes[seen.note].method)


def _method(note: str | None, notes: Mapping[str, Note]) -> str:
    return "" if note is None else notes[note].method


def _words_of(cell: Cell) -> str:
    if isinstance(cell, Quantity):
        return f"{plain(cell.value)} {cell.unit}".rstrip()
    return plain(cell) if isinstance(cell, Decimal) else cell
