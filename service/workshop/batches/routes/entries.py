"""What happens to a batch over HTTP: pages, single entries, corrections."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from service.errors import AlreadyCorrected
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.amending.lines import correct_line
from service.workshop.batches.actions.ending import completion
from service.workshop.batches.actions.entries import live
from service.workshop.batches.actions.pages.whole import enter_page
from service.workshop.batches.answers import entries as answers
from service.workshop.batches.bodies.entries import (
    LineCorrected,
    LineCorrectionIn,
    NoteIn,
    NoteMade,
    NoteOut,
    WeighingIn,
    WeighingMade,
    WeighingOut,
    YieldIn,
    YieldMade,
)
from service.workshop.batches.bodies.pages import PageIn, PageMade
from service.workshop.batches.rules import (
    BatchState,
    DeviceSeqUsed,
    NothingToCorrect,
    PageKnown,
    SeveralEntries,
    UnknownBatch,
    UnknownBatchLine,
    WrongMaterial,
    YieldMissing,
)

router = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)
_KNOWN = "The device had sent it before: the entry that it made then."
LineNumber = Annotated[int, Path(ge=0, le=200, description="From the sheet; 0: unplanned.")]


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
    responses={
        200: {"model": WeighingMade, "description": _KNOWN},
        **problems(UnknownBatch, WrongMaterial, DeviceSeqUsed),
    },
)
def record_batch_weighing(
    code: str, wanted: WeighingIn, session: Writing, response: Response
) -> WeighingMade:
    found = live.enter_weighing(session, code, wanted)
    response.status_code = 200 if found.again else 201
    return answers.weighed(session, found, wanted)


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
    shown = queries.shown_notes(session, found.rows, batch)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/batches/{code}/notes",
    status_code=201,
    summary="Note something to a batch",
    responses={
        200: {"model": NoteMade, "description": _KNOWN},
        **problems(UnknownBatch, DeviceSeqUsed),
    },
)
def add_batch_note(code: str, wanted: NoteIn, session: Writing, response: Response) -> NoteMade:
    found = live.add_note(session, code, wanted)
    response.status_code = 200 if found.again else 201
    return answers.noted(session, found, wanted)


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
