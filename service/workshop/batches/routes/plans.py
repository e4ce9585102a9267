"""Batches over HTTP: plans, sheets, mass balances and states."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.ending import completion
from service.workshop.batches.actions.plan import planning
from service.workshop.batches.answers import entries as answers
from service.workshop.batches.bodies.entries import (
    TransitionIn,
    TransitionMade,
)
from service.workshop.batches.bodies.plans import (
    BatchIn,
    BatchMade,
    BatchOut,
    MassBalanceOut,
    SheetOut,
)
from service.workshop.batches.bodies.whole import BatchShown
from service.workshop.batches.rules import (
    BatchState,
    PourTooHot,
    UnknownBatch,
    YieldMissing,
)
from service.workshop.recipes.rules import (
    IntermediateRetired,
    NotApproved,
    NotInUse,
    Retired,
    UnknownRecipe,
    UnknownVersion,
)
from service.workshop.scalings.rules import (
    CookTooHot,
    DensityNeeded,
    KettleTooSmall,
    PlanRefused,
    TooDeep,
    TooSmallToWeigh,
    UnknownScaling,
    ValueNeeded,
)
from service.workshop.stock.rules import StockShort

router = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)


@router.get("/batches", summary="List the batches, newest first")
def list_batches(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[BatchOut]:
    return link(page(session, queries.LISTING, ask), lambda row: queries.shown(session, row))


@router.post(
    "/batches",
    status_code=201,
    summary="Plan a batch from an approved version",
    responses=problems(
        UnknownRecipe,
        UnknownVersion,
        NotApproved,
        NotInUse,
        Retired,
        IntermediateRetired,
        UnknownScaling,
        DensityNeeded,
        ValueNeeded,
        PlanRefused,
        CookTooHot,
        PourTooHot,
        TooDeep,
        KettleTooSmall,
        TooSmallToWeigh,
        StockShort,
    ),
)
def plan_a_batch(wanted: BatchIn, session: Writing, response: Response) -> BatchMade:
    found = planning.plan_batch(session, wanted)
    response.headers["Location"] = f"/v1/batches/{found.batch.code}"
    return answers.planned(session, found)


@router.get("/batches/{code}", summary="Show a batch", responses=problems(UnknownBatch))
def get_batch(code: str, session: Reading) -> BatchShown:
    return queries.shown_whole(session, queries.batch(session, code))


@router.get(
    "/batches/{code}/sheet",
    summary="The sheet to work by, ending in the page to send back",
    responses=problems(UnknownBatch),
    response_model_exclude_none=True,
)
def get_batch_sheet(code: str, session: Reading) -> SheetOut:
    return queries.sheet(session, queries.batch(session, code))


@router.get(
    "/batches/{code}/mass-balance",
    summary="What went in beside what came out",
    responses=problems(UnknownBatch),
)
def get_mass_balance(code: str, session: Reading) -> MassBalanceOut:
    return queries.mass_balance(session, queries.batch(session, code))


@router.post(
    "/batches/{code}/transitions",
    status_code=201,
    summary="Start, hold, complete or abort a batch",
    responses=problems(UnknownBatch, BatchState, YieldMissing),
)
def move_batch(code: str, wanted: TransitionIn, session: Writing) -> TransitionMade:
    desk, row, lot = completion.move_batch(session, code, wanted)
    return answers.shifted(session, desk, row, lot, wanted)
