"""What is wrong with top-ups: parts, lines of the ledger and origins that do not agree."""

from collections.abc import Iterator, Sequence

from sqlmodel import col, select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.stock._tables import Edge, Lot, Movement, TopUp, TopUpPart
from service.workshop.stock.queries import lot_by_id, parts_of


def faults(session: ReadSession) -> Iterator[str]:
    rows = session.exec(select(TopUp).where(standing(TopUp)).order_by(col(TopUp.id))).all()
    parts = parts_of(session, rows)
    for row in rows:
        yield from _made(session, row, parts[row.row_id])
        for part in parts[row.row_id]:
            yield from _part(session, row, part)


def _made(session: ReadSession, row: TopUp, parts: Sequence[TopUpPart]) -> Iterator[str]:
    made, total = lot_by_id(session, row.made), sum(part.amount for part in parts)
    if made.amount_in != total:
        yield f"The lot {made.number} was made of {total}, and says {made.amount_in}."
    if not _says(session.get(Movement, row.movement), made, total):
        yield f"M-{row.movement} does not bring the {total} of which {made.number} was made."


def _part(session: ReadSession, row: TopUp, part: TopUpPart) -> Iterator[str]:
    made, lot = lot_by_id(session, row.made), lot_by_id(session, part.lot)
    if not _says(session.get(Movement, part.movement), lot, -part.amount):
        yield f"M-{part.movement} does not take the {part.amount} of {lot.number} out."
    back = part.booked_back
    if back is not None and not _says(session.get(Movement, back), lot, part.amount):
        yield f"M-{back} does not book {part.amount} of {lot.number} back."
    edge = session.get(Edge, {"parent": part.lot, "child": row.made})
    if edge is None or edge.amount != part.amount:
        yield f"{made.number} was made of {part.amount} of {lot.number}; its origins say otherwise."


def _says(line: Movement | None, lot: Lot, amount: int) -> bool:
    return line is not None and (line.lot, line.amount) == (lot.row_id, amount)
