"""The ledger summed by what caused it, and the graph of origins as a whole: for checking."""

from collections.abc import Iterable, Sequence

from sqlalchemy import func
from sqlmodel import col, select

from service.store.session import ReadSession
from service.workshop.stock._tables import Edge, Movement

Sums = dict[tuple[str, int], int]  # by what caused it, and lot


def moved_for(session: ReadSession, causes: Iterable[str]) -> Sums:
    """What moved of each lot for each cause, with corrections of it and lines taken back."""
    wanted = list(causes)
    rows = session.exec(
        select(Movement.cause_ref, Movement.lot, func.sum(Movement.amount))
        .where(col(Movement.cause).in_([*wanted, "correction"]))
        .group_by(col(Movement.cause_ref), col(Movement.lot))
    )
    # PostgreSQL sums big integers as numeric.
    found = {(ref or "", lot): int(amount) for ref, lot, amount in rows}
    return _taken_back(session, found, wanted)


def _taken_back(session: ReadSession, found: Sums, causes: Sequence[str]) -> Sums:
    """A line that takes another back counts for what had caused that one."""
    sums: Sums = {}
    for (ref, lot), amount in found.items():
        name = ref
        if ref.startswith("M-"):
            old = session.get(Movement, int(ref.removeprefix("M-")))
            if old is None or old.cause not in causes:
                continue
            name = old.cause_ref or ""
        sums[name, lot] = sums.get((name, lot), 0) + amount
    return sums


def went_into(session: ReadSession, child: int) -> dict[int, int]:
    """How much of each lot went into one, by its edges."""
    rows = session.exec(select(Edge.parent, Edge.amount).where(Edge.child == child))
    return {parent: amount for parent, amount in rows}
