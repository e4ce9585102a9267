"""Batches over HTTP: plans, sheets and pages, single entries, and the kettle's own address."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from service.errors import AlreadyCorrected
from service.office.equipment.queries import equipment
from service.office.equipment.rules import UnknownEquipment
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import BULK, Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import answers, queries
from service.workshop.batches.actions import completion, cook_log, planning, remarks
from service.workshop.batches.actions.corrections import correct_line
from service.workshop.batches.actions.desk import Place, open_desk
from service.workshop.batches.actions.pages import enter_page
from service.workshop.batches.actions.weighings import portion_of, record_weighing
from service.workshop.batches.bodies.cook_log import (
    CookPointOut,
    CookPointsIn,
    CookPointsMade,
    StreamIn,
    StreamStored,
)
from service.workshop.batches.bodies.entries import (
    LineCorrected,
    LineCorrectionIn,
    NoteIn,
    NoteMade,
    NoteOut,
    TransitionIn,
    TransitionMade,
    WeighingIn,
    WeighingMade,
    WeighingOut,
    YieldIn,
    YieldMade,
)
from service.workshop.batches.bodies.pages import PageIn, PageMade
from service.workshop.batches.bodies.plans import (
    BatchIn,
    BatchMade,
    BatchOut,
    MassBalanceOut,
    SheetOut,
)
from service.workshop.batches.rules import (
    BatchState,
    NothingToCorrect,
    PageKnown,
    PourTooHot,
    SeveralEntries,
    UnknownBatch,
    UnknownBatchLine,
    WrongMaterial,
    YieldMissing,
)
from service.workshop.recipes.rules import NotApproved, NotInUse, UnknownRecipe, UnknownVersion
from service.workshop.scalings.rules import KettleTooSmall, UnknownScaling

router = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)
LineNumber = Annotated[int, Path(ge=0, le=200, description="From the sheet; 0: unplanned.")]


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
        UnknownScaling,
        KettleTooSmall,
        PourTooHot,
    ),
)
def plan_a_batch(wanted: BatchIn, session: Writing, response: Response) -> BatchMade:
    found = planning.plan_batch(session, wanted)
    response.headers["Location"] = f"/v1/batches/{found.batch.code}"
    return answers.planned(session, found)


@router.get("/batches/{code}", summary="Show a batch", responses=problems(UnknownBatch))
def get_batch(code: str, session: Reading) -> BatchOut:
    return queries.shown(session, queries.batch(session, code))


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
    "/batches/{code}/pages",
    status_code=201,
    summary="Enter a whole page of the sheet",
    responses=problems(UnknownBatch, WrongMaterial, YieldMissing, PageKnown, BatchState),
)
def enter_batch_page(code: str, wanted: PageIn, session: Writing) -> PageMade:
    return answers.page(session, enter_page(session, code, wanted))


@router.get(
    "/batches/{code}/weighings", summary="List the weighings", responses=problems(UnknownBatch)
)
def list_weighings(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.WEIGHINGS))],
    session: Reading,
    link: Linking,
) -> Listed[WeighingOut]:
    where = [queries.Weighing.batch == queries.batch(session, code).row_id]
    found = page(session, queries.WEIGHINGS, ask, where=where)
    shown = queries.shown_weighings(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/batches/{code}/weighings",
    status_code=201,
    summary="Record a weighing",
    responses=problems(UnknownBatch, WrongMaterial),
)
def record_batch_weighing(code: str, wanted: WeighingIn, session: Writing) -> WeighingMade:
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    found = record_weighing(desk, portion_of(wanted), Place())
    return answers.weighed(session, desk, found, wanted)


@router.get("/batches/{code}/notes", summary="List the notes", responses=problems(UnknownBatch))
def list_batch_notes(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.NOTES))],
    session: Reading,
    link: Linking,
) -> Listed[NoteOut]:
    batch = queries.batch(session, code)
    where = [queries.BatchNote.batch == batch.row_id]
    found = page(session, queries.NOTES, ask, where=where)
    return link(found, lambda row: queries.shown_note(row, batch))


@router.post(
    "/batches/{code}/notes",
    status_code=201,
    summary="Note something to a batch",
    responses=problems(UnknownBatch),
)
def add_batch_note(code: str, wanted: NoteIn, session: Writing) -> NoteMade:
    desk, row = remarks.add_note(session, code, wanted)
    return answers.noted(desk, row, wanted)


@router.post(
    "/batches/{code}/yields",
    status_code=201,
    summary="Record what came out",
    responses=problems(UnknownBatch, BatchState),
)
def record_yield(code: str, wanted: YieldIn, session: Writing) -> YieldMade:
    desk, row = completion.record_yield(session, code, wanted)
    return answers.yielded(desk, row, wanted)


@router.post(
    "/batches/{code}/transitions",
    status_code=201,
    summary="Start, hold, complete or abort a batch",
    responses=problems(UnknownBatch, BatchState, YieldMissing),
)
def move_batch(code: str, wanted: TransitionIn, session: Writing) -> TransitionMade:
    desk, row, lot = completion.move_batch(session, code, wanted)
    return answers.shifted(session, desk, row, lot, wanted)


@router.post(
    "/batches/{code}/lines/{number}/corrections",
    status_code=201,
    summary="Correct or void what stands at a line",
    responses=problems(
        UnknownBatch, UnknownBatchLine, NothingToCorrect, SeveralEntries, AlreadyCorrected
    ),
)
def correct_batch_line(
    code: str, number: LineNumber, wanted: LineCorrectionIn, session: Writing
) -> LineCorrected:
    return answers.corrected(correct_line(session, code, number, wanted), number, wanted)


@router.get(
    "/batches/{code}/cook-points",
    summary="List the cook log of a batch",
    responses=problems(UnknownBatch),
)
def list_batch_cook_points(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.COOK_POINTS))],
    session: Reading,
    link: Linking,
) -> Listed[CookPointOut]:
    found = queries.points_page(session, ask, batch=queries.batch(session, code))
    shown = queries.shown_points(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/batches/{code}/cook-points",
    status_code=201,
    summary="Record temperatures read by a person",
    responses=problems(UnknownBatch),
    openapi_extra={BULK: True},
)
def record_cook_points(code: str, wanted: CookPointsIn, session: Writing) -> CookPointsMade:
    desk, rows = cook_log.add_points(session, code, wanted)
    return answers.logged(session, desk, rows, wanted)


@router.get(
    "/equipment/{code}/cook-points",
    summary="List the points of a kettle, newest first",
    responses=problems(UnknownEquipment),
)
def list_kettle_cook_points(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.COOK_POINTS))],
    session: Reading,
    link: Linking,
) -> Listed[CookPointOut]:
    found = queries.points_page(session, ask, kettle=equipment(session, code).code)
    shown = queries.shown_points(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/equipment/{code}/cook-points",
    summary="Store what a logger sends; a repeat is answered alike",
    responses=problems(UnknownEquipment),
    openapi_extra={BULK: True},
)
def store_cook_points(code: str, wanted: StreamIn, session: Writing) -> StreamStored:
    return cook_log.store_stream(session, code, wanted)
