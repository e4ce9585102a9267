"""The audit trail over HTTP: it can be read, and nothing else."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.office.audit import queries
from service.office.audit.bodies import AuditEntryOut
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.route import Route
from service.web.sessions import Reading

router = APIRouter(prefix="/v1/audit-entries", tags=["audit"], route_class=Route)


@router.get("", summary="List what was changed, newest first")
def list_audit_entries(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[AuditEntryOut]:
    return link(page(session, queries.LISTING, ask), queries.shown)
