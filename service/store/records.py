"""Entries of the record: stamped when written, read without those that were corrected or voided."""

import functools
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, exists
from sqlalchemy.orm import aliased
from sqlmodel import col, select

from service.store.columns import Recorded
from service.store.session import ReadSession, WriteSession

E = TypeVar("E", bound=Recorded)


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
