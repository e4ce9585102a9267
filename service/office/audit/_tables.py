"""Rows of the audit trail; nothing in the service updates or deletes them."""

from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import JSON, Column
from sqlmodel import Field

from service.store.columns import Instant, Numbered, Row


class AuditLink(Row, table=True):
    """One transaction: its entries' digest, chained to the link before."""

    __tablename__ = "audit_links"
    audited: ClassVar[bool] = False

    number: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    at: datetime = Field(sa_type=Instant)
    before: str = Field(max_length=64)
    digest: str = Field(max_length=64)


class AuditHead(Row, table=True):
    """The one row that writers lock to append: the newest link."""

    __tablename__ = "audit_head"
    audited: ClassVar[bool] = False

    id: int = Field(primary_key=True)
    number: int
    digest: str = Field(max_length=64)


class AuditEntry(Numbered, table=True):
    """One changed row."""

    __tablename__ = "audit_entries"
    audited: ClassVar[bool] = False

    link: int = Field(foreign_key="audit_links.number", index=True)
    at: datetime = Field(sa_type=Instant, index=True)
    operation: str = Field(max_length=60, index=True)
    key: str | None = Field(default=None, max_length=20, index=True)
    person: str | None = Field(default=None, max_length=20, index=True)
    act: str = Field(max_length=8)
    kind: str = Field(max_length=40, index=True)
    subject: str = Field(max_length=60, index=True)
    before: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON))
    after: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON))
