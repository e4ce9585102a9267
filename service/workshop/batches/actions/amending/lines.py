"""Corrections by line: a new entry that points at the old one, and the movement that makes good."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from service.errors import AlreadyCorrected, Invalid, Remedy, at
from service.office.equipment.queries import of_kind
from service.office.keys.rules import ScopeNeeded
from service.office.people.queries import doer
from service.science.rounding import plain
from service.store.columns import Recorded
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, StepEntry, Weighing, Yield
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.entries.desk import Desk, Place, move_stock, open_desk
from service.workshop.batches.actions.entries.late import follow
from service.workshop.batches.actions.entries.rereading import as_read, reread
from service.workshop.batches.actions.entries.retargets import follow_weights
from service.workshop.batches.actions.entries.weighings import (
    Portion,
    check_material,
    keep_weighing,
)
from service.workshop.batches.bodies.entries import LineCorrectionIn, Replacement
from service.workshop.batches.rules import (
    BESIDE_THE_PLAN,
    NothingToCorrect,
    SeveralEntries,
    UnknownBatchLine,
)
from service.workshop.batches.rules.clocks import Moment
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock

E = TypeVar("E", bound=Recorded)
_ANYWHERE = ("happened_at",)
_OF_A_WEIGHING = ("weighed", "gross", "tare", "lot", "substitute", "balance", "checked_by")
_OF_A_YIELD = ("yield_", "balance", "checked_by")
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
        return _timed(found)
    if line.do == "yield":
        found = _yield(desk, _which(desk, _yields(desk), number, wanted), wanted)
        measure_loss(desk, wanted.reason)
        return _timed(found)
    seen = queries.step_entries(session, desk.batch, number)
    return _timed(_step(desk, _which(desk, seen, number, wanted), wanted))


def _timed(found: Corrected) -> Corrected:
    """With the two times, where it is the time that was wrong."""
    was, now = found.old.happened_at, found.new.happened_at
    if found.now is None or was == now:
        return found
    told = (f"at {each.isoformat(timespec='minutes')}" for each in (was, now))
    return replace(found, was=f"{found.was} {next(told)}", now=f"{found.now} {next(told)}")


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
    """What happened, happened then, or when the correction says; only the entry is of now."""
    said = None if wanted.replaces is None else wanted.replaces.happened_at
    then = desk.at(Moment(old.happened_at, old.about_seconds) if said is None else Moment(said))
    marks = {"corrects": old.row_id, "void": wanted.void, "reason": wanted.reason}
    return then, marks


def _replaced(wanted: LineCorrectionIn, *names: str) -> Replacement:
    """What replaces the entry; at least one of the names that its line knows, and no other."""
    given, names = wanted.replaces or Replacement(), (*names, *_ANYWHERE)
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
        as_read(old),
        part=old.verdict == "none",
        substitute=old.substitute,
        checked_by=old.checked_by,
        adjustment=old.adjustment,
    )
    balance, new_lot = old.balance, lot
    if not wanted.void:
        sent = _replaced(wanted, *_OF_A_WEIGHING)
        new_lot, balance = _renamed(then, line, sent, lot=lot, balance=old.balance)
        read = reread(then, old, sent, balance=balance, place=_PLACE)
        portion = replace(portion, read=read, checked_by=sent.checked_by or old.checked_by)
    _give_back(desk.at(Moment(old.happened_at, old.about_seconds)), old, lot, wanted.reason)
    was = f"{portion_text(old)} of {lot.number}"
    if wanted.void:
        row = _void(desk, old, marks, then)
        follow_weights(then)
        return Corrected(then, old, row, was, None)
    row = keep_weighing(then, portion, line=line, lot=new_lot, balance=balance, correction=marks)
    follow(then, old, row)
    return Corrected(then, old, row, was, f"{portion_text(row)} of {new_lot.number}")


def _renamed(
    desk: Desk, line: BatchLine | None, sent: Replacement, *, lot: stock.Lot, balance: str | None
) -> tuple[stock.Lot, str | None]:
    """Lot and balance after the correction, checked as at the first entry."""
    if sent.lot is not None:
        lot = stock.lot_in_body(desk.session, sent.lot, pointer="#/replaces/lot")
        check_material(desk, line, lot, substitute=sent.substitute, place=_PLACE)
    _check_named(desk, sent)
    return lot, sent.balance or balance


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
    follow(then, old, row)
    return row


def _yield(desk: Desk, old: Yield, wanted: LineCorrectionIn) -> Corrected:
    then, marks = _stamp(desk, old, wanted)
    made = queries.made_lot(desk.session, desk.batch)
    if wanted.void:
        if made is not None:
            wrong = f"{made.number} was made with this yield; send what it really was."
            raise Invalid(wrong, at("#/void", wrong, "yield-needed"))
        return Corrected(then, old, _void(desk, old, marks, then), portion_text(old), None)
    changed = _of_yield(desk, _replaced(wanted, *_OF_A_YIELD))
    row = Yield(**{**old.model_dump(exclude={"id"}), **then.stamp(), **marks, **changed})
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    if made is not None:
        # What the price of the lot is shared over, too, is what really came out.
        made.amount_in = row.amount_mg
        desk.session.add(made)
        if difference := row.amount_mg - old.amount_mg:
            move_stock(then, made, difference, cause="correction", reason=wanted.reason)
    return Corrected(then, old, row, portion_text(old), portion_text(row))


def _of_yield(desk: Desk, sent: Replacement) -> dict[str, Any]:
    """What of a yield is another now."""
    _check_named(desk, sent)
    kept = {"balance": sent.balance, "checked_by": sent.checked_by}
    changed: dict[str, Any] = {name: said for name, said in kept.items() if said is not None}
    if (amount := sent.yield_) is not None:
        changed |= {
            "amount_mg": whole(amount) or 0,
            "entered_value": plain(amount.value),
            "entered_unit": amount.unit,
        }
    return changed


def _check_named(desk: Desk, sent: Replacement) -> None:
    """Raises Invalid for a person or a balance that is not there."""
    if sent.checked_by is not None:
        doer(desk.session, sent.checked_by, pointer="#/replaces/checked_by")
    if sent.balance is not None:
        of_kind(desk.session, sent.balance, "balance", pointer="#/replaces/balance")


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
    follow(then, old, row)
    return Corrected(then, old, row, old.saw, row.saw)
