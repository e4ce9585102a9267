"""What there is of each material, over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.store.lists import Ask
from service.web.paging import Linking, Listed, asking
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.stock import queries
from service.workshop.stock.bodies import MaterialStock

router = APIRouter(prefix="/v1/stock/materials", tags=["stock"], route_class=Route)


@router.get(
    "",
    summary="List what there is of each material, over all of its lots",
    description="By what may be done with it: open, in quarantine, expired, rejected, or owed. "
    "Materials without any lot are not listed; what batches have reserved stands in `/v1/stock`.",
)
def list_stock_of_materials(
    ask: Annotated[Ask, Depends(asking(queries.BALANCES))], session: Reading, link: Linking
) -> Listed[MaterialStock]:
    found = queries.balance_page(session, ask)
    shown = queries.shown_balances(session, found.rows)
    return link(found, lambda row: shown[row.code])
