"""What is read of the audit trail."""

from sqlmodel import col, select

from service.office.audit._tables import AuditEntry, AuditHead, AuditLink
from service.office.audit.bodies import AuditEntryOut
from service.office.audit.rules import FIRST, link_digest, plain_value
from service.store.lists import Listing
from service.store.session import ReadSession

LISTING = Listing(
    "audit-entries",
    AuditEntry,
    sorts=("at",),
    default_sort="-at",
    filters={"operation": str, "kind": str, "subject": str, "act": str},
    times=("at",),
)
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


def shown(row: AuditEntry) -> AuditEntryOut:
    return AuditEntryOut(
        link=row.link,
        at=row.at,
        operation=row.operation,
        key_id=row.key,
        by=row.person,
        act=row.act,
        kind=row.kind,
        subject=row.subject,
        before=row.before,
        after=row.after,
    )


def head(session: ReadSession) -> tuple[int, str]:
    """The number and digest of the newest link."""
    row = session.exec(select(AuditHead)).first()
    return (row.number, row.digest) if row else (0, FIRST)


def first_break(session: ReadSession) -> int | None:
    """The first link that does not follow from its entries, or None while the chain holds."""
    last, newest = head(session)
    before = FIRST
    for number in range(1, last + 1):
        try:
            after = _follows(session, number, before)
        except ValueError:  # what stands in a row cannot even be read
            return number
        if after is None:
            return number
        before = after
    if before != newest:
        return last
    beyond = select(AuditLink.number).where(AuditLink.number > last).limit(1)
    return None if session.exec(beyond).first() is None else last + 1


def _follows(session: ReadSession, number: int, before: str) -> str | None:
    """The digest of a link that follows from the one before and from its own entries."""
    link = session.get(AuditLink, number)
    if link is None or link.before != before:
        return None
    of_link = select(AuditEntry).where(AuditEntry.link == number).order_by(col(AuditEntry.id))
    rows = session.exec(of_link).all()
    chained = [{name: plain_value(getattr(row, name)) for name in _CHAINED} for row in rows]
    in_time = all(row.at == link.at for row in rows)
    return link.digest if in_time and link_digest(before, chained) == link.digest else None
