"""What is read of the audit trail."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import select as sql_select
from sqlmodel import col, select

from service.office.audit._tables import AuditEntry, AuditHead
from service.office.audit.bodies import AuditEntryOut
from service.office.audit.rules import FIRST
from service.store.lists import Ask, Listing, every
from service.store.session import ReadSession


@dataclass(frozen=True)
class _Entries(Listing[AuditEntry]):
    """Shown and asked for under the names of the answer, not under those of the columns."""

    def column(self, name: str) -> Any:
        return super().column({"by": "person", "key_id": "key"}.get(name, name))


LISTING = _Entries(
    "audit-entries",
    AuditEntry,
    sorts=("at", "link"),
    default_sort="-at",
    filters={
        "operation": str,
        "kind": str,
        "subject": str,
        "act": Literal["made", "changed", "deleted"],
        "by": str,
        "key_id": str,
    },
    times=("at",),
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


def in_order(session: ReadSession, ask: Ask) -> Iterator[AuditEntryOut]:
    """All entries asked for, in the order of the chain."""
    return (shown(row) for row in every(session, LISTING, replace(ask, sort="link")))


def told_of(session: ReadSession, kind: str) -> Iterator[tuple[datetime, str, dict[str, Any]]]:
    """All that the trail tells of one table, in its order: when, the act, and how it is since."""
    columns = (col(AuditEntry.at), col(AuditEntry.act), col(AuditEntry.after))
    found = sql_select(*columns).where(col(AuditEntry.kind) == kind).order_by(col(AuditEntry.id))
    for at, act, after in session.execute(found):
        yield at, act, after or {}


def head(session: ReadSession) -> tuple[int, str]:
    """The number and digest of the newest link."""
    row = session.exec(select(AuditHead)).first()
    return (row.number, row.digest) if row else (0, FIRST)
