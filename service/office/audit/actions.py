"""Writing the trail: rows are watched as they are flushed, and sealed once, before the commit."""

from typing import Any

from sqlalchemy import event, insert, inspect
from sqlmodel import select

from service.office.audit._tables import AuditEntry, AuditHead, AuditLink
from service.office.audit.rules import FIRST, link_digest, plain_value
from service.store.columns import Row
from service.store.session import WriteSession

_HELD = "audit entries"
MOST = 60  # letters of a subject, as its column holds
Values = dict[str, Any]


def watch() -> None:
    """Have every flushed row of every writing session noted; safe to call twice."""
    if not event.contains(WriteSession, "before_flush", _before_flush):
        event.listen(WriteSession, "before_flush", _before_flush)
        event.listen(WriteSession, "after_flush", _after_flush)


def note(
    session: WriteSession, act: str, *, kind: str, subject: str, before: Any, after: Any
) -> None:
    """Note a change that does not pass through row objects (a bulk insert)."""
    entry = {"act": act, "kind": kind, "subject": subject[:MOST], "before": before, "after": after}
    session.info.setdefault(_HELD, []).append(entry)


def _audited(row: Any) -> bool:
    return isinstance(row, Row) and getattr(type(row), "audited", True)


def subject_of(row: Any) -> str:
    """What a reader calls the row, where that is unique in its table; else its key."""
    for name in ("code", "number", "public_id"):
        column = row.__table__.columns.get(name)
        if column is not None and column.unique:
            return str(getattr(row, name))
    key = inspect(row).mapper.primary_key_from_instance(row)
    return ",".join(str(part) for part in key)


def _shown(row: Any, name: str, value: Any) -> Any:
    column = row.__table__.columns[name]
    if value is not None and (column.info.get("personal") or name in getattr(row, "withheld", ())):
        return "withheld"
    return plain_value(value)


def values_of(row: Any) -> Values:
    """A whole row as the trail tells it."""
    return {c.name: _shown(row, c.name, getattr(row, c.name)) for c in row.__table__.columns}


def _changes(row: Any) -> tuple[Values, Values]:
    """What an update changes; a withheld value is logged as `changed`, never as itself."""
    before: Values = {}
    after: Values = {}
    for attribute in inspect(row).attrs:
        history = attribute.history
        if not history.has_changes():
            continue
        old = history.deleted[0] if history.deleted else None
        new = history.added[0] if history.added else None
        before[attribute.key] = _shown(row, attribute.key, old)
        after[attribute.key] = _shown(row, attribute.key, new)
        if after[attribute.key] == "withheld":
            after[attribute.key] = "changed"
    return before, after


def _before_flush(session: WriteSession, *_: Any) -> None:
    for row in session.dirty:
        if _audited(row) and session.is_modified(row):
            before, after = _changes(row)
            _hold(session, row, "changed", before=before, after=after)
    for row in session.deleted:
        if _audited(row):
            _hold(session, row, "deleted", before=values_of(row), after=None)


def _after_flush(session: WriteSession, *_: Any) -> None:
    for row in session.new:
        if _audited(row):
            _hold(session, row, "made", before=None, after=values_of(row))


def _hold(session: WriteSession, row: Any, act: str, *, before: Any, after: Any) -> None:
    kind = str(row.__table__.name)
    note(session, act, kind=kind, subject=subject_of(row), before=before, after=after)


def seal(session: WriteSession) -> None:
    """Append one chain link and its entries; called last, before the one commit."""
    held = session.info.pop(_HELD, [])
    if not held:
        return
    actor = session.actor
    common = {
        "at": session.now,
        "operation": actor.operation,
        "key": actor.key,
        "person": actor.person,
    }
    head = session.exec(select(AuditHead).with_for_update()).first()
    if head is None:
        head = AuditHead(id=1, number=0, digest=FIRST)
    rows = [{**common, "link": head.number + 1, **entry} for entry in held]
    chained = [{name: plain_value(value) for name, value in row.items()} for row in rows]
    digest = link_digest(head.digest, chained)
    link = AuditLink(number=head.number + 1, at=session.now, before=head.digest, digest=digest)
    head.number, head.digest = link.number, digest
    session.add_all([head, link])
    session.flush()  # entries point at the link
    session.execute(insert(AuditEntry), rows)
