"""What changes at the document desk: a revision is added, a rendering replaced."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.metadata import version
from typing import Any

from service.office.documents import queries
from service.office.documents._tables import Document, Rendering
from service.office.documents.rules import Kind, freeze, rendering_tag
from service.store.session import WriteSession


@dataclass(frozen=True, slots=True)
class Form:
    """A rendering to be stored."""

    name: str
    media: str
    body: bytes


def freeze_revision(
    session: WriteSession,
    kind: Kind,
    subject: str,
    content: Mapping[str, Any],
    *,
    audit_head: str,
    by: str | None = None,
) -> Document:
    """Freeze the next revision of a document; the one before stays as it is.

    A content that states its own number asks `next_revision` for it first.
    """
    before = queries.latest(session, kind, subject)
    frozen = freeze(content)
    row = Document(
        kind=kind,
        subject=subject,
        revision=before.revision + 1 if before else 1,
        canonical=frozen.canonical,
        sha256=frozen.sha256,
        supersedes=before.row_id if before else None,
        made_at=session.now,
        made_by=by,
        service_version=_edition(),
        audit_head=audit_head,
    )
    session.add(row)
    session.flush()  # renderings and acts point at it
    return row


@functools.cache
def _edition() -> str:
    """Of the service that is running: read from its files once."""
    return version("kettlemark")


def next_revision(session: WriteSession, kind: Kind, subject: str) -> int:
    """The number that the next frozen revision will bear."""
    before = queries.latest(session, kind, subject)
    return before.revision + 1 if before else 1


def store_rendering(session: WriteSession, document: int, form: Form, *, status: str) -> Rendering:
    """Store a form under a status, replacing what stood there."""
    row = queries.rendering(session, document, form.name) or Rendering(
        document=document, form=form.name, status="", media="", body=b"", etag=""
    )
    row.status, row.media, row.body = status, form.media, form.body
    row.etag = rendering_tag(form.body, form.name)
    session.add(row)
    session.flush()  # the caller may serve it in the same request
    return row
