"""The check values of `golden/*.csv`: read, and turned into arguments by a function's signature."""

import csv
import typing
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from importlib import import_module
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

FOLDER = Path(__file__).parent / "golden"
COLUMNS = ["call", "inputs", "field", "expected", "tolerance", "source", "checked_by"]
Row = dict[str, str]


def tables() -> list[str]:
    """The tables by name."""
    return sorted(path.stem for path in FOLDER.glob("*.csv"))


def rows(table: str) -> list[Row]:
    """The rows of one table."""
    with (FOLDER / f"{table}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def every_row() -> Iterator[tuple[str, Row]]:
    """All rows with their table."""
    for table in tables():
        for row in rows(table):
            yield table, row


def name_of(row: Row) -> str:
    """A row as test reports name it."""
    return f"{row['call']} {row['inputs']} {row['field']}".strip()


def function_of(row: Row) -> Callable[..., Any]:
    """The function that a row calls."""
    module, _, name = row["call"].rpartition(".")
    found: Callable[..., Any] = getattr(import_module(f"service.science.{module}"), name)
    return found


def texts_of(row: Row) -> dict[str, str]:
    """The inputs of a row as they stand there."""
    pairs = (pair.split("=", 1) for pair in row["inputs"].split("; ") if pair)
    return {name: text for name, text in pairs}


def arguments_of(row: Row) -> dict[str, Any]:
    """The inputs of a row as the function takes them."""
    hints = get_type_hints(function_of(row))
    return {name: _read(text, hints[name]) for name, text in texts_of(row).items()}


def without_none(kind: Any) -> Any:
    """The kind of an input that may be left out."""
    if get_origin(kind) in (UnionType, typing.Union):
        return next(part for part in get_args(kind) if part is not NoneType)
    return kind


def _read(text: str, kind: Any) -> Any:
    if not text and without_none(kind) is not kind:
        return None
    kind = without_none(kind)
    if get_origin(kind) is Sequence:
        return [_read(each, get_args(kind)[0]) for each in text.split("+") if each]
    if hasattr(kind, "_fields"):
        hints = get_type_hints(kind)
        parts = zip(hints, text.split("@"), strict=False)
        return kind(**{name: _read(part, hints[name]) for name, part in parts})
    if kind is bool:
        return text == "yes"
    return text if kind is str else int(text) if kind is int else Decimal(text)


def check(found: Any, row: Row) -> None:
    """A found value is the expected one, as closely as the row says."""
    rule, _, allowed = row["tolerance"].partition(" ")
    if rule in ("abs", "rel"):
        expected = Decimal(row["expected"])
        margin = Decimal(allowed) * (abs(expected) if rule == "rel" else 1)
        assert abs(Decimal(found) - expected) <= margin, found
    elif rule == "exact" and isinstance(found, Decimal):
        assert found == Decimal(row["expected"])
    elif isinstance(found, bool):
        assert ("yes" if found else "no") == row["expected"] or str(found) == row["expected"]
    else:
        assert str("" if found is None else found) == row["expected"]
