"""What is on the shelf over HTTP, with what of it is reserved."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.store.lists import Ask
from service.web.paging import Linking, Listed, asking
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.batches.queries import reserved
from service.workshop.stock import queries
from service.workshop.stock.bodies import StockOut

router = APIRouter(prefix="/v1/stock", tags=["stock"], route_class=Route)


@router.get("", summary="List what is on the shelf, with what of it is reserved")
def list_stock(
    ask: Annotated[Ask, Depends(asking(queries.STOCK))], session: Reading, link: Linking
) -> Listed[StockOut]:
    found = queries.stock_page(session, ask)
    shown = queries.shown_stock(session, found.rows, reserved(session).lots)
    return link(found, lambda row: shown[row.row_id])
