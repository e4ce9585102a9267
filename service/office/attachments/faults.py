"""What is wrong with attachments: bytes that are not those of their digest."""

import hashlib
from collections.abc import Iterator

from sqlmodel import col, select

from service.office.attachments._tables import Blob
from service.store.session import ReadSession


def faults(session: ReadSession) -> Iterator[str]:
    for key in session.exec(select(Blob.sha256).order_by(col(Blob.sha256))).all():
        row = session.get(Blob, key)
        if row is None or hashlib.sha256(row.body).hexdigest() != key:
            yield f"The bytes of the attachment kept as {key} do not give that digest."
        session.expunge_all()
