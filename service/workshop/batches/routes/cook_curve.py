"""What a cook log says over HTTP: its analysis, and its curve as data and as a drawing."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Response

from service.errors import Invalid
from service.press.curves import MEDIA as SVG
from service.web.asked import asked
from service.web.files import giving
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.batches import queries
from service.workshop.batches.bodies.cook_curve import (
    CookAnalysisOut,
    CookCurveOut,
    CookQuestion,
)
from service.workshop.batches.rules import UnknownBatch

router = APIRouter(prefix="/v1/batches", tags=["batches"], route_class=Route)
_CSV = "text/csv"


@router.get(
    "/{code}/cook-analysis",
    summary="Get what the cook log says, beside earlier batches of the version",
    description="Maximum, time above temperatures, steepest rise and fall, gaps. An equivalent "
    "time only with a stated activation energy. Of several series one is taken.",
    responses=problems(UnknownBatch, Invalid),
)
def get_cook_analysis(
    code: str, question: Annotated[CookQuestion, Depends(asked(CookQuestion))], session: Reading
) -> CookAnalysisOut:
    return queries.cook_analysis(session, queries.batch(session, code), question)


@router.get(
    "/{code}/cook-curve",
    summary="Get the cook curve as data",
    responses=problems(UnknownBatch),
)
def get_cook_curve(code: str, session: Reading) -> CookCurveOut:
    return queries.cook_curve_data(session, queries.batch(session, code))


@router.get(
    "/{code}/cook-curve.csv",
    summary="Get the cook curve as a table, a row a reading",
    responses=giving(_CSV) | problems(UnknownBatch),
    response_class=Response,
)
def get_cook_curve_csv(code: str, session: Reading) -> Response:
    body = queries.cook_curve_csv(session, queries.batch(session, code))
    return Response(body, media_type=f"{_CSV}; charset=utf-8; header=present")


@router.get(
    "/{code}/cook-curve.svg",
    summary="Get the cook curve drawn",
    description="Dark lines on white with axes, a title and a description in words. What someone "
    "read or remarked is a numbered mark; the temperatures of the sheet are lines across.",
    responses=giving(SVG) | problems(UnknownBatch),
    response_class=Response,
)
def get_cook_curve_svg(
    code: str,
    session: Reading,
    earlier: Annotated[
        int, Query(ge=0, le=5, description="Beside so many earlier batches of the version")
    ] = 0,
) -> Response:
    drawn = queries.cook_curve_svg(session, queries.batch(session, code), earlier=earlier)
    # Looked at by itself it is a page: nothing in it may load or run.
    return Response(
        drawn, media_type=SVG, headers={"Content-Security-Policy": "default-src 'none'"}
    )
