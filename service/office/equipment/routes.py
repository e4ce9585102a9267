"""The equipment desk over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.errors import CodeTaken, InUse
from service.office.equipment import actions, queries
from service.office.equipment.bodies import EquipmentIn, EquipmentMade, EquipmentOut, EquipmentPatch
from service.office.equipment.rules import UnknownEquipment
from service.store.lists import Ask, page
from service.web.etags import IfMatch, etag_of
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing

router = APIRouter(prefix="/v1/equipment", tags=["equipment"], route_class=Route)


@router.get("", summary="List the equipment")
def list_equipment(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[EquipmentOut]:
    return link(page(session, queries.LISTING, ask), queries.shown)


@router.post("", status_code=201, summary="Add a piece of equipment", responses=problems(CodeTaken))
def create_equipment(wanted: EquipmentIn, session: Writing, response: Response) -> EquipmentMade:
    row = actions.create_equipment(session, wanted)
    response.headers.update({"ETag": etag_of(row), "Location": f"/v1/equipment/{row.code}"})
    shown = queries.shown(row).model_dump()
    return EquipmentMade(**shown, assumed={}, summary=f"{row.code} added.")


@router.get("/{code}", summary="Show a piece of equipment", responses=problems(UnknownEquipment))
def get_equipment(code: str, session: Reading, response: Response) -> EquipmentOut:
    row = queries.equipment(session, code)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(row)


@router.patch(
    "/{code}",
    summary="Change or archive a piece of equipment",
    responses=problems(UnknownEquipment),
)
def change_equipment(
    code: str, patch: EquipmentPatch, condition: IfMatch, session: Writing, response: Response
) -> EquipmentOut:
    row = actions.change_equipment(session, code, patch, condition)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(row)


@router.delete(
    "/{code}",
    summary="Delete a piece nothing ever named",
    responses=problems(UnknownEquipment, InUse),
)
def delete_equipment(code: str, condition: IfMatch, session: Writing) -> EquipmentOut:
    return actions.delete_equipment(session, code, condition)
