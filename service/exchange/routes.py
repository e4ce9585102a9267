"""The exchange over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Body

from service.errors import CodeTaken
from service.exchange import actions
from service.exchange.bodies import Imported, Loaded, StartersIn
from service.office.equipment.bodies import EquipmentIn
from service.office.people.bodies import PersonIn
from service.web.problems import problems
from service.web.route import BULK, Route
from service.web.sessions import Writing
from service.workshop.materials.bodies import MaterialIn

router = APIRouter(prefix="/v1", tags=["exchange"], route_class=Route)
_MANY = Body(min_length=1, max_length=5000, description="At most 5,000 rows and 4 MB.")
_LONG = {BULK: True}


@router.post("/starters", status_code=201, summary="Load starter tables, with their sources")
def load_starters(wanted: StartersIn, session: Writing) -> Loaded:
    return actions.load_starters(session, wanted.take)


@router.post(
    "/imports/people",
    status_code=201,
    summary="Add many people, all or none",
    responses=problems(CodeTaken),
    openapi_extra=_LONG,
)
def import_people(rows: Annotated[list[PersonIn], _MANY], session: Writing) -> Imported:
    return actions.import_people(session, rows)


@router.post(
    "/imports/equipment",
    status_code=201,
    summary="Add much equipment, all or none",
    responses=problems(CodeTaken),
    openapi_extra=_LONG,
)
def import_equipment(rows: Annotated[list[EquipmentIn], _MANY], session: Writing) -> Imported:
    return actions.import_equipment(session, rows)


@router.post(
    "/imports/materials",
    status_code=201,
    summary="Make many materials, all or none",
    responses=problems(CodeTaken),
    openapi_extra=_LONG,
)
def import_materials(rows: Annotated[list[MaterialIn], _MANY], session: Writing) -> Imported:
    return actions.import_materials(session, rows)
