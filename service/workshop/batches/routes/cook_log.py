"""The cook log over HTTP: of a batch, and at the kettle's own address."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.office.equipment.queries import equipment
from service.office.equipment.rules import UnknownEquipment
from service.store.lists import Ask
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import BULK, Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.cook import log as cook_log
from service.workshop.batches.answers import entries as answers
from service.workshop.batches.bodies.cook_log import (
    CookPointOut,
    CookPointsIn,
    CookPointsMade,
    StreamIn,
    StreamStored,
)
from service.workshop.batches.rules import (
    UnknownBatch,
)

router = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)


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
