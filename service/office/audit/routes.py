"""The audit trail over HTTP: it can be read, and nothing else."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import StreamingResponse

from service.office.audit import exports, queries
from service.office.audit.bodies import AuditEntryOut
from service.store.lists import Ask, page
from service.web.house import House
from service.web.paging import Linking, Listed, asking
from service.web.route import Route
from service.web.sessions import Reading

router = APIRouter(prefix="/v1/audit-entries", tags=["audit"], route_class=Route)


@router.get("", summary="List what was changed, newest first")
def list_audit_entries(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[AuditEntryOut]:
    return link(page(session, queries.LISTING, ask), queries.shown)


@router.get(
    "/export",
    summary="Take out the trail as a file, in the order of the chain",
    description="JSON Lines or CSV, one entry a line, as many as were asked for: a file has no "
    "pages.",
    response_class=StreamingResponse,
    responses={200: {"content": {kind.split(";")[0]: {} for kind in exports.MEDIA.values()}}},
)
def get_audit_export(
    request: Request,
    ask: Annotated[Ask, Depends(asking(queries.LISTING, paged=False))],
    session: Reading,
    form: Annotated[exports.Form, Query(description="Of the file")] = "jsonl",
) -> StreamingResponse:
    house: House = request.app.state.house
    lines = exports.written(house.store, session.actor, ask, form=form)
    named = {"Content-Disposition": f'attachment; filename="audit-entries.{form}"'}
    return StreamingResponse(lines, media_type=exports.MEDIA[form], headers=named)
