"""Entries that come alone, by hand or from a device that may send them again."""

from dataclasses import dataclass
from typing import Generic, TypeVar

from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchNote, Weighing
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.entries.desk import Desk, Place, open_desk
from service.workshop.batches.actions.entries.devices import (
    Sender,
    keep_clock,
    known,
    remember,
    timing,
)
from service.workshop.batches.actions.entries.remarks import keep_note
from service.workshop.batches.actions.entries.splits import record_split
from service.workshop.batches.actions.entries.weighings import Weighed
from service.workshop.batches.bodies.cook_log import Clock
from service.workshop.batches.bodies.devices import DeviceIn
from service.workshop.batches.bodies.entries import NoteIn, WeighingIn
from service.workshop.stock import queries as stock
from service.workshop.stock.actions.times import check_past

R = TypeVar("R")


@dataclass(frozen=True)
class Live(Generic[R]):
    """What was kept; `again` where the device had sent it before, so that nothing was written."""

    desk: Desk
    kept: R
    again: bool
    clock: Clock | None


def enter_weighing(session: WriteSession, code: str, wanted: WeighingIn) -> Live[list[Weighed]]:
    """A weighing. Raises UnknownBatch, WrongMaterial, DeviceSeqUsed, Invalid."""
    desk, clock = _desk(session, code, wanted, by=wanted.by)
    sender = Sender(wanted.device_id, wanted.device_seq, "weighings")
    if (before := known(desk, sender, wanted, Place())) is not None:
        return Live(desk, _kept(desk, before.entry), again=True, clock=clock)
    found = record_split(desk, wanted, Place())
    measure_loss(desk)
    remember(desk, sender, wanted, found[-1].row)
    return Live(desk, found, again=False, clock=clock)


def add_note(session: WriteSession, code: str, wanted: NoteIn) -> Live[BatchNote]:
    """A note for itself. Raises UnknownBatch, DeviceSeqUsed, Invalid."""
    desk, clock = _desk(session, code, wanted, by=wanted.by)
    sender = Sender(wanted.device_id, wanted.device_seq, "batch_notes")
    if (before := known(desk, sender, wanted, Place())) is not None:
        row = session.get_one(BatchNote, before.entry)
        return Live(desk, row, again=True, clock=clock)
    row = keep_note(desk, wanted.text)
    remember(desk, sender, wanted, row)
    return Live(desk, row, again=False, clock=clock)


def _desk(
    session: WriteSession, code: str, wanted: DeviceIn, *, by: str | None
) -> tuple[Desk, Clock | None]:
    found = timing(session.now, [wanted], wanted.sent_at)
    when = found.moment(wanted)
    if wanted.device_id is None:
        check_past(session, when.at)  # a device may have a wrong clock, and is kept
    desk = open_desk(session, code, by=by, happened_at=None)
    keep_clock(session, wanted.device_id, found)
    return desk.at(when), found.shown()


def _kept(desk: Desk, entry: int) -> list[Weighed]:
    """A weighing as it was kept before, with the other parts where it was split."""
    last = desk.session.get_one(Weighing, entry)
    lines = {line.line: line for line in queries.lines(desk.session, desk.batch)}
    rows = queries.entered_together(desk.session, last)
    lots = stock.lots_by_id(desk.session, [row.lot for row in rows])
    return [Weighed(row, lines.get(row.line), lots[row.lot]) for row in rows]
