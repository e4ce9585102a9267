"""Readings of lots, all readings, and their corrections over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.errors import AlreadyCorrected
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.panels import queries
from service.workshop.panels.actions.corrections import correct_reading as correct
from service.workshop.panels.actions.lot_readings import record_measurements
from service.workshop.panels.bodies.measurements import LotReadingsIn, LotReadingsMade
from service.workshop.panels.bodies.readings import (
    ReadingCorrected,
    ReadingCorrection,
    ReadingOut,
)
from service.workshop.panels.rules import UnknownReading
from service.workshop.stock.rules import MistypedLot, UnknownLot

router = APIRouter(prefix="/v1", tags=["tests"], route_class=Route)


@router.post(
    "/lots/{lot}/readings",
    status_code=201,
    summary="Record properties measured on a lot; their means become its figures",
    responses=problems(UnknownLot, MistypedLot),
)
def record_lot_readings(lot: str, wanted: LotReadingsIn, session: Writing) -> LotReadingsMade:
    made = record_measurements(session, lot, wanted)
    figures, notes = queries.figures_numbered(session, made.figures)
    told = ", ".join(f"{f.label.lower()} {f.value} {f.unit}" for f in figures)
    return LotReadingsMade(
        lot=made.lot.number,
        readings=queries.shown_readings(session, made.rows),
        figures=figures,
        notes=notes,
        assumed=made.assumed,
        summary=f"{made.lot.number}: {told}.",
    )


@router.get("/readings", summary="List the readings, newest first")
def list_readings(
    ask: Annotated[Ask, Depends(asking(queries.READINGS))], session: Reading, link: Linking
) -> Listed[ReadingOut]:
    found = page(session, queries.READINGS, ask)
    return link(found, queries.ReadingViews(session, found.rows).shown)


@router.get("/readings/{number}", summary="Show a reading", responses=problems(UnknownReading))
def get_reading(number: str, session: Reading) -> ReadingOut:
    return queries.shown_reading(session, queries.reading(session, number))


@router.post(
    "/readings/{number}/corrections",
    status_code=201,
    summary="Correct or void a reading",
    responses=problems(UnknownReading, AlreadyCorrected),
)
def correct_reading(number: str, wanted: ReadingCorrection, session: Writing) -> ReadingCorrected:
    made = correct(session, number, wanted)
    shown = queries.shown_reading(session, made.row).model_dump()
    act = "voided" if made.row.void else f"replaced by {made.row.number}"
    return ReadingCorrected(
        **shown,
        figure=queries.figure_of(session, made.figure),
        assumed={},
        summary=f"{number.upper()} {act}.",
    )
