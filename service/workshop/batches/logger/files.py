"""A logger's file, read as it was stated to be: pure, and asks no database.

All that is wrong is told at once, row by row, each with what else to state. Rows are named as
RFC 7111 names them: `#row=12`, the first row being 1.
"""

import csv
import hashlib
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from itertools import chain, islice

from service.errors import Fault
from service.workshop.batches.bodies.cook_files import MOST_ROWS, LogForm
from service.workshop.batches.logger.cells import (
    Way,
    Wrong,
    backwards,
    celsius,
    running_number,
    stating,
    words,
)
from service.workshop.batches.logger.headings import SEPARATORS, Columns, Headings
from service.workshop.batches.logger.times import Unclear, reader
from service.workshop.batches.rules import LoggerFile

_MOST_FAULTS = 20
_FEW, _MOST_LINES = 50, 2_000_000
_TORN = frozenset({"bad-row", "bad-time"})


@dataclass(frozen=True, slots=True)
class LogRow:
    """One reading of the file; `why` says why it cannot be a temperature."""

    row: int
    seq: int | None
    at: datetime
    celsius: Decimal | None
    why: str | None
    remark: str | None


@dataclass(frozen=True, slots=True)
class LogFile:
    """What a file holds."""

    rows: Sequence[LogRow]
    count: int  # of the rows below the headings, those left out included
    sha256: str
    torn: int | None = None  # the last row, where it broke off


def read(body: bytes, form: LogForm) -> LogFile:
    """The file as stated. Raises LoggerFile."""
    text = _text(body, form)
    try:
        count = _counted(text, form)
        table = _opened(form, _lines(text, form))
        table.read()
    except csv.Error as error:
        raise _refused("broken-table", f"The table breaks off: {error}.", None) from None
    return LogFile(table.rows, count, hashlib.sha256(body).hexdigest(), table.torn)


def _lines(text: str, form: LogForm) -> Iterator[list[str]]:
    mark = SEPARATORS[form.separator]
    # Strict, for a quote that is never closed would swallow every row below it.
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    return ([cell.strip() for cell in row] for row in lines)


def _counted(text: str, form: LogForm) -> int:
    """How many rows stand below the headings. Raises LoggerFile for more than are taken."""
    if text.count("\n") > _MOST_LINES:
        wrong = f"The file has more than {_MOST_LINES} lines."
        raise _refused("too-many-rows", wrong, "Send it in several files.")
    count = sum(any(row) for row in islice(_lines(text, form), form.header_row, None))
    there = max(count - form.skip, 0)
    if form.take is None and -(-there // form.every) > MOST_ROWS:
        thin = -(-there // MOST_ROWS)
        raise _refused(
            "too-many-rows",
            f"The file has {count} rows; {MOST_ROWS} are taken at once.",
            "Thin it with every, or send it in parts with skip and take.",
            (f"one row of {thin} is enough", {"every": thin}),
            ("it comes in parts, this being the first", {"take": MOST_ROWS}),
            parameter="take",
        )
    return count


def _refused(code: str, detail: str, hint: str | None, *ways: Way, **place: str) -> LoggerFile:
    remedies = tuple(stating(when, change) for when, change in ways)
    return LoggerFile(detail, (Fault(detail, code, hint=hint, remedies=remedies, **place),))


def _text(body: bytes, form: LogForm) -> str:
    hint, place = "State the encoding.", {"parameter": "encoding"}
    if body[:3] == b"\xef\xbb\xbf" and form.encoding == "utf-8":
        wrong = "The file begins with a byte order mark, which would become part of a heading."
        way = ("it is UTF-8 with a mark", {"encoding": "utf-8-sig"})
        raise _refused("byte-order-mark", wrong, hint, way, **place)
    if body[:2] in (b"\xff\xfe", b"\xfe\xff") and form.encoding != "utf-16":
        wrong = "The file begins with the byte order mark of UTF-16."
        raise _refused(
            "byte-order-mark", wrong, hint, ("it is UTF-16", {"encoding": "utf-16"}), **place
        )
    try:
        return body.decode(form.encoding)
    except UnicodeDecodeError as error:
        wrong = f"The file is not {form.encoding} (byte {error.start})."
        way = ("it comes from an older system", {"encoding": "latin-1"})
        raise _refused("encoding-wrong", wrong, hint, way, **place) from None


def _opened(form: LogForm, lines: Iterator[list[str]]) -> "_Table":
    """The table, its columns found by the headings. Raises LoggerFile."""
    above = list(islice(lines, form.header_row))
    names = above[-1] if len(above) == form.header_row else []
    below = list(islice(lines, _FEW))
    columns = Headings(form, names, below).columns()
    try:
        clock = reader(form)
    except Unclear as error:
        raise _refused(error.code, error.detail, error.hint, parameter="zone") from None
    numbered = enumerate(chain(below, lines), form.header_row + 1)
    return _Table(form, numbered, columns=columns, width=len(names), clock=clock)


@dataclass
class _Table:
    """The rows while they are read, and what was found wrong with them."""

    form: LogForm
    lines: Iterator[tuple[int, list[str]]]
    columns: Columns
    width: int
    clock: Callable[[str], datetime]
    rows: list[LogRow] = field(default_factory=list)
    seen: int = 0
    faults: list[Fault] = field(default_factory=list)
    wrong_row: int = 0
    torn: int | None = None

    def read(self) -> None:
        """Read every row that is asked for. Raises LoggerFile with all that is wrong."""
        last: datetime | None = None
        for number, cells in self.lines:
            if not any(cells) or not self._asked():
                continue
            try:
                row = self._row(number, cells)
            except (Wrong, Unclear) as error:
                self._note(number, error)
                continue
            if last is not None and row.at < last and self.form.order == "as-timed":
                self._note(number, backwards(row.at, last))
            last = row.at
            self.rows.append(row)
        self._check()
        if self.form.order == "any":
            self.rows.sort(key=lambda row: row.at)

    def _asked(self) -> bool:
        """Whether the next row is asked for."""
        form, place = self.form, self.seen - self.form.skip
        self.seen += 1
        if place < 0 or place % form.every:
            return False
        return place // form.every < (form.take or MOST_ROWS)

    def _note(self, number: int, error: Wrong | Unclear) -> None:
        """What is wrong with a row; the ways out stand beside the first of its kind."""
        self.wrong_row = number
        if len(self.faults) <= _MOST_FAULTS:
            told = {fault.code for fault in self.faults}
            ways = () if error.code in told else error.ways
            found = Wrong(error.code, f"Row {number}: {error.detail}", error.hint, ways)
            self.faults.append(found.at(f"#row={number}"))

    def _row(self, number: int, cells: Sequence[str]) -> LogRow:
        columns = self.columns
        if len(cells) > self.width and any(cells[self.width :]):
            wrong = f"{len(cells)} cells under {self.width} headings."
            raise Wrong("bad-row", wrong, "A decimal comma needs another separator.")
        if len(cells) <= columns.last:
            raise Wrong("bad-row", f"Only {len(cells)} cells.", "Send whole rows.")
        read, why = celsius(cells[columns.temperature], self.form)
        if why is not None and self.form.device is None:
            hint = "Look at it again; of a logger that is named it would be set aside."
            way: Way = ("a logger gave it, under this name", {"device": "LOGGER"})
            raise Wrong("out-of-range", f"{why[:1].upper()}{why[1:]}.", hint, (way,))
        return LogRow(
            row=number,
            seq=None if columns.seq is None else running_number(cells[columns.seq]),
            at=self.clock(" ".join([cells[place] for place in columns.at])),
            celsius=read,
            why=why,
            remark=None if columns.remark is None else words(cells[columns.remark]),
        )

    def _check(self) -> None:
        if self.faults and not self._broke_off():
            more = len(self.faults) - 1
            told = f" {more} more." if more < _MOST_FAULTS else f" {_MOST_FAULTS} more and others."
            shown = self.faults[:_MOST_FAULTS]
            raise LoggerFile(shown[0].detail + (told if more else ""), tuple(shown))
        self.torn = self.wrong_row if self.faults else None
        self._check_numbers()
        if not self.rows:
            wrong = "No row below the headings is asked for."
            raise _refused("no-rows", wrong, "Look at header_row and skip.")

    def _broke_off(self) -> bool:
        """Whether a logger lost its power in its last row, which is all that is wrong."""
        if len(self.faults) != 1 or self.form.device is None:
            return False
        last = max((row.row for row in self.rows), default=0)
        return self.faults[0].code in _TORN and self.wrong_row > last > 0

    def _check_numbers(self) -> None:
        seen: set[int] = set()
        for row in self.rows:
            if row.seq is None:
                return
            if row.seq in seen:
                wrong = f"Row {row.row}: the number {row.seq} stands twice."
                way: Way = ("the logger began anew, so that numbers say nothing", {"seq": None})
                found = Wrong("seq-twice", wrong, "A number names one reading.", (way,))
                raise LoggerFile(wrong, (found.at(f"#row={row.row}"),))
            seen.add(row.seq)
