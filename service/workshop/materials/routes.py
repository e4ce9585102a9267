"""Materials and figures over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.errors import AlreadyCorrected, CodeTaken, InUse
from service.store.lists import Ask, page
from service.web.etags import IfMatch, etag_of
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.materials import actions, queries
from service.workshop.materials.bodies import (
    FigureCorrection,
    FigureIn,
    FigureMade,
    FigureOut,
    MaterialIn,
    MaterialMade,
    MaterialOut,
    MaterialPatch,
)
from service.workshop.materials.rules import UnknownFigure, UnknownMaterial

router = APIRouter(prefix="/v1", tags=["materials"], route_class=Route)


@router.get("/materials", summary="List the materials")
def list_materials(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[MaterialOut]:
    found = page(session, queries.LISTING, ask)
    shown = queries.shown_all(session, found.rows)
    return link(found, lambda row: shown[row.code])


@router.post(
    "/materials", status_code=201, summary="Make a material", responses=problems(CodeTaken)
)
def create_material(wanted: MaterialIn, session: Writing, response: Response) -> MaterialMade:
    row, assumed = actions.create_material(session, wanted)
    response.headers.update({"ETag": etag_of(row), "Location": f"/v1/materials/{row.code}"})
    shown = queries.shown(session, row).model_dump()
    count = len(shown["figures"])
    return MaterialMade(**shown, assumed=assumed, summary=f"{row.code} made, {count} figures.")


@router.get("/materials/{code}", summary="Show a material", responses=problems(UnknownMaterial))
def get_material(code: str, session: Reading, response: Response) -> MaterialOut:
    row = queries.material(session, code)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(session, row)


@router.patch(
    "/materials/{code}",
    summary="Change or archive a material",
    responses=problems(UnknownMaterial),
)
def change_material(
    code: str, patch: MaterialPatch, condition: IfMatch, session: Writing, response: Response
) -> MaterialOut:
    row = actions.change_material(session, code, patch, condition)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(session, row)


@router.delete(
    "/materials/{code}",
    summary="Delete a material nothing ever pointed at",
    responses=problems(UnknownMaterial, InUse),
)
def delete_material(code: str, condition: IfMatch, session: Writing) -> MaterialOut:
    return actions.delete_material(session, code, condition)


@router.post(
    "/materials/{code}/figures",
    status_code=201,
    summary="Record a figure of a material",
    responses=problems(UnknownMaterial),
)
def record_material_figure(code: str, wanted: FigureIn, session: Writing) -> FigureMade:
    material = queries.material(session, code)
    row = actions.record_figure(session, ("material", material.code), wanted)
    shown = queries.shown_figure(session, row)
    assumed = {} if wanted.by else {"by": row.by}
    summary = f"{shown.label} of {material.code}: {row.entered_value} {row.entered_unit}."
    return FigureMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get("/figures", summary="List figures of anything, newest first")
def list_figures(
    ask: Annotated[Ask, Depends(asking(queries.FIGURES))], session: Reading, link: Linking
) -> Listed[FigureOut]:
    found = page(session, queries.FIGURES, ask)
    return link(found, lambda row: queries.shown_figure(session, row))


@router.get("/figures/{number}", summary="Show a figure", responses=problems(UnknownFigure))
def get_figure(number: str, session: Reading) -> FigureOut:
    return queries.shown_figure(session, queries.figure_numbered(session, number))


@router.post(
    "/figures/{number}/corrections",
    status_code=201,
    summary="Correct or void a figure",
    responses=problems(UnknownFigure, AlreadyCorrected),
)
def correct_figure(number: str, wanted: FigureCorrection, session: Writing) -> FigureMade:
    row = actions.correct_figure(session, number, wanted)
    shown = queries.shown_figure(session, row)
    act = "voided" if row.void else f"replaced by {row.number}"
    summary = f"{number.upper()} {act}."
    return FigureMade(**shown.model_dump(), assumed={}, summary=summary)
