"""Entries of the record: stamped when written, read without those that were corrected or voided."""

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Table, UniqueConstraint, exists
from sqlalchemy.orm import aliased
from sqlmodel import col, select

from service.errors import AlreadyCorrected, NotFound
from service.store.columns import Recorded
from service.store.session import ReadSession, WriteSession

E = TypeVar("E", bound=Recorded)


class UnknownEntry(NotFound):
    slug = "entry-unknown"
    title = "There is no such entry"
    about = "Entries bear the number under which they are listed, each with what it belongs to."


@dataclass(frozen=True, slots=True)
class Amends:
    """Why an entry is corrected, and by whom; `void` puts nothing in its place."""

    reason: str
    by: str | None
    void: bool = False


def stamp(
    session: WriteSession,
    *,
    by: str | None,
    happened_at: datetime | None = None,
    entered_from: str = "api",
) -> dict[str, Any]:
    """Who and when of an entry: it happened now unless it says otherwise."""
    return {
        "by": by,
        "happened_at": happened_at or session.now,
        "entered_at": session.now,
        "entered_from": entered_from,
    }


@functools.cache
def standing(entry: type[E]) -> ColumnElement[bool]:
    """The condition for entries that were neither voided nor corrected by a later one; built once
    for each kind, as many queries ask for it."""
    later = aliased(entry)
    corrected = exists(select(later.id).where(col(later.corrects) == col(entry.id)))
    return ~corrected & col(entry.void).is_(False)


def corrected_by(session: ReadSession, row: E) -> E | None:
    """The entry that corrects this one, if any."""
    kind = type(row)
    return session.exec(select(kind).where(kind.corrects == row.id)).first()


def corrections_of(session: ReadSession, rows: Iterable[E]) -> dict[int | None, int]:
    """Which entry corrects which, of entries of one kind, in one query."""
    found = list(rows)
    if not found:
        return {}
    kind = type(found[0])
    ids = [row.row_id for row in found]
    later = session.exec(select(kind).where(col(kind.corrects).in_(ids)))
    return {row.corrects: row.row_id for row in later}


def trace(row: Recorded, later: Mapping[int | None, int]) -> dict[str, Any]:
    """How an entry stands among its corrections, as it is shown."""
    return {
        "corrects": row.corrects,
        "corrected_by": later.get(row.row_id),
        "void": row.void,
        "reason": row.reason,
    }


def entry(session: ReadSession, kind: type[E], number: int, *where: ColumnElement[bool]) -> E:
    """An entry by its number, of what `where` names. Raises UnknownEntry."""
    row = session.exec(select(kind).where(kind.id == number, *where)).first()
    if row is None:
        raise UnknownEntry(f"There is no entry {number} here.")
    return row


def amend(
    session: WriteSession, old: E, wanted: Amends, changes: Mapping[str, Any] | None = None
) -> E:
    """A new entry of the same kind that corrects an old one. It happened when the old one did,
    and what is not changed stays. Raises AlreadyCorrected."""
    check_correctable(session, old)
    kept = old.model_dump(exclude={"id", *_singular(type(old))})
    entered = {
        **stamp(session, by=wanted.by, happened_at=old.happened_at),
        "entered_from": old.entered_from,
        "corrects": old.row_id,
        "void": wanted.void,
        "reason": wanted.reason,
    }
    row = type(old)(**{**kept, **entered, **(changes or {})})
    session.add(row)
    session.flush()  # the answer shows its key
    return row


def check_correctable(session: ReadSession, old: Recorded) -> None:
    """Raises AlreadyCorrected, also for an entry that only voids another."""
    if (later := corrected_by(session, old)) is not None:
        wrong = f"Entry {old.row_id} was corrected by entry {later.row_id}."
        raise AlreadyCorrected(wrong)
    if old.void:
        wrong = f"Entry {old.row_id} voids entry {old.corrects}; enter anew what happened."
        raise AlreadyCorrected(wrong)


@functools.cache
def _singular(kind: type[Recorded]) -> frozenset[str]:
    """What may be empty and must be unique, such as a device's running number: it stays with the
    entry that came with it."""
    table: Table = kind.__table__  # type: ignore[attr-defined]  # a mapped class has its table
    sets = [key.columns for key in table.constraints if isinstance(key, UniqueConstraint)]
    sets += [index.columns for index in table.indexes if index.unique]
    # One empty column of a set is enough; whose number it was is kept.
    free = [[c.name for c in columns if c.nullable] for columns in sets]
    return frozenset(names[-1] for names in free if names)
