"""What is read at the attachments desk."""

from collections.abc import Iterable

from sqlmodel import col, select

from service.office.attachments._tables import Attachment, Blob
from service.office.attachments.bodies import Attached, AttachmentLinks, AttachmentOut
from service.office.attachments.rules import (
    Kind,
    NoThumbnail,
    UnknownAttachment,
    address_of,
    name_of,
    tidy,
)
from service.store.lists import Listing
from service.store.session import ReadSession

LISTING = Listing(
    "attachments",
    Attachment,
    sorts=("entered_at",),
    default_sort="-entered_at",
    filters={"kind": Kind, "by": str},
    times=("entered_at",),
)


def find(session: ReadSession, digest: str) -> Attachment | None:
    return session.exec(select(Attachment).where(Attachment.digest == tidy(digest))).first()


def attachment(session: ReadSession, digest: str) -> Attachment:
    """Raises UnknownAttachment."""
    if (row := find(session, digest)) is None:
        raise UnknownAttachment(f"Nothing was sent as {name_of(digest[:64])} yet.")
    return row


def exists(session: ReadSession, digest: str) -> bool:
    """Whether the file of a digest was sent yet."""
    return name_of(digest) in here(session, [name_of(digest)])


def here(session: ReadSession, names: Iterable[str]) -> set[str]:
    """Those of the names whose file was sent, in one query."""
    digests = {name.removeprefix("sha256:") for name in names}
    found = session.exec(
        select(Attachment.digest).where(col(Attachment.digest).in_(sorted(digests)))
    )
    return {name_of(digest) for digest in found}


def attached(session: ReadSession, name: str | None) -> Attached | None:
    """An attachment as the record that names it shows it; None where it names none."""
    if name is None:
        return None
    return Attached(name=name, here=name in here(session, [name]), href=address_of(name))


def content(session: ReadSession, row: Attachment) -> bytes:
    """What is kept of it."""
    return _bytes(session, row.content)


def thumbnail(session: ReadSession, row: Attachment) -> bytes:
    """Raises NoThumbnail."""
    if row.thumbnail is None:
        raise NoThumbnail(f"{name_of(row.digest)} is a {row.kind}.")
    return _bytes(session, row.thumbnail)


def _bytes(session: ReadSession, sha256: str) -> bytes:
    return session.exec(select(Blob.body).where(Blob.sha256 == sha256)).one()


def summary(row: Attachment, *, new: bool) -> str:
    """What sending it did, in one line."""
    if not new:
        return f"The {row.kind} was here already; nothing was written."
    if row.kind == "certificate":
        return f"Certificate of {row.size:,} bytes kept as it is."
    return f"Photo kept upright at {row.width} × {row.height} px, without the camera's notes."


def shown(row: Attachment) -> AttachmentOut:
    here = address_of(name_of(row.digest))
    return AttachmentOut(
        name=name_of(row.digest),
        digest=row.digest,
        media_type=row.media_type,
        kind=row.kind,
        bytes=row.size,
        width=row.width,
        height=row.height,
        stored_sha256=row.content,
        by=row.by,
        entered_at=row.entered_at,
        links=AttachmentLinks(
            content=f"{here}/content",
            thumbnail=f"{here}/thumbnail" if row.thumbnail else None,
        ),
    )
