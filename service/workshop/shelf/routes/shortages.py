"""What runs short over HTTP, and the order list."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Query, Response

from service.store.lists import Ask
from service.web.paging import Linking, Listed, asking
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.shelf import order_csv
from service.workshop.shelf.bodies.shortages import OrderListOut, ShortageOut
from service.workshop.shelf.queries import shortages as queries
from service.workshop.shelf.queries.positions import shelf

router = APIRouter(prefix="/v1/shortages", tags=["stock"], route_class=Route)
_WANTING, _EVERY = ("short", "low"), ("short", "low", "enough")
_CSV: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/csv": {"schema": {"type": "string"}}}}
}


@router.get(
    "",
    summary="List what runs short or low, with how many batches what is free makes",
    description="Cover goes by what past batches of the newest approved version took, else by a "
    "batch that is planned, else by the lines of the version for a kilogram; `basis` says which.",
)
def list_shortages(
    ask: Annotated[Ask, Depends(asking(queries.SHORTAGES))],
    session: Reading,
    link: Linking,
    state: Annotated[
        Literal["short", "low", "enough", "any"] | None,
        Query(description="Where absent, short and low."),
    ] = None,
) -> Listed[ShortageOut]:
    states = _WANTING if state is None else _EVERY if state == "any" else (state,)
    found = shelf(session)
    rows = queries.shortage_page(session, ask, found, states)
    return link(rows, lambda row: queries.shown(session, found.standings[row.code]))


@router.get(
    "/order-list",
    summary="Draw up what to order and what to make",
    response_model=OrderListOut,
    responses=_CSV,
)
def get_order_list(
    session: Reading,
    form: Annotated[Literal["json", "csv"], Query(description="Rows for a spreadsheet: csv")] = (
        "json"
    ),
) -> OrderListOut | Response:
    found = queries.order_list(session, shelf(session))
    if form == "csv":
        media = "text/csv; charset=utf-8; header=present"
        return Response(order_csv.render(found), media_type=media)
    return found
