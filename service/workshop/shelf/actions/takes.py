"""A stock take made: its lots listed and numbered, to be counted."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import func
from sqlmodel import col, select

from service.errors import Remedy, at
from service.office.people.queries import doer
from service.store.numbers import yearly
from service.store.session import WriteSession
from service.workshop.materials import queries as materials
from service.workshop.shelf import rules
from service.workshop.shelf._tables import StockTake, StockTakeLine
from service.workshop.shelf.bodies.takes import StockTakeIn
from service.workshop.stock import queries as stock


def make_take(session: WriteSession, wanted: StockTakeIn) -> tuple[StockTake, dict[str, Any]]:
    """Raises NothingToCount, TooMuchToCount, Invalid."""
    by = doer(session, wanted.by)
    lots = _named(session, wanted.lots) if wanted.lots else _listed(session, wanted)
    if not lots:
        raise _nothing(wanted)
    if len(lots) > rules.MOST_LINES:
        wrong = f"{len(lots)} lots are to be counted; one stock take lists {rules.MOST_LINES}."
        hint = 'Name some of the materials: "materials": ["OIL-LIN"].'
        raise rules.TooMuchToCount(wrong, at("#", wrong, "too-much-to-count", hint=hint))
    row = StockTake(
        number=yearly(session, "ST", session.now.year),
        covers=_covers(wanted)[:300],
        remark=wanted.remark,
        by=by,
        created_at=session.now,
    )
    session.add(row)
    session.flush()  # its lines point at it
    listed = [
        StockTakeLine(take=row.row_id, line=number, lot=lot.row_id)
        for number, lot in enumerate(lots, 1)
    ]
    session.add_all(listed)
    session.flush()  # the sheet is read from the database
    return row, {} if wanted.by or by is None else {"by": by}


def _named(session: WriteSession, numbers: Sequence[str]) -> list[stock.Lot]:
    rows = [
        stock.lot_in_body(session, number, pointer=f"#/lots/{place}")
        for place, number in enumerate(numbers)
    ]
    return list({row.row_id: row for row in rows}.values())


def _listed(session: WriteSession, wanted: StockTakeIn) -> list[stock.Lot]:
    """The lots that the ledger has something of, or less than nothing, by material and number."""
    for place, code in enumerate(wanted.materials or ()):
        materials.named_in_body(session, code, pointer=f"#/materials/{place}")
    of_lot = stock.Movement.lot == stock.Lot.id
    balance = select(func.sum(stock.Movement.amount)).where(of_lot).scalar_subquery()
    stands = func.coalesce(balance, 0)
    found = select(stock.Lot).where(stands < 0 if wanted.below_nothing else stands != 0)
    if wanted.materials is not None:
        found = found.where(col(stock.Lot.material).in_(wanted.materials))
    if wanted.kind is not None:
        found = found.where(stock.Lot.kind == wanted.kind)
    return list(session.exec(found.order_by(col(stock.Lot.material), col(stock.Lot.number))))


def _nothing(wanted: StockTakeIn) -> rules.NothingToCount:
    wrong = "The ledger has nothing of what is to be counted."
    names = ("materials", "kind", "below_nothing")
    sent = {name: None for name in names if getattr(wanted, name)}
    whole = {**sent, "below_nothing": False} if "below_nothing" in sent else sent
    ways = (Remedy("all that is there is to be counted", whole),) if sent else ()
    return rules.NothingToCount(wrong, at("#", wrong, "nothing-to-count", remedies=ways))


def _covers(wanted: StockTakeIn) -> str:
    """Which lots are listed, in words."""
    if wanted.lots is not None:
        count = len(set(wanted.lots))
        return "1 lot that was named" if count == 1 else f"{count} lots that were named"
    of = f" of {', '.join(wanted.materials)}" if wanted.materials else ""
    state = " below nothing" if wanted.below_nothing else ""
    return f"all {f'{wanted.kind} ' if wanted.kind else ''}lots{of}{state}"
