"""Corrections of notes, cook points and moves over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path

from service.errors import AlreadyCorrected
from service.office.equipment.rules import UnknownEquipment
from service.office.keys.rules import ScopeNeeded
from service.store.lists import Ask, page
from service.store.records import UnknownEntry
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.amending import entries as entry_corrections
from service.workshop.batches.actions.amending import moves as move_corrections
from service.workshop.batches.bodies.corrections import (
    MoveCorrected,
    MoveCorrection,
    MoveOut,
    NoteCorrected,
    NoteCorrection,
    PointCorrected,
    PointCorrection,
)
from service.workshop.batches.queries import CookPoint
from service.workshop.batches.rules import MoveKept, UnknownBatch

router = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)
Entry = Annotated[int, Path(ge=1, lt=2**63, description="The number of the entry.")]
_CORRECTING = (UnknownEntry, AlreadyCorrected, ScopeNeeded)


@router.post(
    "/batches/{code}/notes/{entry}/corrections",
    status_code=201,
    summary="Correct or void a note",
    responses=problems(UnknownBatch, *_CORRECTING),
)
def correct_batch_note(
    code: str, entry: Entry, wanted: NoteCorrection, session: Writing
) -> NoteCorrected:
    desk, row = entry_corrections.correct_note(session, code, entry, wanted)
    return NoteCorrected(
        **queries.shown_note(session, row, desk.batch).model_dump(),
        flags=desk.flags,
        assumed={} if wanted.by or row.by is None else {"by": row.by},
        summary=f"Note {entry} of {desk.batch.code} {'voided' if row.void else 'corrected'}.",
    )


@router.post(
    "/batches/{code}/cook-points/{entry}/corrections",
    status_code=201,
    summary="Correct or void a point of a batch's cook log",
    responses=problems(UnknownBatch, *_CORRECTING),
)
def correct_batch_cook_point(
    code: str, entry: Entry, wanted: PointCorrection, session: Writing
) -> PointCorrected:
    row = entry_corrections.correct_batch_point(session, code, entry, wanted)
    return _point(session, row, entry, wanted)


@router.post(
    "/equipment/{code}/cook-points/{entry}/corrections",
    status_code=201,
    summary="Correct or void a point of a kettle, whether a batch was in it or not",
    responses=problems(UnknownEquipment, *_CORRECTING),
)
def correct_kettle_cook_point(
    code: str, entry: Entry, wanted: PointCorrection, session: Writing
) -> PointCorrected:
    row = entry_corrections.correct_kettle_point(session, code, entry, wanted)
    return _point(session, row, entry, wanted)


def _point(session: Writing, row: CookPoint, entry: int, wanted: PointCorrection) -> PointCorrected:
    shown = queries.shown_points(session, [row])[row.row_id]
    now = f"{shown.temperature.value} °C" if shown.temperature else "no temperature"
    return PointCorrected(
        **shown.model_dump(),
        assumed={} if wanted.by or row.by is None else {"by": row.by},
        summary=f"Point {entry}: {'voided' if row.void else f'now {now}'}.",
    )


@router.get(
    "/batches/{code}/transitions",
    summary="List the moves of a batch, also those that were corrected",
    responses=problems(UnknownBatch),
)
def list_transitions(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.TRANSITIONS))],
    session: Reading,
    link: Linking,
) -> Listed[MoveOut]:
    batch = queries.batch(session, code)
    where = [queries.Transition.batch == batch.row_id]
    found = page(session, queries.TRANSITIONS, ask, where=where)
    shown = queries.shown_moves(session, found.rows, batch)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/batches/{code}/transitions/{entry}/corrections",
    status_code=201,
    summary="Correct when a batch was moved, or take its last move back",
    responses=problems(UnknownBatch, MoveKept, *_CORRECTING),
)
def correct_transition(
    code: str, entry: Entry, wanted: MoveCorrection, session: Writing
) -> MoveCorrected:
    done = move_corrections.correct_move(session, code, entry, wanted)
    batch, row = done.desk.batch, done.row
    when = row.happened_at.isoformat(timespec="minutes")
    said = f"taken back; {batch.code} is {batch.state}" if row.void else f"now at {when}"
    return MoveCorrected(
        **queries.shown_moves(session, [row], batch)[row.row_id].model_dump(),
        state=batch.state,
        lots=done.lots,
        figures=queries.shown_written(done.desk.figures),
        flags=done.desk.flags,
        assumed={} if wanted.by or row.by is None else {"by": row.by},
        summary=f"Move {entry} of {batch.code} to {row.to_state}: {said}.",
    )
