"""Adjustments over HTTP: a goal is set, the pot read, something added, the pot read again."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path

from service.errors import AlreadyCorrected
from service.office.keys.rules import ScopeNeeded
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.pot import adjustments
from service.workshop.batches.answers import pot as pot_answers
from service.workshop.batches.bodies.adjustments import (
    AdditionIn,
    AdditionMade,
    AdjustmentCorrection,
    AdjustmentIn,
    AdjustmentMade,
    AdjustmentOut,
    AdjustmentReadingIn,
)
from service.workshop.batches.rules import UnknownBatch, WrongMaterial
from service.workshop.batches.rules.goals import BatchEnded, UnknownAdjustment

router = APIRouter(prefix="/v1/batches", tags=["batches"], route_class=Route)
Number = Annotated[int, Path(ge=1, le=10_000, description="From 1, within the batch.")]
_KNOWN = (UnknownBatch, UnknownAdjustment)


@router.get(
    "/{code}/adjustments",
    summary="List the goals that a batch was adjusted to",
    responses=problems(UnknownBatch),
)
def list_adjustments(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.ADJUSTMENTS))],
    session: Reading,
    link: Linking,
) -> Listed[AdjustmentOut]:
    batch = queries.batch(session, code)
    where = [queries.Adjustment.batch == batch.row_id, queries.NEWEST_GOALS]
    found = page(session, queries.ADJUSTMENTS, ask, where=where)
    return link(found, lambda row: queries.shown_adjustment(session, batch, row))


@router.post(
    "/{code}/adjustments",
    status_code=201,
    summary="Set a goal for the pot, and be told how much to add at first",
    responses=problems(UnknownBatch, BatchEnded),
)
def create_adjustment(code: str, wanted: AdjustmentIn, session: Writing) -> AdjustmentMade:
    desk, row = adjustments.open_adjustment(session, code, wanted)
    return pot_answers.adjusted(session, desk, row, wanted)


@router.get(
    "/{code}/adjustments/{number}",
    summary="Show an adjustment, reading by reading, with what to add next",
    responses=problems(*_KNOWN),
)
def get_adjustment(code: str, number: Number, session: Reading) -> AdjustmentOut:
    batch = queries.batch(session, code)
    return queries.shown_adjustment(session, batch, queries.adjustment(session, batch, number))


@router.post(
    "/{code}/adjustments/{number}/readings",
    status_code=201,
    summary="Record what the pot reads now: the new start",
    responses=problems(*_KNOWN),
)
def record_adjustment_reading(
    code: str, number: Number, wanted: AdjustmentReadingIn, session: Writing
) -> AdjustmentMade:
    desk, row = adjustments.add_reading(session, code, number, wanted)
    return pot_answers.adjusted(session, desk, row, wanted)


@router.post(
    "/{code}/adjustments/{number}/additions",
    status_code=201,
    summary="Record what was added: a weighing beside the plan",
    responses=problems(*_KNOWN, WrongMaterial),
)
def record_addition(
    code: str, number: Number, wanted: AdditionIn, session: Writing
) -> AdditionMade:
    desk, row, found = adjustments.add_addition(session, code, number, wanted)
    return pot_answers.added(session, desk, row, found, wanted)


@router.post(
    "/{code}/adjustments/{number}/corrections",
    status_code=201,
    summary="Correct a goal, or give it up",
    responses=problems(*_KNOWN, AlreadyCorrected, ScopeNeeded),
)
def correct_adjustment(
    code: str, number: Number, wanted: AdjustmentCorrection, session: Writing
) -> AdjustmentMade:
    desk, row = adjustments.correct_adjustment(session, code, number, wanted)
    return pot_answers.adjusted(session, desk, row, wanted)
