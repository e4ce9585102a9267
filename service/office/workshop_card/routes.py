"""The workshop card over HTTP."""

from fastapi import APIRouter, Response

from service.office.workshop_card import actions, queries
from service.office.workshop_card.bodies import WorkshopOut, WorkshopPatch
from service.web.etags import IfMatch
from service.web.route import Route
from service.web.sessions import Reading, Writing

router = APIRouter(prefix="/v1/workshop", tags=["workshop"], route_class=Route)


@router.get("", summary="Show the workshop")
def get_workshop(session: Reading, response: Response) -> WorkshopOut:
    row = queries.card(session)
    response.headers["ETag"] = queries.etag(row)
    return queries.shown(session, row)


@router.patch("", summary="Change the workshop")
def change_workshop(
    patch: WorkshopPatch, condition: IfMatch, session: Writing, response: Response
) -> WorkshopOut:
    row = actions.change_workshop(session, patch, condition)
    response.headers["ETag"] = queries.etag(row)
    return queries.shown(session, row)
