"""What is wrong with the trail: recomputed from its first link, and held against the rows."""

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Text, cast
from sqlalchemy import select as sql_select
from sqlalchemy.exc import DBAPIError
from sqlmodel import col, func, select

from service.office.audit._tables import AuditEntry, AuditLink
from service.office.audit.queries import head
from service.office.audit.rules import FIRST, link_digest, plain_value
from service.store.session import ReadSession

_STEP = 200  # links read at once
_CHAINED = (
    "at",
    "operation",
    "key",
    "person",
    "link",
    "act",
    "kind",
    "subject",
    "before",
    "after",
)
Raw = tuple[str, str, str]  # at, before and after as the database holds them
Entry = tuple[AuditEntry, Raw]


@dataclass(frozen=True, slots=True)
class Break:
    """The first link that does not follow, and why."""

    link: int
    why: str

    def __str__(self) -> str:
        return f"link {self.link}: {self.why}"


@dataclass
class _Reader:
    """Reads links with their entries; the key of the last entry read shows whether one is gone."""

    session: ReadSession
    exact: bool  # whether keys have no gaps and times are texts, as on SQLite
    last_id: int = 0

    def held(self, low: int, high: int) -> dict[int, tuple[AuditLink, str, list[Entry]]]:
        """Links low to high, each with its time as written and its entries with theirs."""
        links = self.session.execute(
            sql_select(AuditLink, cast(AuditLink.at, Text).label("written")).where(
                col(AuditLink.number).between(low, high)
            )
        )
        columns = (AuditEntry.at, AuditEntry.before, AuditEntry.after)
        texts = (cast(each, Text).label(f"text_{place}") for place, each in enumerate(columns))
        found = self.session.execute(
            sql_select(AuditEntry, *texts)
            .where(col(AuditEntry.link).between(low, high))
            .order_by(col(AuditEntry.id))
        )
        entries: dict[int, list[Entry]] = defaultdict(list)
        for row, *raw in found:
            entries[row.link].append((row, (raw[0], raw[1], raw[2])))
        return {link.number: (link, at, entries[link.number]) for link, at in links}

    def wrong(self, link: AuditLink, at: str, entries: Sequence[Entry]) -> str:
        """What is wrong with a link and its entries but the digest; empty for nothing."""
        if not entries:
            return "it has no entries"
        if self.exact and at != _written(link.at):
            return f"its time is written {at!r}"
        for place, (entry, raw) in enumerate(entries):
            # Within a link keys have no gaps anywhere; on SQLite there are none at all.
            if (self.exact or place) and entry.row_id != self.last_id + 1:
                return f"entry {entry.row_id} does not follow entry {self.last_id}"
            self.last_id = entry.row_id
            if entry.at != link.at or (self.exact and raw[0] != _written(entry.at)):
                return f"entry {entry.row_id} has another time"
            if raw[1:] != (json.dumps(entry.before), json.dumps(entry.after)):
                return f"entry {entry.row_id} is not written as the service writes"
        return ""


def _written(at: Any) -> str:
    """A time as an SQLite column holds it."""
    return str(at.strftime("%Y-%m-%d %H:%M:%S.%f"))


def first_break(session: ReadSession) -> Break | None:
    """The first link that does not follow from its entries, or None while the chain holds."""
    exact = session.connection().dialect.name == "sqlite"
    try:
        last, newest = head(session)
        reader, before = _Reader(session, exact), FIRST
        for low in range(1, last + 1, _STEP):
            before = _follow(reader, low, min(low + _STEP - 1, last), before=before)
        return _at_the_end(session, last, newest, before=before)
    except _Broken as found:
        return found.broken


class _Broken(Exception):
    def __init__(self, link: int, why: str) -> None:
        super().__init__(why)
        self.broken = Break(link, why)


def _follow(reader: _Reader, low: int, high: int, *, before: str) -> str:
    """The digest of the last of these links. Raises _Broken at the first that does not follow."""
    try:
        held = reader.held(low, high)
    except (ValueError, TypeError, DBAPIError):
        if low == high:
            raise _Broken(low, "an entry of it cannot even be read") from None
        for number in range(low, high + 1):  # one of them; those before it may still be sound
            before = _follow(reader, number, number, before=before)
        return before
    for number in range(low, high + 1):
        if number not in held:
            raise _Broken(number, "it is not there")
        before = _checked(reader, *held[number], before=before)
    reader.session.expunge_all()
    return before


def _checked(
    reader: _Reader, link: AuditLink, at: str, entries: Sequence[Entry], *, before: str
) -> str:
    """The digest of a link that follows. Raises _Broken."""
    if link.before != before:
        raise _Broken(link.number, "it does not name the digest of the link before it")
    if wrong := reader.wrong(link, at, entries):
        raise _Broken(link.number, wrong)
    rows = [{name: plain_value(getattr(row, name)) for name in _CHAINED} for row, _ in entries]
    if link_digest(before, rows) != link.digest:
        first, last = entries[0][0].row_id, entries[-1][0].row_id
        raise _Broken(link.number, f"entries {first} to {last} do not give its digest")
    return link.digest


def _at_the_end(session: ReadSession, last: int, newest: str, *, before: str) -> Break | None:
    if before != newest:
        return Break(last, "the head of the chain names another digest")
    beyond = select(func.min(AuditLink.number)).where(AuditLink.number > last)
    if (extra := session.exec(beyond).first()) is not None:
        return Break(extra, "it stands beyond the head of the chain")
    astray = select(AuditEntry.id).where((AuditEntry.link > last) | (AuditEntry.link < 1))
    if (entry := session.exec(astray).first()) is not None:
        return Break(last, f"entry {entry} belongs to no link")
    return None


def faults(session: ReadSession) -> Iterator[str]:
    """What is wrong with the chain itself."""
    if (broken := first_break(session)) is not None:
        yield f"The audit chain breaks at {broken}."


def digests(session: ReadSession) -> frozenset[str]:
    """Of every link, and the one before the first."""
    return frozenset({FIRST, *session.exec(select(AuditLink.digest))})


def told(session: ReadSession) -> Mapping[tuple[str, str], dict[str, Any]]:
    """Each row as the trail tells it last, by table and subject; empty where it was deleted."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    columns = (col(getattr(AuditEntry, name)) for name in ("kind", "subject", "act", "after"))
    rows = session.execute(sql_select(*columns).order_by(col(AuditEntry.id)))
    for kind, subject, act, after in rows:
        key = (kind, subject)
        if act == "changed":
            found[key] = {**found.get(key, {}), **(after or {})}
        else:
            found[key] = dict(after or {})
    return found
