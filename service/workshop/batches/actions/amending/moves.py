"""Correcting a batch's moves: their times and what was dated by them; the last one undone."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from sqlmodel import col

from service.errors import Invalid, at
from service.store.records import entry
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Transition
from service.workshop.batches.actions.amending.allowed import amended, check_may_correct
from service.workshop.batches.actions.cook.settling import settle
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.bodies.corrections import MoveCorrection
from service.workshop.batches.rules import MoveKept, months_later
from service.workshop.batches.rules.clocks import Moment
from service.workshop.products import queries as products
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock


@dataclass(frozen=True, slots=True)
class Moved:
    """A move as it was corrected, and the lots of which the days followed."""

    desk: Desk
    row: Transition
    lots: list[str] = field(default_factory=list)


def correct_move(session: WriteSession, code: str, number: int, wanted: MoveCorrection) -> Moved:
    """Raises UnknownBatch, UnknownEntry, AlreadyCorrected, ScopeNeeded, MoveKept, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = entry(session, Transition, number, col(Transition.batch) == desk.batch.row_id)
    check_may_correct(desk)
    moves = queries.transitions(session, desk.batch)
    if wanted.void:
        _check_last(desk, old, moves)
        row = amended(desk, old, wanted, {})
        desk.batch.state = old.from_state
        session.add(desk.batch)
        session.flush()  # whose the points of the kettle are is read from the database
        settle(desk.session, desk.batch)
        return Moved(desk, row)
    assert wanted.replaces is not None
    changes = wanted.replaces.changed()
    if wanted.replaces.happened_at is not None:
        _check_order(old, moves, wanted.replaces.happened_at)
        changes["about_seconds"] = None
    row = amended(desk, old, wanted, changes)
    settle(desk.session, desk.batch)
    ended = row.to_state == "complete" and row.happened_at != old.happened_at
    return Moved(desk, row, _redate(desk, row, wanted.reason) if ended else [])


def _check_last(desk: Desk, old: Transition, moves: Sequence[Transition]) -> None:
    """Raises MoveKept unless nothing follows from the move."""
    batch = desk.batch
    if moves and moves[-1].row_id != old.row_id and any(m.row_id == old.row_id for m in moves):
        last = moves[-1]
        raise MoveKept(f"{batch.code} was moved to {last.to_state} after that.")
    if old.to_state == "complete":
        raise MoveKept(f"{batch.code} made its lot; correct its yield, or scrap what is left.")
    if old.from_state == "planned" and queries.weighings(desk.session, batch):
        raise MoveKept(f"{batch.code} was weighed into, so it has begun.")


def _check_order(old: Transition, moves: Sequence[Transition], when: datetime) -> None:
    """Raises Invalid where the move would come before the one before it, or after the next."""
    ids = [move.row_id for move in moves]
    if old.row_id not in ids:
        return  # that it was corrected is told in a moment
    place = ids.index(old.row_id)
    before = moves[place - 1] if place else None
    after = moves[place + 1] if place + 1 < len(moves) else None
    if before is not None and when < before.happened_at - _about(before):
        wrong = f"It was moved to {before.to_state} only at {before.happened_at.isoformat()}."
        raise Invalid(wrong, at("#/replaces/happened_at", wrong, "time-backwards"))
    if after is not None and when > after.happened_at + _about(after):
        wrong = f"It was moved to {after.to_state} at {after.happened_at.isoformat()} already."
        raise Invalid(wrong, at("#/replaces/happened_at", wrong, "time-backwards"))


def _about(move: Transition) -> timedelta:
    return timedelta(seconds=move.about_seconds or 0)


def _redate(desk: Desk, row: Transition, reason: str) -> list[str]:
    """Day of making, days that were reckoned from it, the yield's movement, the loss's day."""
    session, lot = desk.session, queries.made_lot(desk.session, desk.batch)
    then = desk.at(Moment(row.happened_at, row.about_seconds))
    measure_loss(then, reason)
    if lot is None or lot.made_on is None:
        return []
    packs = [
        child
        for child, _ in stock.children(session, lot.row_id)
        if child.kind == "packed" and child.material == lot.material
    ]
    stock_actions.retime(session, lot, "yield", row.happened_at, reason=reason, by=desk.by)
    was, until = lot.made_on, lot.expires_on
    now = _expires(desk, lot, was, then.day)
    for each in (lot, *packs):
        # Packs keep no longer than what is in them.
        expires = now if each.expires_on == until else _expires(desk, each, was, then.day)
        stock_actions.set_days(session, each, made_on=then.day, expires_on=expires)
    return [each.number for each in (lot, *packs)]


def _expires(desk: Desk, lot: stock.Lot, was: date, now: date) -> date | None:
    """The day of expiry where it was reckoned from the day of making; any other stays."""
    if lot.product is None or lot.expires_on is None:
        return lot.expires_on
    months = products.product(desk.session, lot.product).shelf_months
    if months is None or lot.expires_on != months_later(was, months):
        return lot.expires_on
    return months_later(now, months)
