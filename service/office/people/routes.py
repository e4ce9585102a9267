"""The people desk over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.errors import CodeTaken, InUse
from service.office.people import actions, queries
from service.office.people.bodies import PersonIn, PersonMade, PersonOut, PersonPatch
from service.office.people.rules import UnknownPerson
from service.store.lists import Ask, page
from service.web.etags import IfMatch, etag_of
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing

router = APIRouter(prefix="/v1/people", tags=["people"], route_class=Route)


@router.get("", summary="List the people")
def list_people(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[PersonOut]:
    return link(page(session, queries.LISTING, ask), queries.shown)


@router.post("", status_code=201, summary="Add a person", responses=problems(CodeTaken))
def create_person(wanted: PersonIn, session: Writing, response: Response) -> PersonMade:
    row = actions.create_person(session, wanted)
    response.headers.update({"ETag": etag_of(row), "Location": f"/v1/people/{row.code}"})
    shown = queries.shown(row).model_dump()
    return PersonMade(**shown, assumed={}, summary=f"{row.code} added.")


@router.get("/{code}", summary="Show a person", responses=problems(UnknownPerson))
def get_person(code: str, session: Reading, response: Response) -> PersonOut:
    row = queries.person(session, code)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(row)


@router.patch(
    "/{code}", summary="Change, blank or archive a person", responses=problems(UnknownPerson)
)
def change_person(
    code: str, patch: PersonPatch, condition: IfMatch, session: Writing, response: Response
) -> PersonOut:
    row = actions.change_person(session, code, patch, condition)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(row)


@router.delete(
    "/{code}",
    summary="Delete a person nothing ever named",
    responses=problems(UnknownPerson, InUse),
)
def delete_person(code: str, condition: IfMatch, session: Writing) -> PersonOut:
    return actions.delete_person(session, code, condition)
