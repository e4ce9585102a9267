"""Fills over HTTP."""

from fastapi import APIRouter, Response

from service.web.amounts import mass
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.lots import queries
from service.workshop.lots.actions.fills import record_fill
from service.workshop.lots.bodies import FillIn, FillMade, LotFills
from service.workshop.lots.rules import DensityNeeded, NotBulk
from service.workshop.stock import queries as stock
from service.workshop.stock.rules import MistypedLot, StockShort, UnknownLot

router = APIRouter(prefix="/v1/lots", tags=["lots"], route_class=Route)


@router.get(
    "/{lot}/fills",
    summary="List the fills of a bulk lot, or show the one of a packed lot",
    responses=problems(UnknownLot, MistypedLot),
)
def list_fills(lot: str, session: Reading) -> LotFills:
    return queries.shown_fills(session, stock.lot(session, lot))


@router.post(
    "/{lot}/fills",
    status_code=201,
    summary="Fill a bulk lot into packs: makes the packed lot, takes jars and lids",
    responses=problems(UnknownLot, MistypedLot, NotBulk, DensityNeeded, StockShort),
)
def create_fill(lot: str, wanted: FillIn, session: Writing, response: Response) -> FillMade:
    made = record_fill(session, lot, wanted)
    response.headers["Location"] = f"/v1/lots/{made.packed.number}/fills"
    shown = queries.shown_fill(session, made.fill, weights=True)
    return FillMade(
        **shown.model_dump(),
        flags=made.flags,
        left=mass(stock.left(session, [made.bulk.row_id])[made.bulk.row_id]),
        assumed=made.assumed,
        summary=made.summary,
    )
