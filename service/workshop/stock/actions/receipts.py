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
from service.store.session import ReadSession, WriteSession
from service.workshop.deviations.bodies import Flag
from service.workshop.materials import queries as materials
from service.workshop.materials.actions import record_figures
from service.workshop.materials.rules import COUNTED
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot, Receipt
from service.workshop.stock.actions.amounts import Kept, kept
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
    held_back: dict[str, str]


def create_receipt(session: WriteSession, wanted: ReceiptIn) -> tuple[Receipt, dict[str, Any]]:
    """Raises Invalid, DensityNeeded, LotTaken, NumbersUsedUp."""
    on = wanted.on or today(session)
    _check_day(session, on)
    _check_days(wanted, on)
    _check_prices(session, wanted)
    by = doer(session, wanted.by)
    happened_at, about = delivered_at(session, on)
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
    delivery = _Delivery(session, wanted, row, {}, {}, {})
    for place in range(len(wanted.lines)):
        _take_in(delivery, place)
    return row, _assumed(delivery)


def _check_day(session: WriteSession, on: date) -> None:
    if on > (now := today(session)):
        wrong = f"{on.isoformat()} is still to come."
        remedies = (Remedy("it came today", {"on": now.isoformat()}),)
        raise Invalid(wrong, at("#/on", wrong, "day-to-come", remedies=remedies))


def past_when_it_came(session: ReadSession, row: Receipt) -> list[Flag]:
    """The lots of a delivery that no batch may take as they came. They have gone into nothing, so
    no deviation is opened."""
    return [
        Flag(code=code, text=f"{lot.number} {text}, before it came.")
        for lot in queries.lots_received(session, row)
        for code, text in rules.past_days(lot, row.received_on)
    ]


def _check_days(wanted: ReceiptIn, on: date) -> None:
    """Raises Invalid for goods made after they came, or past their day when they were made."""
    for place, line in enumerate(wanted.lines):
        days = (line.made_on, line.expires_on, line.retest_on)
        if (found := rules.day_out_of_order(*days, came_on=on)) is not None:
            name, wrong = found
            raise Invalid(wrong, at(f"#/lines/{place}/{name}", wrong, "days-out-of-order"))


def _check_prices(session: WriteSession, wanted: ReceiptIn) -> None:
    priced = [place for place, line in enumerate(wanted.lines) if line.price is not None]
    if priced and card(session).currency is None:
        send = {"lines": lines_again(wanted, {place: {"price": None} for place in priced})}
        remedy = Remedy("the prices do not matter", send)
        faults = rules.currency_missing(f"#/lines/{priced[0]}/price", remedy)
        raise Invalid(rules.NO_CURRENCY, faults)


def delivered_at(session: WriteSession, on: date) -> tuple[datetime, int | None]:
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
    # Known from the day it came: what is measured later comes before what the supplier states.
    came = receipt.happened_at
    record_figures(session, ("lot", number), line.all_figures(), by=receipt.by, happened_at=came)
    asks = material.accept_with
    found = kept(
        session,
        line.amount,
        (("lot", number), ("material", material.code)),
        measure=rules.measure("received", counted=material.kind in COUNTED),
        pointer=f"{pointer}/amount",
    )
    lot = make_lot(session, _new(delivery, line, number, amount=found.amount, asks=asks))
    enter(session, lot, _movement(receipt, line, found), plan=False)
    _tell(delivery, place, lot, found)
    return lot


def _movement(receipt: Receipt, line: ReceiptLine, found: Kept) -> Move:
    return Move(
        found.amount,
        "receipt",
        receipt.number,
        receipt.by,
        receipt.happened_at,
        entered=line.amount.quantity,
        density=found.density,
        about_seconds=receipt.about_seconds,
    )


def _tell(delivery: _Delivery, place: int, lot: Lot, found: Kept) -> None:
    """What was filled in, by the number of the line."""
    line, asks = str(place + 1), materials.material(delivery.session, lot.material).accept_with
    if delivery.wanted.lines[place].lot is None:
        delivery.lots[line] = lot.number
    if found.said:
        delivery.densities[line] = found.said
    if asks:
        delivery.held_back[line] = f"quarantine until measured: {', '.join(asks)}"


def _new(
    delivery: _Delivery, line: ReceiptLine, number: str, *, amount: int, asks: tuple[str, ...]
) -> NewLot:
    return NewLot(
        number,
        "received",
        line.material,
        amount,
        quality="quarantine" if asks else None,
        receipt=delivery.row.row_id,
        supplier=delivery.row.supplier,
        supplier_lot=line.supplier_lot,
        certificate=line.certificate,
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
    if taken := why_taken(delivery.session, number):
        send = {"lines": lines_again(delivery.wanted, {place: {"lot": None}})}
        remedy = Remedy("the next free number will do", send)
        raise rules.LotTaken(taken, at(pointer, taken, "lot-taken", remedies=(remedy,)))
    return number


def why_taken(session: WriteSession, number: str) -> str | None:
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
    if delivery.held_back:
        found["quality"] = delivery.held_back
    return found
