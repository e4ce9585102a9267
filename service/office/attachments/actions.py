"""What happens at the attachments desk: a file is opened, then kept under its name, once."""

from sqlmodel import select

from service.office.attachments import queries
from service.office.attachments._tables import Attachment, Blob
from service.office.attachments.pictures import redrawn
from service.office.attachments.rules import (
    CERTIFICATE,
    Opened,
    check_certificate,
    check_named,
    sha256,
    tidy,
)
from service.store.session import WriteSession


def open_file(digest: str, media_type: str, body: bytes) -> Opened:
    """What will be kept of a file; asks no database, so that nobody waits while a photo is drawn.

    Raises Invalid, DigestMismatch, BrokenFile, TooManyPixels.
    """
    digest = tidy(digest)
    check_named(digest, body)
    if media_type == CERTIFICATE:
        check_certificate(body)
        return Opened(digest, media_type, len(body), kind="certificate", content=body)
    picture = redrawn(media_type, body)
    return Opened(
        digest,
        media_type,
        len(body),
        kind="photo",
        content=picture.content,
        thumbnail=picture.thumbnail,
        width=picture.width,
        height=picture.height,
    )


def keep(session: WriteSession, opened: Opened) -> tuple[Attachment, bool]:
    """The row of a file, and whether it is new: what is here already is not written again."""
    if (row := queries.find(session, opened.digest)) is not None:
        return row, False
    row = Attachment(
        digest=opened.digest,
        media_type=opened.media_type,
        size=opened.size,
        kind=opened.kind,
        width=opened.width,
        height=opened.height,
        content=_store(session, opened.content),
        thumbnail=None if opened.thumbnail is None else _store(session, opened.thumbnail),
        by=session.actor.person,
        entered_at=session.now,
    )
    session.add(row)
    return row, True


def _store(session: WriteSession, body: bytes) -> str:
    """The digest under which the bytes stand; two files may come out as the same picture."""
    digest = sha256(body)
    if session.exec(select(Blob.sha256).where(Blob.sha256 == digest)).first() is None:
        session.add(Blob(sha256=digest, size=len(body), body=body))
        session.flush()  # the attachment points at it
    return digest
