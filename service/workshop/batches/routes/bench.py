"""Batches over HTTP at the bench and from devices: bulk entries, late ones, pages, new targets."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.errors import AlreadyCorrected
from service.store.lists import Ask, page
from service.store.records import UnknownEntry
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import BULK, Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.entries import bulk, retargets
from service.workshop.batches.actions.pages import photos as page_photos
from service.workshop.batches.answers import bench as bench_answers
from service.workshop.batches.bodies.bulk import EntriesIn, EntriesMade
from service.workshop.batches.bodies.devices import DeviceClockOut
from service.workshop.batches.bodies.late import LateEntryOut
from service.workshop.batches.bodies.pages import PageCorrected, PageCorrection, PageOut
from service.workshop.batches.bodies.retargets import (
    RetargetCorrectionIn,
    RetargetIn,
    RetargetMade,
    RetargetOut,
)
from service.workshop.batches.queries.plan import targets
from service.workshop.batches.queries.record import devices, late, pages
from service.workshop.batches.rules import (
    BatchState,
    DeviceSeqUsed,
    UnknownBatch,
    WrongMaterial,
)
from service.workshop.scalings.rules import KettleTooSmall, PlanRefused, TooSmallToWeigh

router = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)


@router.post(
    "/batches/{code}/entries",
    status_code=201,
    summary="Record many entries at once, all of them or none",
    responses={
        200: {
            "model": EntriesMade,
            "description": "All of it was known before; nothing was written.",
        },
        **problems(UnknownBatch, WrongMaterial, DeviceSeqUsed),
    },
    openapi_extra={BULK: True},
)
def record_batch_entries(
    code: str, wanted: EntriesIn, session: Writing, response: Response
) -> EntriesMade:
    found = bulk.enter_entries(session, code, wanted)
    response.status_code = 201 if found.stored else 200
    return bench_answers.entered(session, found)


@router.get(
    "/batches/{code}/late-entries",
    summary="List what came after the batch had ended",
    responses=problems(UnknownBatch),
)
def list_late_entries(
    code: str, ask: Annotated[Ask, Depends(asking(late.LISTING))], session: Reading, link: Linking
) -> Listed[LateEntryOut]:
    batch = queries.batch(session, code)
    found = page(session, late.LISTING, ask, where=[late.LateEntry.batch == batch.row_id])
    shown = late.shown(session, batch, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.get(
    "/batches/{code}/pages",
    summary="List the pages that were entered, with their photos",
    responses=problems(UnknownBatch),
)
def list_batch_pages(
    code: str, ask: Annotated[Ask, Depends(asking(pages.LISTING))], session: Reading, link: Linking
) -> Listed[PageOut]:
    batch = queries.batch(session, code)
    found = page(session, pages.LISTING, ask, where=[pages.Page.batch == batch.row_id])
    shown = pages.shown(session, found.rows, batch)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/batches/{code}/pages/{number}/corrections",
    status_code=201,
    summary="Put the photo of a page right, or add the one that was missing",
    responses=problems(UnknownBatch, UnknownEntry),
)
def correct_batch_page(
    code: str, number: int, wanted: PageCorrection, session: Writing
) -> PageCorrected:
    desk, row = page_photos.correct_page(session, code, number, wanted)
    return bench_answers.page_corrected(session, desk, row, wanted)


@router.get(
    "/batches/{code}/retargets",
    summary="List how open lines followed what was weighed",
    responses=problems(UnknownBatch),
)
def list_retargets(
    code: str,
    ask: Annotated[Ask, Depends(asking(targets.LISTING))],
    session: Reading,
    link: Linking,
) -> Listed[RetargetOut]:
    batch = queries.batch(session, code)
    found = page(session, targets.LISTING, ask, where=[targets.Retarget.batch == batch.row_id])
    shown = targets.shown(session, batch, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/batches/{code}/retargets",
    status_code=201,
    summary="Work the open lines out anew from what was weighed",
    responses=problems(UnknownBatch, BatchState, PlanRefused, KettleTooSmall, TooSmallToWeigh),
)
def retarget_batch(code: str, wanted: RetargetIn, session: Writing) -> RetargetMade:
    return bench_answers.retargeted(session, retargets.retarget(session, code, wanted), wanted)


@router.post(
    "/batches/{code}/retargets/{entry}/corrections",
    status_code=201,
    summary="Void a working out: the lines are aimed at what they were before",
    responses=problems(UnknownBatch, UnknownEntry, AlreadyCorrected),
)
def correct_retarget(
    code: str, entry: int, wanted: RetargetCorrectionIn, session: Writing
) -> RetargetMade:
    found = retargets.correct_retarget(session, code, entry, wanted)
    return bench_answers.retargeted(session, found, wanted)


@router.get("/device-clocks", summary="List how far devices' clocks were found behind")
def list_device_clocks(
    ask: Annotated[Ask, Depends(asking(devices.CLOCKS))], session: Reading, link: Linking
) -> Listed[DeviceClockOut]:
    return link(page(session, devices.CLOCKS, ask), devices.shown_clock)
