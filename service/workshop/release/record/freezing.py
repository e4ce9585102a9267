"""When a batch record is frozen: at completion, and when a lot filled from it is released."""

from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.office.documents.queries import Document
from service.store.session import WriteSession
from service.workshop.batches import queries as batches
from service.workshop.batches.actions.ending.completion import take_completed
from service.workshop.batches.queries import Batch
from service.workshop.batches.rules import UnknownBatch
from service.workshop.release.record.record import KIND, content
from service.workshop.stock.queries import Lot


def freeze_completed(session: WriteSession) -> None:
    """Freeze the records of the batches that this transaction completed: last of all, so that
    they hold whatever else it wrote."""
    for code, by in take_completed(session):
        _freeze(session, batches.batch(session, code), by)


def freeze_of_lot(session: WriteSession, bulk: Lot, by: str | None) -> Document | None:
    """Freeze the next revision of the record of the batch that made a lot, if one did."""
    try:
        batch = batches.batch(session, bulk.number)
    except UnknownBatch:
        return None
    return _freeze(session, batch, by)


def _freeze(session: WriteSession, batch: Batch, by: str | None) -> Document:
    return freeze_revision(
        session, KIND, batch.code, content(session, batch), audit_head=head(session)[1], by=by
    )
