"""Entries of a lot's life: kept with the line of the ledger that a skin takes off."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlmodel import col

from service.errors import Invalid, Remedy, at
from service.office.equipment import queries as equipment
from service.office.equipment.rules import UnknownEquipment
from service.office.people.queries import doer
from service.store.records import Amends, amend, check_correctable, entry, stamp
from service.store.session import ReadSession, WriteSession
from service.workshop.deviations.bodies import Flag
from service.workshop.stock import queries
from service.workshop.stock._tables import LifeEntry, Lot, Vessel
from service.workshop.stock.actions.amounts import Kept, kept
from service.workshop.stock.actions.ledger import Move, correct, enter
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.bodies import Entered, LifeCorrection, LifeIn, VesselIn
from service.workshop.stock.bodies.life import FACETS, NOTHING_SAID, sent

_SETTLED_BY = "POST /v1/stock-takes"
_COLUMNS = ("opened", "saw", "photo", "certificate")  # what an entry keeps as it was sent


@dataclass
class Lived:
    """An entry as it was kept, with what is to be told of it."""

    row: LifeEntry
    lot: Lot
    flags: list[Flag] = field(default_factory=list)
    assumed: dict[str, Any] = field(default_factory=dict)


def record_life(session: WriteSession, lot: Lot, wanted: LifeIn) -> Lived:
    """Keep what was done with a lot or seen of it; facts, so nothing here is refused for not
    adding up. Raises Invalid, DensityNeeded."""
    check_past(session, wanted.happened_at)
    inside = _inside(session, lot, wanted.vessels, "#/vessels")
    stamped = stamp(session, by=doer(session, wanted.by), happened_at=wanted.happened_at)
    opened_before = queries.opened_on(session, [lot.row_id]).get(lot.row_id)
    row = LifeEntry(lot=lot.row_id, **{name: getattr(wanted, name) for name in _COLUMNS}, **stamped)
    made = Lived(row, lot, assumed={} if wanted.by or not row.by else {"by": row.by})
    if wanted.skin_removed is not None:
        found = _skin(session, lot, wanted.skin_removed, "#/skin_removed")
        line = _line(row, wanted.skin_removed, found)
        movement, flag = enter(session, lot, line, plan=False)
        row.skin = movement.row_id
        _told(made, flag, found)
    _keep(session, made, inside)
    if wanted.opened and opened_before is not None:
        text = f"A vessel of {lot.number} was opened before, first on {opened_before}."
        made.flags.append(Flag(code="opened-before", text=text))
    return made


def correct_life(session: WriteSession, lot: Lot, number: int, wanted: LifeCorrection) -> Lived:
    """As corrected, with the ledger made good. Raises UnknownEntry, AlreadyCorrected, Invalid,
    DensityNeeded."""
    old = entry(session, LifeEntry, number, col(LifeEntry.lot) == lot.row_id)
    check_correctable(session, old)
    by = doer(session, wanted.by)
    values = {} if wanted.replaces is None else sent(wanted.replaces)
    before = queries.vessels_of(session, [old]).get(old.row_id, [])
    if wanted.replaces is not None:
        _check_says_something(old, before, values)
    changes = {name: values[name] for name in _COLUMNS if name in values}
    made = Lived(old, lot, assumed={} if wanted.by or not by else {"by": by})
    if wanted.void or "skin_removed" in values:
        changes["skin"] = _correct_skin(session, made, wanted, by=by)
    inside = before
    if "vessels" in values:
        inside = _inside(session, lot, values["vessels"], "#/replaces/vessels")
    made.row = amend(session, old, Amends(wanted.reason, by, void=wanted.void), changes)
    _keep(session, made, [_copied(each) for each in inside])
    return made


def _inside(
    session: ReadSession, lot: Lot, vessels: Sequence[VesselIn] | None, pointer: str
) -> list[Vessel]:
    """What stands in which vessel, in mg or pieces; rows that belong to no entry yet."""
    found = []
    for place, each in enumerate(vessels or ()):
        inside = _kept(session, lot, each.amount, f"{pointer}/{place}/amount")
        code = _equipment(session, each.vessel)
        found.append(
            Vessel(
                entry=0,
                position=place + 1,
                vessel=code or each.vessel,
                equipment=code,
                amount=inside.amount,
            )
        )
    return found


def _equipment(session: ReadSession, name: str) -> str | None:
    try:
        return equipment.equipment(session, name).code
    except UnknownEquipment:
        return None


def _kept(session: ReadSession, lot: Lot, entered: Entered, pointer: str) -> Kept:
    chain = queries.subject_chain(lot)
    return kept(session, entered, chain, measure=lot.measure, pointer=pointer)


def _skin(session: ReadSession, lot: Lot, entered: Entered, pointer: str) -> Kept:
    if lot.measure == "count":
        wrong = f"{lot.number} is kept by count; no skin is taken off it."
        hint = "What is unfit is scrapped: POST /v1/movements."
        raise Invalid(wrong, at(pointer, wrong, "lot-counted", hint=hint))
    return _kept(session, lot, entered, pointer)


def _line(row: LifeEntry, entered: Entered, found: Kept) -> Move:
    return Move(
        -found.amount,
        "skin",
        by=row.by,
        happened_at=row.happened_at,
        entered=entered.quantity,
        density=found.density,
        about_seconds=row.about_seconds,
    )


def _correct_skin(
    session: WriteSession, made: Lived, wanted: LifeCorrection, *, by: str | None
) -> int | None:
    """The ledger put right; the line that stands now, if any."""
    old, lot = made.row, made.lot
    entered = None if wanted.replaces is None else wanted.replaces.skin_removed
    found, new = None, None
    if entered is not None:
        found = _skin(session, lot, entered, "#/replaces/skin_removed")
        new = _line(old, entered, found)
    if old.skin is None:
        if new is None:
            return None
        line, flag = enter(session, lot, new, plan=False)
    else:
        before = queries.movement(session, f"M-{old.skin}")
        line, flag = correct(session, before, new, reason=wanted.reason, by=by)
    _told(made, flag, found)
    # A voided entry goes on naming the line that it had.
    return old.skin if wanted.void else line.row_id if new else None


def _check_says_something(
    old: LifeEntry, before: Sequence[Vessel], values: Mapping[str, Any]
) -> None:
    said = {
        **{name: getattr(old, name) for name in _COLUMNS},
        "skin_removed": old.skin,
        "vessels": before,
        **values,
    }
    if not any(said[name] for name in FACETS):
        remedies = (Remedy("none of it was so", {"replaces": None, "void": True}),)
        faults = at("#/replaces", NOTHING_SAID, "nothing-said", remedies=remedies)
        raise Invalid(NOTHING_SAID, faults)


def _copied(row: Vessel) -> Vessel:
    return Vessel(**row.model_dump(exclude={"id"}))


def _told(made: Lived, flag: Flag | None, found: Kept | None) -> None:
    if flag is not None:
        made.flags.append(flag)
    if found is not None and found.said:
        made.assumed["density"] = found.said


def _keep(session: WriteSession, made: Lived, inside: Sequence[Vessel]) -> None:
    """Write the entry with its vessels, and say where they do not add up to the ledger."""
    row, lot = made.row, made.lot
    session.add(row)
    session.flush()  # its vessels point at it, and the answer shows its key
    for each in inside:
        each.entry = row.row_id
        session.add(each)
    session.flush()  # the answer reads them back
    if not inside or row.void:
        return
    ledger = queries.movements_of(session, lot.row_id)
    together, then = sum(one.amount for one in inside), queries.ledger_at(ledger, row.happened_at)
    if together != then:
        word = "more" if together > then else "less"
        text = (
            f"The vessels hold {queries.said(lot, together)} together; the ledger of {lot.number} "
            f"said {queries.said(lot, then)}: {queries.said(lot, abs(together - then))} {word}."
        )
        made.flags.append(Flag(code="vessels-differ", text=text, concluded_by=_SETTLED_BY))
