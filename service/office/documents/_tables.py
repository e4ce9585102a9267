"""Rows of the document desk; only renderings are ever replaced."""

from datetime import datetime

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from service.store.columns import Instant, Numbered


class Document(Numbered, table=True):
    """One frozen revision."""

    __tablename__ = "documents"
    __table_args__ = (UniqueConstraint("kind", "subject", "revision"),)

    kind: str = Field(max_length=20, index=True)
    subject: str = Field(max_length=60, index=True)
    revision: int
    canonical: bytes
    sha256: str = Field(max_length=64, index=True)
    supersedes: int | None = Field(default=None, foreign_key="documents.id")
    made_at: datetime = Field(sa_type=Instant)
    made_by: str | None = Field(default=None, max_length=20)
    service_version: str = Field(max_length=20)
    audit_head: str = Field(max_length=64)


class Rendering(Numbered, table=True):
    """A form of a document as it stands under the present status."""

    __tablename__ = "renderings"
    __table_args__ = (UniqueConstraint("document", "form"),)

    document: int = Field(foreign_key="documents.id", index=True)
    form: str = Field(max_length=12)
    status: str = Field(max_length=20)
    media: str = Field(max_length=60)
    body: bytes
    etag: str = Field(max_length=80)
