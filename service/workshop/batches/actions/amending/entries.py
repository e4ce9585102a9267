"""Correcting what was noted and what the cook log says."""

from typing import Any

from sqlmodel import col

from service.office.equipment.queries import equipment
from service.office.people.queries import doer
from service.science import units
from service.store.records import Amends, amend, entry
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchNote, CookPoint
from service.workshop.batches.actions.amending.allowed import amended
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.bodies.corrections import NoteCorrection, PointCorrection
from service.workshop.batches.rules import FROM_KETTLE


def correct_note(
    session: WriteSession, code: str, number: int, wanted: NoteCorrection
) -> tuple[Desk, BatchNote]:
    """Raises UnknownBatch, UnknownEntry, AlreadyCorrected, ScopeNeeded."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = entry(session, BatchNote, number, col(BatchNote.batch) == desk.batch.row_id)
    changes = {} if wanted.replaces is None else _timed(wanted.replaces.changed())
    return desk, amended(desk, old, wanted, changes)


def _timed(changes: dict[str, Any]) -> dict[str, Any]:
    """A time that is put right is no longer about."""
    return {**changes, "about_seconds": None} if "happened_at" in changes else changes


def correct_batch_point(
    session: WriteSession, code: str, number: int, wanted: PointCorrection
) -> CookPoint:
    """Raises UnknownBatch, UnknownEntry, AlreadyCorrected, ScopeNeeded."""
    batch = queries.batch(session, code)
    old = entry(session, CookPoint, number, col(CookPoint.batch) == batch.row_id)
    return _correct(session, old, wanted)


def correct_kettle_point(
    session: WriteSession, kettle: str, number: int, wanted: PointCorrection
) -> CookPoint:
    """Raises UnknownEquipment, UnknownEntry, AlreadyCorrected, ScopeNeeded."""
    held = equipment(session, kettle)
    old = entry(session, CookPoint, number, col(CookPoint.kettle) == held.code)
    return _correct(session, old, wanted)


def _correct(session: WriteSession, old: CookPoint, wanted: PointCorrection) -> CookPoint:
    # Its number stays with the reading that the device sent, so that a repeat is still known.
    changes: dict[str, Any] = {"device": old.device, **_changes(session, old, wanted)}
    if old.batch is None:
        amends = Amends(wanted.reason, doer(session, wanted.by), wanted.void)
        return amend(session, old, amends, changes)
    code = queries.batch_by_id(session, old.batch).code
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    return amended(desk, old, wanted, changes)


def _changes(session: WriteSession, old: CookPoint, wanted: PointCorrection) -> dict[str, Any]:
    if wanted.replaces is None:
        return {}
    changes = _timed(wanted.replaces.changed())
    if (read := changes.pop("temperature", None)) is not None:
        celsius = units.canonical(read)
        changes |= {"temperature_c": round(celsius, 3).normalize() + 0, "set_aside": None}
    at = wanted.replaces.happened_at
    if at is not None and old.kettle is not None and old.entered_from == FROM_KETTLE:
        there = queries.running_in(session, old.kettle, at)
        changes["batch"] = None if there is None else there.row_id
    return changes
