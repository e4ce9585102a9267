"""What changes with sheets: a revision is published, its forms are set anew."""

from service.office.audit.queries import head
from service.office.documents import actions as documents
from service.office.documents.actions import Form
from service.office.documents.queries import Document, content
from service.office.documents.queries import revision as frozen
from service.office.workshop_card.queries import today
from service.science.check_characters import compact
from service.store.session import WriteSession
from service.workshop.lots import queries as lots
from service.workshop.sheets import queries
from service.workshop.sheets._tables import Published
from service.workshop.sheets.assemble import public_sheet
from service.workshop.sheets.renderings import KINDS
from service.workshop.sheets.rules import Status
from service.workshop.stock.queries import Lot


def publish(session: WriteSession, lot: Lot, by: str | None) -> Document:
    """Freeze the next revision of a lot's sheet and store its forms. Raises NotPacked."""
    number = documents.next_revision(session, "lot-sheet", lot.number)
    document = documents.freeze_revision(
        session,
        "lot-sheet",
        lot.number,
        public_sheet(session, lot, revision=number),
        audit_head=head(session)[1],
        by=by,
    )
    row = _published(session, lot, document)
    rerender(session, lot, queries.status(session, row, document))
    return document


def _published(session: WriteSession, lot: Lot, document: Document) -> Published:
    row = queries.find(session, lot.number) or Published(
        number=lot.number,
        compact=compact(lot.number),
        lot=lot.row_id,
        bulk=compact(lots.bulk_of(session, lot).number),
        product=lot.product or "",
        pack=lot.pack or "",
        document=document.row_id,
        sold_from=today(session),
        checked_on=today(session),
    )
    row.document, row.checked_on = document.row_id, today(session)
    session.add(row)
    session.flush()  # its status is read back below
    return row


def rerender(session: WriteSession, lot: Lot, status: Status) -> None:
    """Set every form of the newest sheet anew under a status; the frozen bytes stay."""
    document = frozen(session, "lot-sheet", lot.number, None)
    for kind in KINDS.values():
        form = Form(kind.name, kind.media, kind.make(content(document), status))
        documents.store_rendering(session, document.row_id, form, status=status.state)


def refresh(session: WriteSession, lot: Lot) -> None:
    """Set the stored forms of a lot anew where it is published and its status has moved on."""
    row = queries.find(session, lot.number)
    document = queries.latest(session, lot.number)
    if row is not None and document is not None:
        rerender(session, lot, queries.status(session, row, document))
