"""Rows held against the trail: what stands in a table is what the last entry of it says."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel, col, select

from service.office.audit.actions import MOST, subject_of, values_of
from service.office.audit.faults import told
from service.store.columns import Row, Scaled, nine_places
from service.store.session import ReadSession

# Kept beside what they follow from, and so not told when they change with it.
_FOLLOWS = frozenset({"revision", "folded"})
_WITHHELD = frozenset({"withheld", "changed"})
_AT_ONCE = 5000  # keys in one question
Told = Mapping[tuple[str, str], Mapping[str, Any]]


def kinds() -> list[type[Row]]:
    """Every table whose changes are told, in the order of their names."""
    mapped = SQLModel._sa_registry.mappers
    found = {m.class_ for m in mapped if issubclass(m.class_, Row) and m.class_.audited}
    return sorted(found, key=lambda kind: str(kind.__tablename__))


def faults(session: ReadSession) -> Iterator[str]:
    """The rows that are not as the trail tells them, and those it does not tell of."""
    trail = told(session)
    for kind in kinds():
        table = str(kind.__tablename__)
        try:
            yield from _of_table(session, kind, trail)
        except (ValueError, TypeError, DBAPIError):
            yield f"A row of {table} cannot even be read."
        session.expunge_all()


def _of_table(session: ReadSession, kind: type[Row], trail: Told) -> Iterator[str]:
    table = str(kind.__tablename__)
    said_of = {subject: said for (name, subject), said in trail.items() if name == table}
    singly = {subject: said for subject, said in said_of.items() if not _in_bulk(kind, said)}
    whole = len(singly) == len(said_of)
    seen = set()
    for row in session.exec(select(kind)) if whole else _with_keys(session, kind, singly):
        subject = subject_of(row)[:MOST]
        seen.add(subject)
        said = singly.get(subject)
        if not said:  # neither told of, nor told to be gone
            if whole and not _of_migration(kind, row, singly):
                yield f"{table} {subject} stands in the database, and no audit entry tells of it."
            continue
        now = values_of(row)
        for name in sorted(now.keys() & said.keys() - _FOLLOWS - kind.follows):
            if not _same(row, name, now[name], said[name]):
                yield (
                    f"{table} {subject}: {name} is {now[name]!r}; "
                    f"the audit trail says {said[name]!r}."
                )
    for subject, said in singly.items():
        if said and subject not in seen:
            yield f"{table} {subject} is told of by the audit trail, and is not there."


def _of_migration(kind: type[Row], row: Any, told_of: Collection[str]) -> bool:
    """Whether a row may be of a migration: it stood before the first of which the trail tells."""
    return kind.begun_by_migration and all(row.id < int(key) for key in told_of)


def _with_keys(session: ReadSession, kind: type[Row], keys: Iterable[str]) -> Iterator[Row]:
    """The rows of these keys; of a table of which most came at once, the others are left alone."""
    wanted = sorted(map(int, keys))
    for low in range(0, len(wanted), _AT_ONCE):
        part = wanted[low : low + _AT_ONCE]
        yield from session.exec(select(kind).where(col(kind.id).in_(part)))  # type: ignore[attr-defined]  # such a table has a key


def _in_bulk(kind: type[Row], said: Mapping[str, Any]) -> bool:
    """Whether this tells how many rows came at once; there is a table with a column of that name,
    but its rows are told with their keys."""
    return "rows" in said and "rows" not in _columns(kind)


def _same(row: Row, name: str, now: Any, said: Any) -> bool:
    if any(isinstance(each, str) and each in _WITHHELD for each in (said, now)):
        return True
    if now is None or said is None:
        return bool(now is said)
    if isinstance(_columns(type(row))[name].type, Scaled):
        return nine_places(Decimal(now)) == nine_places(Decimal(said))
    return bool(now == said)


def _columns(kind: type[Row]) -> Any:
    return kind.__table__.columns  # type: ignore[attr-defined]  # a mapped class has its table
