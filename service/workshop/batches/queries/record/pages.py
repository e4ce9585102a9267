"""Pages as they were entered, with the photo of the paper."""

from collections.abc import Sequence

from sqlmodel import col, select

from service.office.attachments.queries import attached
from service.store.lists import Listing
from service.store.records import UnknownEntry, corrections_of
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch
from service.workshop.batches._tables import Page as Page
from service.workshop.batches.bodies.pages import PageOut
from service.workshop.batches.queries.record.shown import about

LISTING = Listing("pages", Page, sorts=("id", "happened_at"), default_sort="id")


def page(session: ReadSession, batch: Batch, number: int) -> Page:
    """A page of a batch as it was last corrected. Raises UnknownEntry."""
    found = select(Page).where(Page.batch == batch.row_id, Page.page == number)
    row = session.exec(found.order_by(col(Page.id).desc()).limit(1)).first()
    if row is None:
        raise UnknownEntry(f"{batch.code} has no page {number}.")
    return row


def shown(session: ReadSession, rows: Sequence[Page], batch: Batch) -> dict[int, PageOut]:
    """Pages by key as they are shown."""
    later = corrections_of(session, rows)
    return {row.row_id: _shown(session, row, batch, later.get(row.row_id)) for row in rows}


def _shown(session: ReadSession, row: Page, batch: Batch, later: int | None) -> PageOut:
    return PageOut(
        batch=batch.code,
        page=row.page,
        photo=attached(session, row.photo),
        by=row.by,
        happened_at=row.happened_at,
        about=about(row.about_seconds),
        entered_at=row.entered_at,
        corrects=row.corrects,
        corrected_by=later,
        void=row.void,
        reason=row.reason,
    )
