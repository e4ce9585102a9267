"""The key desk over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.office.keys import actions, queries
from service.office.keys.bodies import KeyIn, KeyMade, KeyOut, KeyRevoked
from service.office.keys.rules import UnknownKey
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import ONCE, Route
from service.web.sessions import Reading, Writing

router = APIRouter(prefix="/v1/keys", tags=["keys"], route_class=Route)


@router.get("", summary="List the keys")
def list_keys(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[KeyOut]:
    return link(page(session, queries.LISTING, ask), queries.shown)


@router.post("", status_code=201, summary="Make a key", openapi_extra={ONCE: ["key"]})
def create_key(wanted: KeyIn, session: Writing) -> KeyMade:
    made, text = actions.create_key(session, wanted)
    summary = f"Key {made.key_id} for {made.name} made; it is shown this once."
    return KeyMade(**made.model_dump(), key=text, assumed={}, summary=summary)


@router.post(
    "/{key_id}/revocations",
    status_code=201,
    summary="End a key at once",
    responses=problems(UnknownKey),
)
def revoke_key(key_id: str, session: Writing) -> KeyRevoked:
    shown = actions.revoke_key(session, key_id)
    summary = f"Key {shown.key_id} of {shown.name} ended."
    return KeyRevoked(**shown.model_dump(), assumed={}, summary=summary)
