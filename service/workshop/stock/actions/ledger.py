"""The ledger: lines written, never changed; what is wrong is reversed and entered anew."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from service.errors import AlreadyCorrected
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.numbers import mark_drawn
from service.store.records import corrected_by, stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot, Movement


@dataclass(frozen=True, slots=True)
class Move:
    """One line for the ledger: `amount` in mg or pieces, below zero where it goes out."""

    amount: int
    cause: str
    cause_ref: str | None = None
    by: str | None = None
    happened_at: datetime | None = None
    entered: Quantity | None = None
    density: Decimal | None = None  # kg/l, where a volume was entered
    override_reason: str | None = None
    reason: str | None = None
    about_seconds: int | None = None


def move(session: WriteSession, lot: Lot, wanted: Move, *, plan: bool) -> Flag | None:
    """Write one line of the ledger. A plan below zero raises StockShort, unless it is overridden
    by a reason and a key with the scope release; a fact below zero is kept, flagged, and opens a
    deviation of the lot."""
    _, flag = enter(session, lot, wanted, plan=plan)
    return flag


def enter(
    session: WriteSession, lot: Lot, wanted: Move, *, plan: bool
) -> tuple[Movement, Flag | None]:
    """As `move`, with the line that was written."""
    after = queries.left(session, [lot.row_id])[lot.row_id] + wanted.amount
    short = wanted.amount < 0 and after < 0
    if short and plan and not _overridden(session, wanted):
        raise _short(lot, wanted.amount, after)
    row = _write(session, lot, wanted, {})
    if not short:
        return row, None
    if plan:
        return row, Flag(code="stock-negative", text=_stands(lot, after))
    return row, _opened(session, lot, after, by=wanted.by)


def reverse(
    session: WriteSession, old: Movement, *, reason: str, by: str | None, last: bool
) -> Movement:
    """The line that takes another back, at the time that it happened. It corrects the other where
    it is the last word; else the line that replaces it does."""
    wanted = Move(-old.amount, "correction", queries.name_of(old), by, old.happened_at)
    correction = {"corrects": old.row_id if last else None, "void": True, "reason": reason}
    return _write(session, queries.lot_by_id(session, old.lot), wanted, correction)


def correct(
    session: WriteSession, old: Movement, new: Move | None, *, reason: str, by: str | None
) -> tuple[Movement, Flag | None]:
    """Take a line back and, unless it is voided, enter what replaces it; corrections state facts,
    so one that leaves less than nothing is kept and flagged. Raises AlreadyCorrected."""
    if (later := corrected_by(session, old)) is not None:
        wrong = f"{queries.name_of(old)} was corrected by {queries.name_of(later)}."
        raise AlreadyCorrected(wrong)
    lot = queries.lot_by_id(session, old.lot)
    row = reverse(session, old, reason=reason, by=by, last=new is None)
    change = -old.amount
    if new is not None:
        row = _write(session, lot, new, {"corrects": old.row_id, "reason": reason})
        change += new.amount
    after = queries.left(session, [lot.row_id])[lot.row_id]
    short = change < 0 and after < 0
    return row, _opened(session, lot, after, by=by) if short else None


def retime(
    session: WriteSession, lot: Lot, cause: str, when: datetime, *, reason: str, by: str | None
) -> None:
    """Enter the standing lines of a cause anew, at the time at which they really happened."""
    for old in queries.standing_lines(session, lot, cause):
        entered = None
        if old.entered_value is not None and old.entered_unit is not None:
            dimension = "mass" if old.density is None else "volume"
            entered = Quantity(Decimal(old.entered_value), old.entered_unit, dimension)
        again = Move(
            old.amount, cause, old.cause_ref, by, when, entered=entered, density=old.density
        )
        correct(session, old, again, reason=reason, by=by)


def _overridden(session: WriteSession, wanted: Move) -> bool:
    return wanted.override_reason is not None and "release" in session.actor.scopes


def _short(lot: Lot, amount: int, after: int) -> rules.StockShort:
    left, asked = queries.said(lot, after - amount), queries.said(lot, -amount)
    wrong = f"{asked} of {lot.number} ({lot.material}) is asked for; {left} is left."
    return rules.StockShort(wrong, more={"lot": lot.number, "left": left})


def _stands(lot: Lot, after: int) -> str:
    return f"The ledger of {lot.number} stands at {queries.said(lot, after)} after this."


def _opened(session: WriteSession, lot: Lot, after: int, *, by: str | None) -> Flag:
    fact = Fact("lot", lot.number, "stock-negative", _stands(lot, after))
    return open_deviation(session, fact, by=by)


def _write(
    session: WriteSession, lot: Lot, wanted: Move, correction: Mapping[str, Any]
) -> Movement:
    entered = wanted.entered
    values = {
        **stamp(session, by=wanted.by, happened_at=wanted.happened_at),
        "reason": wanted.reason,
        **correction,
    }
    row = Movement(
        lot=lot.row_id,
        amount=wanted.amount,
        cause=wanted.cause,
        cause_ref=wanted.cause_ref,
        entered_value=None if entered is None else plain(entered.value),
        entered_unit=None if entered is None else entered.unit,
        density=wanted.density,
        override_reason=wanted.override_reason,
        about_seconds=wanted.about_seconds,
        **values,
    )
    session.add(row)
    session.flush()  # balances are summed in the database, and its key is its name
    mark_drawn(session, queries.name_of(row))
    return row
