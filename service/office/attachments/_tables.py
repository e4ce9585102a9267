"""Rows of the attachments desk; what was sent once is never changed."""

from datetime import datetime

from sqlmodel import Field

from service.store.columns import Instant, Numbered, Row


class Blob(Row, table=True):
    """Bytes under their digest, apart from what is told of them: a list reads no photo."""

    __tablename__ = "blobs"

    sha256: str = Field(primary_key=True, max_length=64)
    size: int
    body: bytes


class Attachment(Numbered, table=True):
    """A file that was sent: its name is the digest of what was sent, not of what is kept."""

    __tablename__ = "attachments"

    digest: str = Field(max_length=64, unique=True)
    media_type: str = Field(max_length=40)
    size: int
    kind: str = Field(max_length=12)  # photo | certificate
    width: int | None = None
    height: int | None = None
    content: str = Field(max_length=64, foreign_key="blobs.sha256")
    thumbnail: str | None = Field(default=None, max_length=64, foreign_key="blobs.sha256")
    by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    entered_at: datetime = Field(sa_type=Instant, index=True)
