"""What was seen in the pot over HTTP: events, and the colour ladder."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path

from service.errors import AlreadyCorrected
from service.office.keys.rules import ScopeNeeded
from service.store.lists import Ask, page
from service.store.records import UnknownEntry
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.pot import events
from service.workshop.batches.answers import pot as pot_answers
from service.workshop.batches.bodies.events import (
    DropCorrection,
    DropIn,
    DropMade,
    DropOut,
    EventCorrection,
    EventIn,
    EventMade,
    EventOut,
)
from service.workshop.batches.rules import UnknownBatch

router = APIRouter(prefix="/v1/batches", tags=["batches"], route_class=Route)
Entry = Annotated[int, Path(ge=1, lt=2**63, description="The number of the entry.")]
_CORRECTING = (UnknownBatch, UnknownEntry, AlreadyCorrected, ScopeNeeded)


@router.get(
    "/{code}/events",
    summary="List the events of a batch, as they happened",
    responses=problems(UnknownBatch),
)
def list_batch_events(
    code: str, ask: Annotated[Ask, Depends(asking(queries.EVENTS))], session: Reading, link: Linking
) -> Listed[EventOut]:
    batch = queries.batch(session, code)
    where = [queries.BatchEvent.batch == batch.row_id]
    found = page(session, queries.EVENTS, ask, where=where)
    shown = queries.shown_events(session, batch, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/{code}/events",
    status_code=201,
    summary="Record an event: foam, a string test, off the heat",
    responses=problems(UnknownBatch),
)
def record_batch_event(code: str, wanted: EventIn, session: Writing) -> EventMade:
    desk, row = events.record_event(session, code, wanted)
    return pot_answers.happened(session, desk, row, wanted)


@router.post(
    "/{code}/events/{entry}/corrections",
    status_code=201,
    summary="Correct or void an event",
    responses=problems(*_CORRECTING),
)
def correct_batch_event(
    code: str, entry: Entry, wanted: EventCorrection, session: Writing
) -> EventMade:
    desk, row = events.correct_event(session, code, entry, wanted)
    return pot_answers.happened(session, desk, row, wanted)


@router.get(
    "/{code}/colour-ladder",
    summary="List the drops of the colour ladder, as they were taken",
    responses=problems(UnknownBatch),
)
def list_colour_drops(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.COLOUR_LADDER))],
    session: Reading,
    link: Linking,
) -> Listed[DropOut]:
    batch = queries.batch(session, code)
    where = [queries.ColourDrop.batch == batch.row_id]
    found = page(session, queries.COLOUR_LADDER, ask, where=where)
    shown = queries.shown_drops(session, batch, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/{code}/colour-ladder",
    status_code=201,
    summary="Add a drop to the colour ladder: minutes, warmth, what was read, a photo",
    responses=problems(UnknownBatch),
)
def record_colour_drop(code: str, wanted: DropIn, session: Writing) -> DropMade:
    desk, row = events.record_drop(session, code, wanted)
    return pot_answers.dropped(session, desk, row, wanted)


@router.post(
    "/{code}/colour-ladder/{entry}/corrections",
    status_code=201,
    summary="Correct or void a drop of the colour ladder",
    responses=problems(*_CORRECTING),
)
def correct_colour_drop(
    code: str, entry: Entry, wanted: DropCorrection, session: Writing
) -> DropMade:
    desk, row = events.correct_drop(session, code, entry, wanted)
    return pot_answers.dropped(session, desk, row, wanted)
