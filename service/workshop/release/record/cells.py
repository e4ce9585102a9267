"""Data of a record as tables and lists of facts for the press."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from service.press.blocks import Block, Cell, Fact, Facts, Quantity, Table

Data = Mapping[str, Any]
WHEN = "When (UTC)"


def date_and_time(instant: str | None) -> str:
    """An instant in UTC to the minute: "2026-09-15 12:40"."""
    return instant[:16].replace("T", " ") if instant else ""


def grouped(digest: str | None) -> str | None:
    """A digest in groups that can be read aloud, and set on a narrow page."""
    return digest and " ".join(digest[place : place + 16] for place in range(0, len(digest), 16))


def told_when(row: Data) -> str:
    """When something was, with how far that may be off."""
    return " ".join(filter(None, (date_and_time(row["at"]), give_or_take(row.get("about")))))


def give_or_take(about: str | None) -> str:
    """An ISO 8601 duration as people write it: PT12H is "± 12 h"."""
    units = {"H": "h", "M": "min", "S": "s"}
    return f"± {about[2:-1]} {units[about[-1]]}" if about else ""


def cell(value: Any) -> Cell:
    """What a cell says: an amount with its unit, a list in words, yes or no, or plain words."""
    if isinstance(value, Mapping):
        return Quantity(Decimal(value["value"]), value["unit"])
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return Decimal(value)
    return value or ""


def table(columns: Mapping[str, str], rows: Sequence[Data], caption: str = "") -> Iterator[Block]:
    """A table of rows, their members under the headings of the columns; times in short."""
    if not rows:
        return
    cells = [
        tuple(told_when(row) if name == "at" else cell(row.get(name)) for name in columns)
        for row in rows
    ]
    yield Table(tuple(columns.values()), tuple(cells), caption)


def facts(told: Mapping[str, Any]) -> Facts:
    return Facts(tuple(fact(label, value) for label, value in told.items() if value is not None))


def fact(label: str, value: Any) -> Fact:
    found = cell(value)
    if isinstance(found, Quantity):
        return Fact(label, found.value, found.unit)
    return Fact(label, found)
