"""Rows of the key desk."""

from datetime import datetime
from typing import ClassVar

from sqlmodel import Field

from service.store.columns import Codes, Instant, Numbered


class ApiKey(Numbered, table=True):
    """A key; only the digest of its secret is kept."""

    __tablename__ = "keys"
    withheld: ClassVar[frozenset[str]] = frozenset({"digest"})

    public_id: str = Field(max_length=8, unique=True)
    name: str = Field(max_length=80)
    digest: str = Field(max_length=64)
    scopes: tuple[str, ...] = Field(sa_type=Codes)
    person: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    created_at: datetime = Field(sa_type=Instant)
    expires_at: datetime | None = Field(default=None, sa_type=Instant)
    revoked_at: datetime | None = Field(default=None, sa_type=Instant)
