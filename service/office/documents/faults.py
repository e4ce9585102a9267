"""What is wrong with the frozen documents and their stored forms, recomputed from their bytes."""

import hashlib
import json
from collections.abc import Collection, Iterator

from sqlmodel import col, select

from service.office.documents._tables import Document, Rendering
from service.office.documents.rules import freeze, rendering_tag
from service.store.session import ReadSession


def faults(session: ReadSession, links: Collection[str]) -> Iterator[str]:
    """Documents whose bytes, place in their row of revisions, or audit head do not hold; `links`
    are the digests of the chain."""
    before: Document | None = None
    found = select(Document).order_by(
        col(Document.kind), col(Document.subject), col(Document.revision)
    )
    for row in session.exec(found.execution_options(yield_per=100)):
        name = f"{row.kind} {row.subject}, revision {row.revision}"
        if hashlib.sha256(row.canonical).hexdigest() != row.sha256:
            yield f"The bytes of {name} do not give its digest."
        elif not _canonical(row.canonical):
            yield f"The bytes of {name} are not in the canonical form."
        same = before is not None and (before.kind, before.subject) == (row.kind, row.subject)
        earlier = before if same else None
        place = (earlier.revision + 1, earlier.row_id) if earlier else (1, None)
        if (row.revision, row.supersedes) != place:
            yield f"{name} does not follow the revision before it."
        if row.audit_head not in links:
            yield f"{name} names a head of the audit chain that never was."
        before = row


def _canonical(held: bytes) -> bool:
    try:
        return freeze(json.loads(held)).canonical == held
    except ValueError:
        return False


def stored_forms(session: ReadSession) -> Iterator[str]:
    """Renderings whose bytes are not those that were stored."""
    found = select(Rendering).order_by(col(Rendering.id)).execution_options(yield_per=100)
    for row in session.exec(found):
        if row.etag != rendering_tag(row.body, row.form):
            yield f"The {row.form} form of document {row.document} is not as it was stored."
