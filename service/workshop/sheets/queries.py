"""What is read of sheets: by number as a tired person types it, and in its present state."""

from typing import Any

from sqlmodel import col, select

from service.errors import NotFound
from service.office.documents import queries as documents
from service.office.documents.queries import Document
from service.press import html
from service.science.check_characters import compact, near
from service.store.records import corrected_by
from service.store.session import ReadSession
from service.workshop.labels.elements import day_of
from service.workshop.labels.rules import differences
from service.workshop.lots import queries as lots
from service.workshop.materials.queries import figure_numbered
from service.workshop.panels.queries import readings_of
from service.workshop.sheets._tables import Published as Published
from service.workshop.sheets.assemble import contents_as_told, oil_to_resin, public_sheet
from service.workshop.sheets.bodies import SheetDraft
from service.workshop.sheets.renderings import KINDS, in_order
from service.workshop.sheets.rules import (
    Days,
    Status,
    at_address,
    named_days,
    named_figures,
    named_ratio,
    named_readings,
    said_of_unknown,
    state_of,
)
from service.workshop.stock.queries import Lot, lot_by_id
from service.workshop.stock.rules import MistypedLot, UnknownLot, mistyped, read_as

MOST_MEANT = 3


def latest(session: ReadSession, lot_number: str) -> Document | None:
    """The newest frozen sheet of a lot."""
    return documents.latest(session, "lot-sheet", lot_number)


def find(session: ReadSession, typed: str) -> Published | None:
    """A published packed lot by its number in any spelling."""
    return session.exec(select(Published).where(Published.compact == compact(typed))).first()


def published(session: ReadSession, typed: str) -> Published:
    """As `find`. Raises UnknownLot, MistypedLot, naming published lots only."""
    if (row := find(session, typed)) is None:
        raise unknown(session, typed)
    return row


def bulk_number(session: ReadSession, row: Published) -> str:
    """The number of the bulk lot that a published lot was filled from."""
    return lots.bulk_of(session, lot_by_id(session, row.lot)).number


def filled_from(session: ReadSession, typed: str) -> list[Published]:
    """The published packed lots that were filled from a bulk lot."""
    found = select(Published).where(Published.bulk == compact(typed))
    return list(session.exec(found.order_by(col(Published.number))))


def every(session: ReadSession) -> list[Published]:
    """All published lots, the newest first."""
    return list(session.exec(select(Published).order_by(col(Published.id).desc())))


def unknown(session: ReadSession, typed: str) -> NotFound:
    """The refusal of a number that the public cannot be shown; it names published lots only."""
    slips = {compact(slip): place for place, slip in enumerate(near(typed))}
    rows = session.exec(select(Published).where(col(Published.compact).in_(slips))).all()
    meant = [row.number for row in sorted(rows, key=lambda row: slips[row.compact])]
    more = {"read_as": read_as(typed), "did_you_mean": meant[:MOST_MEANT]}
    kind = MistypedLot if mistyped(typed) else UnknownLot
    return kind(said_of_unknown(typed), more=more)


def status(session: ReadSession, row: Published, document: Document) -> Status:
    """How a published lot stands now, whatever stood when its forms were stored."""
    lot = lot_by_id(session, row.lot)
    corrected = _corrected(session, lot, documents.content(document))
    state = state_of(quality(session, lot), corrected=corrected)
    return Status(state, row.sold_from, row.checked_on)


def quality(session: ReadSession, lot: Lot) -> str:
    """The quality of what is in a jar: its own, or that of its kettle where that is no longer
    released."""
    return lots.bulk_of(session, lot).quality if lot.quality == "released" else lot.quality


def _corrected(session: ReadSession, lot: Lot, content: dict[str, Any]) -> bool:
    """Whether an entry that the sheet names no longer stands, or its weighings say otherwise."""
    bulk = lots.bulk_of(session, lot)
    if named_days(content) != _days(session, lot, bulk):
        return True
    standing = {one.number for one in readings_of(session, {lot.row_id, bulk.row_id})}
    if named_readings(content) - standing:
        return True
    figures = (figure_numbered(session, number) for number in named_figures(content))
    if any(figure.void or corrected_by(session, figure) is not None for figure in figures):
        return True
    if (ratio := named_ratio(content)) is not None and ratio != oil_to_resin(session, bulk):
        return True
    if (told := content["contents"]) is None:
        return False
    return bool(told != contents_as_told(session, bulk, told))


def _days(session: ReadSession, lot: Lot, bulk: Lot) -> Days:
    """When it was made and filled, as it stands now."""
    fill = lots.fill_of(session, lot)
    made = bulk.made_on.isoformat() if bulk.made_on else None
    return made, day_of(session, fill.happened_at) if fill else None


def served(session: ReadSession, row: Published, form: str, *, address: str) -> bytes:
    """A form of the newest sheet: the stored one, or set anew where the status has moved on."""
    document = documents.revision(session, "lot-sheet", row.number, None)
    now = status(session, row, document)
    stored = documents.rendering(session, document.row_id, form)
    dressed = stored is not None and (form != "html" or html.is_current(stored.body))
    if stored is not None and dressed and stored.status == now.state:
        return at_address(stored.body, address)
    return at_address(KINDS[form].make(documents.content(document), now), address)


def frozen_bytes(session: ReadSession, row: Published, number: int) -> Document:
    """A frozen revision of a published sheet. Raises UnknownDocument."""
    return documents.revision(session, "lot-sheet", row.number, number)


def draft(session: ReadSession, lot: Lot) -> SheetDraft:
    """The sheet as it would be frozen now, beside what was. Raises NotPacked."""
    held = documents.revisions(session, "lot-sheet", lot.number)
    drawn = public_sheet(session, lot, revision=len(held) + 1)
    before = latest(session, lot.number)
    ignored = {"revision", "published_on"}
    differs = differences(drawn, documents.content(before)) if before else []
    return SheetDraft(
        **drawn,
        draft=True,
        sha256=None,
        frozen=held,
        differs_from_frozen=[name for name in differs if name not in ignored],
    )


def revision(session: ReadSession, lot: Lot, number: int | None) -> SheetDraft:
    """A frozen revision, the newest for None. Raises UnknownDocument."""
    document = documents.revision(session, "lot-sheet", lot.number, number)
    return SheetDraft(
        **in_order(documents.content(document)),
        draft=False,
        sha256=document.sha256,
        frozen=documents.revisions(session, "lot-sheet", lot.number),
        differs_from_frozen=[],
    )
