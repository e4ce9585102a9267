"""The trail as a file: one entry a line, written as it is read."""

import csv
import io
import json
from collections.abc import Iterable, Iterator
from typing import Literal

from service.office.audit import queries
from service.office.audit.bodies import AuditEntryOut
from service.press.csv import guard
from service.store.lists import Ask
from service.store.session import Actor, Store

Form = Literal["jsonl", "csv"]
MEDIA = {"jsonl": "application/x-ndjson", "csv": "text/csv; charset=utf-8; header=present"}
_COLUMNS = tuple(AuditEntryOut.model_fields)


def written(store: Store, actor: Actor, ask: Ask, *, form: Form) -> Iterator[bytes]:
    """The entries asked for. They are read in a session of their own, since the file is still
    being sent when that of the request has ended."""
    with store.reading(actor) as session:
        yield from _FORMS[form](queries.in_order(session, ask))


def _as_lines(entries: Iterable[AuditEntryOut]) -> Iterator[bytes]:
    for entry in entries:
        yield entry.model_dump_json().encode() + b"\n"


def _as_rows(entries: Iterable[AuditEntryOut]) -> Iterator[bytes]:
    yield _row(_COLUMNS)
    for entry in entries:
        told = entry.model_dump(mode="json")
        yield _row([_cell(told[name]) for name in _COLUMNS])


def _cell(value: object) -> str:
    if isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False)
    return "" if value is None else guard(str(value))


def _row(cells: Iterable[str]) -> bytes:
    line = io.StringIO(newline="")
    csv.writer(line).writerow(cells)
    return line.getvalue().encode()


_FORMS = {"jsonl": _as_lines, "csv": _as_rows}
