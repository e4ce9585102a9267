"""Correcting a delivery note: the note, the lots that came by it, and their first movements."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from service.errors import AlreadyCorrected, Invalid, Remedy, at
from service.office.people.queries import doer
from service.office.workshop_card.queries import today
from service.science.units import Quantity
from service.store.numbers import yearly
from service.store.records import Amends, amend, corrected_by
from service.store.session import WriteSession
from service.workshop.deviations.bodies import Flag
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot, Movement, Receipt
from service.workshop.stock.actions.ledger import Move, correct
from service.workshop.stock.actions.lots import set_amount_in
from service.workshop.stock.actions.receipts import delivered_at
from service.workshop.stock.bodies.receipt_corrections import (
    ReceiptCorrection,
    ReceiptReplacement,
    ReceivedReplacement,
)


@dataclass(frozen=True, slots=True)
class Renoted:
    """A delivery note as it was corrected."""

    old: Receipt
    row: Receipt
    flags: list[Flag] = field(default_factory=list)


def correct_receipt(session: WriteSession, number: str, wanted: ReceiptCorrection) -> Renoted:
    """Raises UnknownReceipt, AlreadyCorrected, Invalid."""
    old = queries.receipt(session, number)
    if (later := corrected_by(session, old)) is not None:
        raise AlreadyCorrected(f"{old.number} was corrected by {later.number}.")
    lots = queries.lots_received(session, old)
    amends = Amends(wanted.reason, doer(session, wanted.by), wanted.void)
    changes = {} if wanted.replaces is None else _changes(session, wanted.replaces)
    lines = [] if wanted.replaces is None else wanted.replaces.lines or []
    said = _by_lot(old, lots, lines)
    row = amend(session, old, amends, {**changes, "number": _number(session)})
    done = Renoted(old, row)
    for lot in lots:
        _follow(session, lot, row, said.get(lot.number))
        _check_days(lot, row, lines)
        _mend(session, lot, done)
    return done


def _number(session: WriteSession) -> str:
    return yearly(session, "RC", session.now.year)


def _changes(session: WriteSession, wanted: ReceiptReplacement) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    if wanted.from_ is not None:
        changes["supplier"] = wanted.from_
    if "document" in wanted.model_fields_set:
        changes["document"] = wanted.document
    if wanted.on is not None:
        _check_day(session, wanted.on)
        happened_at, about = delivered_at(session, wanted.on)
        changes |= {"received_on": wanted.on, "happened_at": happened_at, "about_seconds": about}
    return changes


def _check_day(session: WriteSession, on: date) -> None:
    if on > (now := today(session)):
        wrong = f"{on.isoformat()} is still to come."
        way = Remedy("it came today", {"replaces": {"on": now.isoformat()}})
        raise Invalid(wrong, at("#/replaces/on", wrong, "day-to-come", remedies=(way,)))


def _by_lot(
    old: Receipt, lots: list[Lot], lines: list[ReceivedReplacement]
) -> dict[str, ReceivedReplacement]:
    """What is put right, by the lot's number. Raises Invalid for a lot that did not come so."""
    known = {lot.number for lot in lots}
    found = {}
    for place, line in enumerate(lines):
        number = line.lot.strip().upper()
        if number not in known:
            wrong = f"{number} did not come by {old.number}."
            hint = f"These did: {', '.join(sorted(known))}."
            pointer = f"#/replaces/lines/{place}/lot"
            raise Invalid(wrong, at(pointer, wrong, "lot-of-another-receipt", hint=hint))
        found[number] = line
    return found


def _follow(
    session: WriteSession, lot: Lot, row: Receipt, said: ReceivedReplacement | None
) -> None:
    """The lot as the note now says it is."""
    lot.receipt, lot.supplier = row.row_id, row.supplier
    if said is not None:
        for name, value in said.changed().items():
            if name != "lot":
                setattr(lot, name, value)
    session.add(lot)


def _check_days(lot: Lot, row: Receipt, lines: list[ReceivedReplacement]) -> None:
    """Raises Invalid at what was sent that cannot be right beside the other days of the lot."""
    days = (lot.made_on, lot.expires_on, lot.retest_on)
    found = None if row.void else rules.day_out_of_order(*days, came_on=row.received_on)
    if found is None:
        return
    name, wrong = found
    place = next(
        (n for n, line in enumerate(lines) if line.lot.strip().upper() == lot.number), None
    )
    pointer = "#/replaces/on" if place is None else f"#/replaces/lines/{place}/{name}"
    raise Invalid(f"{lot.number}: {wrong}", at(pointer, wrong, "days-out-of-order"))


def _mend(session: WriteSession, lot: Lot, done: Renoted) -> None:
    """The ledger: nothing came by a voided note, and by another day's it came that day."""
    row = done.row
    moved = row.happened_at != done.old.happened_at
    if not (row.void or moved):
        return
    for old in queries.standing_lines(session, lot, "receipt"):
        new = None if row.void else _again(old, row)
        _, flag = correct(session, old, new, reason=row.reason or "", by=row.by)
        if flag is not None:
            done.flags.append(flag)
    if row.void:
        set_amount_in(session, lot, 0)


def _again(old: Movement, row: Receipt) -> Move:
    entered = None
    if old.entered_value is not None and old.entered_unit is not None:
        dimension = "mass" if old.density is None else "volume"
        entered = Quantity(Decimal(old.entered_value), old.entered_unit, dimension)
    return Move(
        old.amount,
        old.cause,
        row.number,
        row.by,
        row.happened_at,
        entered=entered,
        density=old.density,
        about_seconds=row.about_seconds,
    )
