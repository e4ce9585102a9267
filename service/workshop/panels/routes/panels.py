"""Panels, their coats, sheets and readings over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Response

from service.errors import AlreadyCorrected, CodeTaken
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.panels import queries
from service.workshop.panels.actions import coats
from service.workshop.panels.actions import panels as actions
from service.workshop.panels.actions.readings import record_page
from service.workshop.panels.bodies.coats import CoatCorrected, CoatCorrection
from service.workshop.panels.bodies.panels import (
    CoatMoreIn,
    PanelIn,
    PanelMade,
    PanelOut,
    PanelSheet,
)
from service.workshop.panels.bodies.readings import PanelReadingsIn, PanelReadingsMade
from service.workshop.panels.rules import (
    UnknownCoat,
    UnknownPanel,
    UnknownProtocol,
    UnknownProtocolVersion,
)
from service.workshop.panels.rules.sentences import counted

CoatNumber = Annotated[int, Path(ge=1, le=10_000, description="As it was put on")]

router = APIRouter(prefix="/v1/panels", tags=["tests"], route_class=Route)


@router.get("", summary="List the panels, newest first")
def list_panels(
    ask: Annotated[Ask, Depends(asking(queries.PANELS))], session: Reading, link: Linking
) -> Listed[PanelOut]:
    found = page(session, queries.PANELS, ask)
    return link(found, lambda row: queries.shown_panel(session, row))


@router.post(
    "", status_code=201, summary="Make a panel with its coats", responses=problems(CodeTaken)
)
def create_panel(wanted: PanelIn, session: Writing, response: Response) -> PanelMade:
    row, assumed = actions.create_panel(session, wanted)
    response.headers["Location"] = f"/v1/panels/{row.code}"
    shown = queries.shown_panel(session, row)
    coats = counted(len(shown.coats), "coat")
    summary = f"Panel {row.code} of {row.lot_number}, {row.wood}, {coats}."
    return PanelMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get("/{code}", summary="Show a panel", responses=problems(UnknownPanel))
def get_panel(code: str, session: Reading) -> PanelOut:
    return queries.shown_panel(session, queries.panel(session, code))


@router.post(
    "/{code}/coats",
    status_code=201,
    summary="Put one more coat on a panel",
    responses=problems(UnknownPanel),
)
def add_coat(code: str, wanted: CoatMoreIn, session: Writing) -> PanelMade:
    row, assumed = actions.add_coat(session, code, wanted)
    shown = queries.shown_panel(session, row)
    summary = f"Panel {row.code} has {counted(len(shown.coats), 'coat')}."
    return PanelMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.post(
    "/{code}/coats/{number}/corrections",
    status_code=201,
    summary="Correct or void a coat; readings of the film are entered again with it",
    responses=problems(UnknownPanel, UnknownCoat, AlreadyCorrected),
)
def correct_coat(
    code: str, number: CoatNumber, wanted: CoatCorrection, session: Writing
) -> CoatCorrected:
    made = coats.correct_coat(session, code, number, wanted)
    said = "voided" if made.row.void else "corrected"
    again = f"; {counted(len(made.renewed), 'reading')} entered again" if made.renewed else ""
    return CoatCorrected(
        **queries.shown_panel(session, made.panel).model_dump(),
        coat=number,
        entry=made.row.row_id,
        corrects=made.row.corrects or 0,
        void=made.row.void,
        reason=wanted.reason,
        renewed=[row.number for row in made.renewed],
        flags=made.flags,
        assumed={} if wanted.by or made.row.by is None else {"by": made.row.by},
        summary=f"Coat {number} of {made.panel.code} {said}{again}.",
    )


@router.get(
    "/{code}/sheet",
    summary="Show the sheet of a protocol on a panel, and the empty body that comes back",
    responses=problems(UnknownPanel, UnknownProtocol, UnknownProtocolVersion),
)
def get_panel_sheet(
    code: str,
    protocol: Annotated[str, Query(max_length=20, description="Its code")],
    session: Reading,
    version: Annotated[
        int | None, Query(ge=1, le=9999, description="Where absent, the newest")
    ] = None,
) -> PanelSheet:
    row = queries.panel(session, code)
    return queries.sheet(session, row, code=protocol, number=version)


@router.post(
    "/{code}/readings",
    status_code=201,
    summary="Record what was seen on a panel",
    responses=problems(UnknownPanel),
)
def record_panel_readings(
    code: str, wanted: PanelReadingsIn, session: Writing
) -> PanelReadingsMade:
    made = record_page(session, code, wanted)
    return PanelReadingsMade(
        panel=made.panel.code,
        lot=made.panel.lot_number,
        protocol=made.protocol,
        version=made.version,
        readings=queries.shown_readings(session, made.rows),
        flags=made.flags,
        assumed=made.assumed,
        summary=f"{counted(len(made.rows), 'reading')} of panel {made.panel.code}, "
        f"{counted(len(made.flags), 'flag')}.",
    )
