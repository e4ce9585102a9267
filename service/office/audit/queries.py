"""What is read of the audit trail."""

from itertools import groupby
from typing import Any

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
    entries: dict[int, list[Any]] = {
        link: list(rows)
        for link, rows in groupby(
            session.exec(select(AuditEntry).order_by(col(AuditEntry.id))), lambda row: row.link
        )
    }
    before = FIRST
    for link in session.exec(select(AuditLink).order_by(col(AuditLink.number))):
        rows = [
            {name: plain_value(getattr(row, name)) for name in _CHAINED}
            for row in entries.get(link.number, [])
        ]
        if link.before != before or link_digest(before, rows) != link.digest:
            return link.number
        before = link.digest
    return None
