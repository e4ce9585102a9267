"""Delivery notes as they are shown."""

from collections.abc import Sequence

from sqlmodel import col, select

from service.store.lists import Listing
from service.store.session import ReadSession
from service.workshop.stock._tables import Lot, Receipt
from service.workshop.stock.bodies import LotOut, ReceiptOut
from service.workshop.stock.queries.lots import shown_lots
from service.workshop.stock.rules import UnknownReceipt

RECEIPTS = Listing(
    "receipts",
    Receipt,
    sorts=("number", "happened_at"),
    default_sort="-number",
    filters={"supplier": str},
    times=("happened_at",),
)


def receipt(session: ReadSession, number: str) -> Receipt:
    """Raises UnknownReceipt."""
    wanted = number.strip().upper()
    row = session.exec(select(Receipt).where(Receipt.number == wanted)).first()
    if row is None:
        raise UnknownReceipt(f"There is no receipt {number[:20]!r}.")
    return row


def lots_received(session: ReadSession, row: Receipt) -> list[Lot]:
    """The lots that came by a delivery note, in its order."""
    found = select(Lot).where(Lot.receipt == row.row_id, Lot.kind == "received")
    return list(session.exec(found.order_by(col(Lot.id))))


def shown_receipts(session: ReadSession, rows: Sequence[Receipt]) -> dict[int, ReceiptOut]:
    """Receipts by key with their lots, as they are shown."""
    wanted = col(Lot.receipt).in_([row.row_id for row in rows])
    lots = session.exec(select(Lot).where(wanted, Lot.kind == "received").order_by(col(Lot.id)))
    found = lots.all()
    shown = shown_lots(session, found)
    by_receipt: dict[int | None, list[LotOut]] = {}
    for lot in found:
        by_receipt.setdefault(lot.receipt, []).append(shown[lot.row_id])
    later = session.exec(
        select(Receipt).where(col(Receipt.corrects).in_([row.row_id for row in rows]))
    )
    corrections = {row.corrects: row.number for row in later}
    before = [row.corrects for row in rows if row.corrects is not None]
    earlier = session.exec(select(Receipt).where(col(Receipt.id).in_(before)))
    numbers = {row.row_id: row.number for row in earlier}
    return {
        row.row_id: ReceiptOut(
            receipt=row.number,
            from_=row.supplier,
            document=row.document,
            on=row.received_on,
            by=row.by,
            entered_at=row.entered_at,
            lots=by_receipt.get(row.row_id, []),
            corrects=numbers.get(row.corrects or 0),
            corrected_by=corrections.get(row.row_id),
            void=row.void,
            reason=row.reason,
        )
        for row in rows
    }


def shown_receipt(session: ReadSession, row: Receipt) -> ReceiptOut:
    return shown_receipts(session, [row])[row.row_id]
