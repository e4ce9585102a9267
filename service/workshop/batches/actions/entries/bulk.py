"""Many entries at once, all of them or none: what is wrong is told row by row."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import pairwise
from typing import Any

from service.errors import Fault, Invalid, Remedy, at
from service.office.people.queries import doer
from service.science import units
from service.science.units import Quantity
from service.store.columns import Recorded
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchNote, CookPoint, StepEntry, Weighing
from service.workshop.batches._tables_pot import BatchEvent, ColourDrop
from service.workshop.batches.actions.cook.log import keep_point
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.entries.desk import Desk, Place, open_desk
from service.workshop.batches.actions.entries.devices import (
    WIRE,
    Sender,
    Timing,
    keep_clock,
    known,
    remember,
    timing,
)
from service.workshop.batches.actions.entries.remarks import keep_note, keep_step
from service.workshop.batches.actions.entries.splits import record_split
from service.workshop.batches.actions.entries.weighings import Weighed
from service.workshop.batches.actions.pot.events import (
    DROP_VALUES,
    EVENT_VALUES,
    as_told,
    keep_drop,
    keep_event,
)
from service.workshop.batches.bodies.bulk import EntriesIn, EntryIn, SawIn
from service.workshop.batches.bodies.entries import WeighedOfLineIn
from service.workshop.batches.rules.resending import written

_TABLES: dict[str, type[Recorded]] = {
    "weighing": Weighing,
    "note": BatchNote,
    "saw": StepEntry,
    "temperature": CookPoint,
    "event": BatchEvent,
    "drop": ColourDrop,
}


@dataclass(frozen=True)
class Kept:
    """One row as it was kept, or as it is known from before."""

    number: int
    row: EntryIn
    entries: list[Any]
    again: bool = False
    assumed: dict[str, Any] = field(default_factory=dict)


@dataclass
class Entered:
    """All rows, and what is refused of them so far."""

    desk: Desk
    wanted: EntriesIn
    timing: Timing
    kept: list[Kept] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    refusals: list[Invalid] = field(default_factory=list)

    @property
    def stored(self) -> int:
        return sum(not one.again for one in self.kept)

    @property
    def assumed(self) -> dict[str, Any]:
        """What was filled in, by the number of the row."""
        return {str(one.number + 1): one.assumed for one in self.kept if one.assumed}


def enter_entries(session: WriteSession, code: str, wanted: EntriesIn) -> Entered:
    """Write all of them or none. Raises UnknownBatch, WrongMaterial, DeviceSeqUsed, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    found = timing(session.now, wanted.entries, wanted.sent_at)
    entered = Entered(desk, wanted, found)
    moments = [found.moment(row) for row in wanted.entries]
    _check_order(wanted, [moment.at for moment in moments])
    for number, (row, moment) in enumerate(zip(wanted.entries, moments, strict=True)):
        place = Place(f"#/entries/{number}", _in_list(wanted.entries, number))
        try:
            by = doer(session, row.by, pointer=place.of("by")) if row.by else desk.by
            entered.kept.append(_enter(entered, number, replace(desk, moment=moment, by=by), place))
        except Invalid as refusal:
            entered.refusals.append(refusal)
            entered.faults.extend(_numbered(number, refusal))
    _refuse_all(entered)
    keep_clock(session, wanted.device_id, found)
    if any(one.row.weighing and not one.again for one in entered.kept):
        measure_loss(desk)
    return entered


def _enter(entered: Entered, number: int, desk: Desk, place: Place) -> Kept:
    wanted, row = entered.wanted, entered.wanted.entries[number]
    table = _TABLES[row.kind]
    above = max((each.seq or 0 for each in wanted.entries), default=0)
    sender = Sender(wanted.device_id, row.seq, str(table.__tablename__), "seq", above)
    if (before := known(desk, sender, row, place)) is not None:
        return Kept(number, row, [desk.session.get_one(table, before.entry)], again=True)
    if row.weighing is not None:
        weighed = _weigh(desk, row.weighing, place)
        remember(desk, sender, row, weighed[-1].row)
        told = {name: value for one in weighed for name, value in one.assumed.items()}
        return Kept(number, row, [one.row for one in weighed], assumed=told)
    made = _write(desk, row, place)
    remember(desk, sender, row, made)
    return Kept(number, row, [made])


def _weigh(desk: Desk, weighing: WeighedOfLineIn, place: Place) -> list[Weighed]:
    def wrap(patch: dict[str, Any]) -> Any:
        return place.wrap({"weighing": {**written(weighing), **patch}})

    own = Place(f"{place.pointer}/weighing", wrap)
    by = doer(desk.session, weighing.by, pointer=own.of("by")) if weighing.by else desk.by
    return record_split(replace(desk, by=by), weighing, own)


def _write(desk: Desk, row: EntryIn, place: Place) -> Recorded:
    if row.note is not None:
        return keep_note(desk, row.note)
    if row.saw is not None:
        return _see(desk, row.saw, place)
    if row.event is not None:
        return keep_event(desk, as_told(row.event, EVENT_VALUES))
    if row.drop is not None:
        return keep_drop(desk, as_told(row.drop, DROP_VALUES))
    celsius: Quantity | None = row.temperature
    assert celsius is not None
    return keep_point(desk, units.canonical(celsius), remark=row.remark)


def _see(desk: Desk, saw: SawIn, place: Place) -> StepEntry:
    there = [line.line for line in queries.lines(desk.session, desk.batch) if line.do not in _OWN]
    if saw.line not in there:
        wrong = f"At line {saw.line} of {desk.batch.code} nothing is noted down as seen."
        hint = f"These are no weighings: {', '.join(str(line) for line in there) or 'none'}."
        raise Invalid(wrong, at(f"{place.pointer}/saw/line", wrong, "line-not-seen", hint=hint))
    return keep_step(desk, saw.line, saw.text)


_OWN = {"weigh", "yield"}  # lines with entries of a kind of their own


def _check_order(wanted: EntriesIn, times: Sequence[datetime]) -> None:
    """Raises Invalid where time runs backwards from one row to the next, unless that is said."""
    if wanted.any_order:
        return
    faults: list[Fault] = []
    for number, (before, after) in enumerate(pairwise(times), start=1):
        if after < before - WIRE:
            wrong = f"Row {number + 1}: it happened before row {number} did."
            name = "age_s" if wanted.entries[number].age_s is not None else "happened_at"
            way = Remedy("the rows are in no order", {"any_order": True})
            hint = "Send them as they happened; or was the clock put back in between?"
            pointer = f"#/entries/{number}/{name}"
            faults += at(pointer, wrong, "time-backwards", hint=hint, remedies=(way,))
    if faults:
        raise Invalid("Nothing was written. Time runs backwards in what was sent.", tuple(faults))


def _in_list(rows: Sequence[EntryIn], number: int) -> Callable[[dict[str, Any]], Any]:
    """A merge patch replaces an array as a whole, so it is written out."""

    def wrap(patch: dict[str, Any]) -> Any:
        sent = [written(row) for row in rows]
        sent[number] = {**sent[number], **patch}
        return {"entries": sent}

    return wrap


def _numbered(number: int, refusal: Invalid) -> Sequence[Fault]:
    return [replace(fault, detail=f"Row {number + 1}: {fault.detail}") for fault in refusal.faults]


def _refuse_all(entered: Entered) -> None:
    """Nothing is written where anything is refused; all of it is told at once."""
    found = entered.refusals
    if not found:
        return
    kinds = {type(refusal) for refusal in found}
    kind = kinds.pop() if len(kinds) == 1 else Invalid
    rows = "row" if len(found) == 1 else "rows"
    detail = f"Nothing was written. {len(found)} {rows} of {len(entered.wanted.entries)}"
    raise kind(f"{detail} cannot be taken.", tuple(entered.faults))
