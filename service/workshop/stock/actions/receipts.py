"""Delivery notes: one received lot a line, with what its certificate states."""

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.office.workshop_card.queries import card, today, zone
from service.science.check_characters import parse_lot
from service.store.numbers import Sequence, yearly
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.materials import queries as materials
from service.workshop.materials.actions import record_figures
from service.workshop.materials.rules import COUNTED
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot, Receipt
from service.workshop.stock.actions.amounts import kept
from service.workshop.stock.actions.ledger import Move, enter
from service.workshop.stock.actions.lots import NewLot, make_lot, number_for
from service.workshop.stock.bodies import ReceiptIn, ReceiptLine, lines_again

_HALF_A_DAY = 43_200  # a delivery is known to the day


@dataclass
class _Delivery:
    """A delivery note being taken in."""

    session: WriteSession
    wanted: ReceiptIn
    row: Receipt
    lots: dict[str, str]
    densities: dict[str, str]


def create_receipt(session: WriteSession, wanted: ReceiptIn) -> tuple[Receipt, dict[str, Any]]:
    """Raises Invalid, DensityNeeded, LotTaken, NumbersUsedUp."""
    on = wanted.on or today(session)
    _check_day(session, on)
    _check_prices(session, wanted)
    by = doer(session, wanted.by)
    happened_at, about = _when(session, on)
    row = Receipt(
        number=yearly(session, "RC", session.now.year),
        supplier=wanted.from_,
        document=wanted.document,
        received_on=on,
        about_seconds=about,
        **stamp(session, by=by, happened_at=happened_at),
    )
    session.add(row)
    session.flush()  # its lots point at it
    delivery = _Delivery(session, wanted, row, {}, {})
    for place in range(len(wanted.lines)):
        _take_in(delivery, place)
    return row, _assumed(delivery)


def _check_day(session: WriteSession, on: date) -> None:
    if on > (now := today(session)):
        wrong = f"{on.isoformat()} is still to come."
        remedies = (Remedy("it came today", {"on": now.isoformat()}),)
        raise Invalid(wrong, at("#/on", wrong, "day-to-come", remedies=remedies))


def _check_prices(session: WriteSession, wanted: ReceiptIn) -> None:
    priced = [place for place, line in enumerate(wanted.lines) if line.price is not None]
    if priced and card(session).currency is None:
        send = {"lines": lines_again(wanted, {place: {"price": None} for place in priced})}
        remedy = Remedy("the prices do not matter", send)
        faults = rules.currency_missing(f"#/lines/{priced[0]}/price", remedy)
        raise Invalid(rules.NO_CURRENCY, faults)


def _when(session: WriteSession, on: date) -> tuple[datetime, int | None]:
    """Now for today's delivery; for an earlier one noon of its day, give or take half a day."""
    if on == today(session):
        return session.now, None
    return datetime.combine(on, time(12), zone(session)), _HALF_A_DAY


def _take_in(delivery: _Delivery, place: int) -> Lot:
    session, line, receipt = delivery.session, delivery.wanted.lines[place], delivery.row
    pointer = f"#/lines/{place}"
    material = materials.named_in_body(session, line.material, pointer=f"{pointer}/material")
    number = _own_number(delivery, place) or number_for(
        session, material.lot_prefix, receipt.received_on
    )
    record_figures(session, ("lot", number), line.all_figures(), by=receipt.by)
    found = kept(
        session,
        line.amount,
        (("lot", number), ("material", material.code)),
        measure=rules.measure("received", counted=material.kind in COUNTED),
        pointer=f"{pointer}/amount",
    )
    lot = make_lot(session, _new(delivery, line, number, found.amount))
    move = Move(
        found.amount,
        "receipt",
        receipt.number,
        receipt.by,
        receipt.happened_at,
        entered=line.amount.quantity,
        density=found.density,
        about_seconds=receipt.about_seconds,
    )
    enter(session, lot, move, plan=False)
    if line.lot is None:
        delivery.lots[str(place + 1)] = number
    if found.said:
        delivery.densities[str(place + 1)] = found.said
    return lot


def _new(delivery: _Delivery, line: ReceiptLine, number: str, amount: int) -> NewLot:
    return NewLot(
        number,
        "received",
        line.material,
        amount,
        receipt=delivery.row.row_id,
        supplier=delivery.row.supplier,
        supplier_lot=line.supplier_lot,
        price=line.price,
        made_on=line.made_on,
        expires_on=line.expires_on,
        retest_on=line.retest_on,
    )


def _own_number(delivery: _Delivery, place: int) -> str | None:
    """The number given on a line. Raises Invalid where it is mistyped, LotTaken."""
    if (number := delivery.wanted.lines[place].lot) is None:
        return None
    pointer = f"#/lines/{place}/lot"
    if (right := rules.mended(number)) is not None:
        wrong = f"{number} cannot be right: its last character does not fit the others."
        send = {"lines": lines_again(delivery.wanted, {place: {"lot": right}})}
        remedy = Remedy(f"only the last character is wrong: {right}", send)
        hint = f"It would be {right}."
        faults = at(pointer, wrong, "lot-mistyped", hint=hint, remedies=(remedy,))
        raise Invalid(wrong, faults)
    if taken := _taken(delivery.session, number):
        send = {"lines": lines_again(delivery.wanted, {place: {"lot": None}})}
        remedy = Remedy("the next free number will do", send)
        raise rules.LotTaken(taken, at(pointer, taken, "lot-taken", remedies=(remedy,)))
    return number


def _taken(session: WriteSession, number: str) -> str | None:
    if (held := queries.find_lot(session, number)) is not None:
        return f"{number} is already the lot {held.number} of {held.material}."
    read = parse_lot(number)
    if read is None or not read.sound or read.letter:
        return None
    drawn = session.get(Sequence, f"{read.prefix}-{read.year % 100:02d}{read.month:02d}")
    if drawn is not None and drawn.last >= read.sequence:
        return f"{number} was drawn before and is kept for what it was drawn for."
    return None


def _assumed(delivery: _Delivery) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if delivery.wanted.on is None:
        found["on"] = delivery.row.received_on.isoformat()
    if delivery.wanted.by is None:
        found["by"] = delivery.row.by
    if delivery.lots:
        found["lots"] = delivery.lots
    if delivery.densities:
        found["density"] = delivery.densities
    return found
