"""What is wrong with lots and their ledger: numbers, amounts and origins that do not follow."""

from collections.abc import Iterator

from sqlalchemy import func
from sqlmodel import col, select

from service.science.check_characters import compact
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.stock import top_up_faults
from service.workshop.stock._tables import Edge, Lot, Movement
from service.workshop.stock.rules import QUALITIES


def faults(session: ReadSession) -> Iterator[str]:
    yield from _lots(session)
    yield from _received(session)
    yield from _reversed(session)
    yield from _edges(session)
    yield from top_up_faults.faults(session)


def _lots(session: ReadSession) -> Iterator[str]:
    for row in session.exec(select(Lot).order_by(col(Lot.id))):
        if row.compact != compact(row.number):
            yield f"The lot {row.number} is found as {row.compact}."
        if row.quality not in QUALITIES:
            yield f"The lot {row.number} is of no known quality: {row.quality!r}."


def _received(session: ReadSession) -> Iterator[str]:
    """What came of a lot is what its price is for."""
    came = dict(
        session.exec(
            select(Movement.lot, func.sum(Movement.amount))
            .where(Movement.cause == "receipt", standing(Movement))
            .group_by(col(Movement.lot))
        ).all()
    )
    for row in session.exec(select(Lot).where(Lot.kind == "received")):
        if row.receipt is not None and row.amount_in != int(came.get(row.row_id, 0)):
            yield (
                f"The lot {row.number} came as {row.amount_in}; "
                f"its ledger says {int(came.get(row.row_id, 0))}."
            )


def _reversed(session: ReadSession) -> Iterator[str]:
    """A line that was taken back is taken back whole, and of the same lot."""
    backs = session.exec(
        select(Movement).where(
            Movement.cause == "correction", col(Movement.cause_ref).startswith("M-")
        )
    )
    for back in backs:
        old = session.get(Movement, int((back.cause_ref or "M-0").removeprefix("M-")))
        if old is None or (old.lot, old.amount) != (back.lot, -back.amount):
            yield f"M-{back.row_id} takes back {back.cause_ref}, and does not cancel it."


def _edges(session: ReadSession) -> Iterator[str]:
    wrong = (col(Edge.amount) <= 0) | (col(Edge.parent) == col(Edge.child))
    for edge in session.exec(select(Edge).where(wrong)):
        yield f"Of the lot with key {edge.parent} {edge.amount} went into {edge.child}."
