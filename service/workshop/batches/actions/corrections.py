"""Corrections by line: a new entry that points at the old one, and the movement that makes good."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from service.errors import AlreadyCorrected, Invalid, Remedy, at
from service.office.equipment.queries import of_kind
from service.office.keys.rules import ScopeNeeded
from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.columns import Recorded
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, StepEntry, Weighing, Yield
from service.workshop.batches.actions.desk import Desk, Place, move_stock, open_desk
from service.workshop.batches.actions.losses import measure_loss
from service.workshop.batches.actions.weighings import (
    Portion,
    check_material,
    keep_weighing,
)
from service.workshop.batches.bodies.entries import LineCorrectionIn, Replacement
from service.workshop.batches.clocks import Moment
from service.workshop.batches.rules import (
    BESIDE_THE_PLAN,
    NothingToCorrect,
    SeveralEntries,
    UnknownBatchLine,
)
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock

E = TypeVar("E", bound=Recorded)
_PLACE = Place("#/replaces", lambda patch: {"replaces": patch})


@dataclass(frozen=True)
class Corrected:
    """A correction as it was kept: what the old entry said, and what stands now."""

    desk: Desk
    old: Recorded
    new: Recorded
    was: str
    now: str | None


def correct_line(
    session: WriteSession, code: str, number: int, wanted: LineCorrectionIn
) -> Corrected:
    """Correct what stands at a line. Raises UnknownBatch, UnknownBatchLine, NothingToCorrect,
    SeveralEntries, AlreadyCorrected, ScopeNeeded, WrongMaterial, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    line = _line(desk, number)
    if desk.batch.state == "complete" and "release" not in session.actor.scopes:
        detail = f"{desk.batch.code} is complete; correcting it needs the scope release."
        raise ScopeNeeded(detail, more={"needs": "release"})
    if line is None or line.do == "weigh":
        entries = queries.weighings(session, desk.batch, number)
        found = _weighing(desk, line, _which(desk, entries, number, wanted), wanted)
        measure_loss(desk, wanted.reason)
        return found
    if line.do == "yield":
        found = _yield(desk, _which(desk, _yields(desk), number, wanted), wanted)
        measure_loss(desk, wanted.reason)
        return found
    seen = queries.step_entries(session, desk.batch, number)
    return _step(desk, _which(desk, seen, number, wanted), wanted)


def _line(desk: Desk, number: int) -> BatchLine | None:
    for line in queries.lines(desk.session, desk.batch):
        if line.line == number:
            return line
    if number == BESIDE_THE_PLAN:
        return None
    raise UnknownBatchLine(f"The sheet of {desk.batch.code} has no line {number}.")


def _yields(desk: Desk) -> list[Yield]:
    out = queries.yield_of(desk.session, desk.batch)
    return [] if out is None else [out]


def _which(desk: Desk, entries: Sequence[E], number: int, wanted: LineCorrectionIn) -> E:
    """The one entry that is meant."""
    if wanted.entry is not None:
        for entry in entries:
            if entry.row_id == wanted.entry:
                return entry
        raise AlreadyCorrected(f"Entry {wanted.entry} does not stand at line {number}.")
    if not entries:
        raise NothingToCorrect(f"Nothing stands at line {number} of {desk.batch.code}.")
    if len(entries) > 1:
        ways = tuple(
            Remedy(f"entry {entry.row_id} is meant", {"entry": entry.row_id}) for entry in entries
        )
        wrong = f"{len(entries)} entries stand at line {number} of {desk.batch.code}."
        raise SeveralEntries(wrong, at("#/entry", wrong, "several-entries", remedies=ways))
    return entries[0]


def _stamp(desk: Desk, old: Recorded, wanted: LineCorrectionIn) -> tuple[Desk, dict[str, Any]]:
    """What happened, happened then; only the entry is of now."""
    then = desk.at(Moment(old.happened_at, old.about_seconds))
    marks = {"corrects": old.row_id, "void": wanted.void, "reason": wanted.reason}
    return then, marks


def _replaced(wanted: LineCorrectionIn, *names: str) -> Replacement:
    """What replaces the entry; at least one of the names that its line knows, and no other."""
    given = wanted.replaces or Replacement()
    sent = {name for name in given.model_fields_set if getattr(given, name) is not None}
    alias = {"yield_": "yield"}
    if not sent & set(names) or sent - set(names):
        shown = ", ".join(alias.get(name, name) for name in names)
        wrong = f"At this line these can be replaced: {shown}."
        raise Invalid(wrong, at("#/replaces", wrong, "replaces-nothing"))
    return given


def _weighing(
    desk: Desk, line: BatchLine | None, old: Weighing, wanted: LineCorrectionIn
) -> Corrected:
    then, marks = _stamp(desk, old, wanted)
    lot = stock.lot_by_id(desk.session, old.lot)
    portion = Portion(
        _entered(old),
        part=old.verdict == "none",
        substitute=old.substitute,
        checked_by=old.checked_by,
    )
    balance, new_lot = old.balance, lot
    if not wanted.void:
        sent = _replaced(wanted, "weighed", "lot", "substitute", "balance")
        portion = replace(portion, amount=sent.weighed or portion.amount)
        new_lot, balance = _renamed(then, line, sent, lot=lot, balance=old.balance)
    _give_back(then, old, lot, wanted.reason)
    was = f"{portion_text(old)} of {lot.number}"
    if wanted.void:
        row = _void(desk, old, marks, then)
        return Corrected(then, old, row, was, None)
    row = keep_weighing(then, portion, line=line, lot=new_lot, balance=balance, correction=marks)
    return Corrected(then, old, row, was, f"{portion_text(row)} of {new_lot.number}")


def _renamed(
    desk: Desk, line: BatchLine | None, sent: Replacement, *, lot: stock.Lot, balance: str | None
) -> tuple[stock.Lot, str | None]:
    """Lot and balance after the correction, checked as at the first entry."""
    if sent.lot is not None:
        lot = stock.lot_in_body(desk.session, sent.lot, pointer="#/replaces/lot")
        check_material(desk, line, lot, substitute=sent.substitute, place=_PLACE)
    if sent.balance is not None:
        of_kind(desk.session, sent.balance, "balance", pointer="#/replaces/balance")
        balance = sent.balance
    return lot, balance


def _entered(row: Weighing) -> Quantity:
    return units.quantity(row.entered_value, row.entered_unit, "mass")


def portion_text(row: Weighing | Yield) -> str:
    return f"{row.entered_value} {row.entered_unit}"


def _give_back(desk: Desk, old: Weighing, lot: stock.Lot, reason: str) -> None:
    """The compensating movement, and less of the lot in what was made."""
    move_stock(desk, lot, old.amount_mg, cause="correction", reason=reason, line=old.line)
    if made := queries.made_lot(desk.session, desk.batch):
        stock_actions.link(desk.session, lot, made, -old.amount_mg)


def _void(desk: Desk, old: E, marks: dict[str, Any], then: Desk) -> E:
    """The same entry again, marked as void."""
    kept = old.model_dump(exclude={"id"})
    row = type(old)(**{**kept, **then.stamp(), **marks})
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    return row


def _yield(desk: Desk, old: Yield, wanted: LineCorrectionIn) -> Corrected:
    then, marks = _stamp(desk, old, wanted)
    made = queries.made_lot(desk.session, desk.batch)
    if wanted.void:
        if made is not None:
            wrong = f"{made.number} was made with this yield; send what it really was."
            raise Invalid(wrong, at("#/void", wrong, "yield-needed"))
        return Corrected(then, old, _void(desk, old, marks, then), portion_text(old), None)
    amount = _replaced(wanted, "yield_").yield_
    assert amount is not None
    changed = {
        "amount_mg": whole(amount) or 0,
        "entered_value": plain(amount.value),
        "entered_unit": amount.unit,
    }
    row = Yield(**{**old.model_dump(exclude={"id"}), **changed, **then.stamp(), **marks})
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    if made is not None:
        # What the price of the lot is shared over, too, is what really came out.
        made.amount_in = row.amount_mg
        desk.session.add(made)
        difference = row.amount_mg - old.amount_mg
        move_stock(then, made, difference, cause="correction", reason=wanted.reason)
    return Corrected(then, old, row, portion_text(old), portion_text(row))


def _step(desk: Desk, old: StepEntry, wanted: LineCorrectionIn) -> Corrected:
    then, marks = _stamp(desk, old, wanted)
    if wanted.void:
        return Corrected(then, old, _void(desk, old, marks, then), old.saw, None)
    saw = _replaced(wanted, "saw").saw
    row = StepEntry(
        **{**old.model_dump(exclude={"id"}), **then.stamp(), **marks, "saw": saw or old.saw}
    )
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    return Corrected(then, old, row, old.saw, row.saw)
