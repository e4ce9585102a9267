"""Movements that are entries of their own: scrap, cleaning, adjustments, and their corrections."""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.office.workshop_card.queries import card, zone
from service.science.units import Quantity
from service.store.session import WriteSession
from service.workshop.deviations.bodies import Flag
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot, Movement
from service.workshop.stock.actions.amounts import Kept, kept, signed
from service.workshop.stock.actions.ledger import Move, correct, enter
from service.workshop.stock.actions.lots import set_amount_in
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.bodies import (
    Entered,
    MovementCorrection,
    MovementIn,
    MovementValues,
)


@dataclass(frozen=True, slots=True)
class Moved:
    """A line of the ledger with what is to be told of it."""

    row: Movement
    lot: Lot
    flags: list[Flag]
    assumed: dict[str, Any]


def record_movement(session: WriteSession, wanted: MovementIn) -> Moved:
    """Raises Invalid, DensityNeeded; StockShort for an adjustment below zero."""
    check_past(session, wanted.happened_at)
    lot = queries.lot_in_body(session, wanted.lot, pointer="#/lot")
    by = doer(session, wanted.by)
    found = _kept(session, lot, wanted.amount, "#/amount")
    sign = signed(wanted.amount, wanted.cause, pointer="#/amount")
    line = Move(
        sign * found.amount,
        wanted.cause,
        by=by,
        happened_at=wanted.happened_at,
        entered=wanted.amount.quantity,
        density=found.density,
        override_reason=wanted.override_reason,
        reason=wanted.reason,
    )
    try:
        row, flag = enter(session, lot, line, plan=wanted.cause == "adjustment")
    except rules.StockShort as short:
        raise _with_ways_out(session, short, lot) from None
    assumed = {} if wanted.by else {"by": by}
    if found.said:
        assumed["density"] = found.said
    flags = _unfit(session, lot, row) if wanted.cause == "cleaning" else []
    return Moved(row, lot, [flag, *flags] if flag else flags, assumed)


def _unfit(session: WriteSession, lot: Lot, row: Movement) -> list[Flag]:
    """Flags for cleaning with what no batch may take; it goes into nothing, so none is opened."""
    found = []
    day = row.happened_at.astimezone(zone(session)).date()
    if lot.quality != "released":
        found.append(Flag(code="lot-not-released", text=f"{lot.number} is {lot.quality}."))
    past = rules.past_days(lot, day)
    return found + [Flag(code=code, text=f"{lot.number} {text}.") for code, text in past]


def _kept(session: WriteSession, lot: Lot, entered: Entered, pointer: str) -> Kept:
    chain = queries.subject_chain(lot)
    return kept(session, entered, chain, measure=lot.measure, pointer=pointer)


def _with_ways_out(session: WriteSession, short: rules.StockShort, lot: Lot) -> rules.StockShort:
    left = queries.left(session, [lot.row_id])[lot.row_id]
    said = queries.said(lot, left)
    remedies = (Remedy(f"all of it is gone: {said}", {"amount": f"-{said}"}),) if left > 0 else ()
    hint = "With override_reason and a key with the scope release it goes below zero."
    faults = at("#/amount", short.detail, "stock-short", hint=hint, remedies=remedies)
    return rules.StockShort(short.detail, faults, more=short.more)


def correct_movement(session: WriteSession, name: str, wanted: MovementCorrection) -> Moved:
    """Raises UnknownMovement, AlreadyCorrected, CorrectedElsewhere, Invalid."""
    old = queries.movement(session, name)
    if old.cause not in rules.OWN_ENTRIES:
        came = f"{old.cause} {old.cause_ref or ''}".strip()
        raise rules.CorrectedElsewhere(f"{queries.name_of(old)} comes from the {came}.")
    lot = queries.lot_by_id(session, old.lot)
    by = doer(session, wanted.by)
    values = wanted.replaces
    new = None if values is None else _replacement(session, old, values, by=by)
    row, flag = correct(session, old, new, reason=wanted.reason, by=by)
    if old.cause == "receipt":
        _restate(session, lot, new, None if values is None else values.price)
    return Moved(row, lot, [flag] if flag else [], {} if wanted.by else {"by": by})


def _replacement(
    session: WriteSession, old: Movement, values: MovementValues, *, by: str | None
) -> Move:
    if values.price is not None:
        _check_price(session, old)
    same = Move(
        old.amount,
        old.cause,
        old.cause_ref,
        by,
        old.happened_at,
        entered=_entered_before(old),
        density=old.density,
        override_reason=old.override_reason,
        about_seconds=old.about_seconds,
    )
    if (wanted := values.amount) is None:
        return same
    lot = queries.lot_by_id(session, old.lot)
    pointer = "#/replaces/amount"
    found = _kept(session, lot, wanted, pointer)
    sign = signed(wanted, old.cause, pointer=pointer)
    return replace(same, amount=sign * found.amount, entered=wanted.quantity, density=found.density)


def _entered_before(old: Movement) -> Quantity | None:
    if old.entered_value is None or old.entered_unit is None:
        return None
    dimension = "mass" if old.density is None else "volume"
    return Quantity(Decimal(old.entered_value), old.entered_unit, dimension)


def _check_price(session: WriteSession, old: Movement) -> None:
    pointer = "#/replaces/price"
    if old.cause != "receipt":
        wrong = f"{queries.name_of(old)} is no receipt and has no price."
        raise Invalid(wrong, at(pointer, wrong, "no-price", hint="Leave the price out."))
    if card(session).currency is None:
        raise Invalid(rules.NO_CURRENCY, rules.currency_missing(pointer))


def _restate(session: WriteSession, lot: Lot, new: Move | None, price: Decimal | None) -> None:
    """What the price of a received lot is for, and the price, after its receipt was corrected."""
    set_amount_in(session, lot, 0 if new is None else new.amount)
    if price is not None:
        lot.price = price
