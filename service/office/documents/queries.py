"""What is read at the document desk."""

import json
from typing import Any

from sqlmodel import col, select

from service.office.documents._tables import Document as Document
from service.office.documents._tables import Rendering
from service.office.documents.rules import Kind, UnknownDocument
from service.store.session import ReadSession


def latest(session: ReadSession, kind: Kind, subject: str) -> Document | None:
    """The newest revision, or None where nothing was frozen."""
    return session.exec(
        select(Document)
        .where(Document.kind == kind, Document.subject == subject)
        .order_by(col(Document.revision).desc())
        .limit(1)
    ).first()


def revision(session: ReadSession, kind: Kind, subject: str, number: int | None) -> Document:
    """A revision, the newest for None. Raises UnknownDocument."""
    if number is None:
        found = latest(session, kind, subject)
    else:
        found = session.exec(
            select(Document).where(
                Document.kind == kind, Document.subject == subject, Document.revision == number
            )
        ).first()
    if found is None:
        which = "yet" if number is None else f"with the number {number}"
        raise UnknownDocument(f"No {kind} of {subject} was frozen {which}.")
    return found


def revisions(session: ReadSession, kind: Kind, subject: str) -> list[int]:
    """The numbers of all revisions, rising."""
    found = session.exec(
        select(Document.revision)
        .where(Document.kind == kind, Document.subject == subject)
        .order_by(col(Document.revision))
    )
    return list(found)


def content(row: Document) -> dict[str, Any]:
    """The frozen content, read back from its bytes."""
    found: dict[str, Any] = json.loads(row.canonical)
    return found


def rendering(session: ReadSession, document: int, form: str) -> Rendering | None:
    """A stored form of a document."""
    return session.exec(
        select(Rendering).where(Rendering.document == document, Rendering.form == form)
    ).first()
