"""The stages of a batch over HTTP: begun, gone on with, ended, corrected."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path

from service.errors import AlreadyCorrected
from service.office.keys.rules import ScopeNeeded
from service.store.lists import Ask, page
from service.store.records import UnknownEntry, standing
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.amending import stages as stage_corrections
from service.workshop.batches.actions.stages import stages
from service.workshop.batches.answers import stages as stage_answers
from service.workshop.batches.bodies.stages import (
    StageCorrection,
    StageEntryCorrected,
    StageEntryCorrection,
    StageEntryIn,
    StageIn,
    StageMade,
    StageOut,
)
from service.workshop.batches.rules import StageEnded, UnknownBatch, UnknownBatchStage

router = APIRouter(prefix="/v1/batches", tags=["batches"], route_class=Route)
Number = Annotated[int, Path(ge=1, lt=2**31, description="As the stages were begun.")]
Entry = Annotated[int, Path(ge=1, lt=2**63, description="The number of the entry.")]
_CORRECTING = (UnknownBatch, UnknownBatchStage, AlreadyCorrected, ScopeNeeded)


@router.get(
    "/{code}/stages",
    summary="List the stages of a batch as they were worked",
    responses=problems(UnknownBatch),
)
def list_batch_stages(
    code: str, ask: Annotated[Ask, Depends(asking(queries.STAGES))], session: Reading, link: Linking
) -> Listed[StageOut]:
    batch = queries.batch(session, code)
    where = [queries.StageBegun.batch == batch.row_id, standing(queries.StageBegun)]
    found = page(session, queries.STAGES, ask, where=where)
    shown = queries.shown_stages(session, batch)
    return link(found, lambda row: shown[row.number])


@router.post(
    "/{code}/stages",
    status_code=201,
    summary="Begin a stage, or record a whole one",
    responses=problems(UnknownBatch),
)
def begin_batch_stage(code: str, wanted: StageIn, session: Writing) -> StageMade:
    working = stages.begin_stage(session, code, wanted)
    return stage_answers.worked(session, working, wanted)


@router.get(
    "/{code}/stages/{number}",
    summary="Show a stage of a batch",
    responses=problems(UnknownBatch, UnknownBatchStage),
)
def get_batch_stage(code: str, number: Number, session: Reading) -> StageOut:
    batch = queries.batch(session, code)
    queries.begun(session, batch, number)
    return queries.shown_stages(session, batch)[number]


@router.post(
    "/{code}/stages/{number}/entries",
    status_code=201,
    summary="Go on with a stage: weighed, taken out of, ended",
    responses=problems(UnknownBatch, UnknownBatchStage, StageEnded),
)
def enter_batch_stage(
    code: str, number: Number, wanted: StageEntryIn, session: Writing
) -> StageMade:
    working = stages.go_on(session, code, number, wanted)
    return stage_answers.worked(session, working, wanted)


@router.post(
    "/{code}/stages/{number}/corrections",
    status_code=201,
    summary="Correct a stage, or void it with its entries",
    responses=problems(*_CORRECTING),
)
def correct_batch_stage(
    code: str, number: Number, wanted: StageCorrection, session: Writing
) -> StageMade:
    working = stage_corrections.correct_stage(session, code, number, wanted)
    return stage_answers.worked(session, working, wanted)


@router.post(
    "/{code}/stages/{number}/entries/{entry}/corrections",
    status_code=201,
    summary="Correct or void what was weighed or taken out in a stage, or its end",
    responses=problems(*_CORRECTING, UnknownEntry),
)
def correct_batch_stage_entry(
    code: str, number: Number, entry: Entry, wanted: StageEntryCorrection, session: Writing
) -> StageEntryCorrected:
    working, row = stage_corrections.correct_stage_entry(
        session, code, number, key=entry, wanted=wanted
    )
    return stage_answers.entry_corrected(session, working, row, wanted)
