"""Fills over HTTP."""

from fastapi import APIRouter, Response

from service.errors import AlreadyCorrected
from service.office.keys.rules import ScopeNeeded
from service.web.amounts import mass
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.lots import queries
from service.workshop.lots.actions.fill_corrections import correct_fill as correct
from service.workshop.lots.actions.fills import record_fill
from service.workshop.lots.bodies import (
    FillCorrected,
    FillCorrection,
    FillIn,
    FillMade,
    LotFills,
)
from service.workshop.lots.rules import DensityNeeded, NotBulk, UnknownFill
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


@router.post(
    "/{lot}/fills/corrections",
    status_code=201,
    summary="Correct or void the fill that made a packed lot",
    description="Bulk, jars and lids go back or are drawn anew, the origins follow, and the check "
    "is made again. Once the lot has left quarantine it needs the scope release.",
    responses=problems(
        UnknownLot, MistypedLot, UnknownFill, AlreadyCorrected, ScopeNeeded, DensityNeeded
    ),
)
def correct_fill(lot: str, wanted: FillCorrection, session: Writing) -> FillCorrected:
    done = correct(session, lot, wanted)
    shown = queries.shown_fill(session, done.row, weights=True)
    said = "voided" if wanted.void else f"now {done.row.count} packs; fill {done.row.verdict}"
    return FillCorrected(
        **shown.model_dump(),
        entry=done.row.row_id,
        corrects=done.old.row_id,
        void=done.row.void,
        reason=wanted.reason,
        flags=done.flags,
        left=mass(stock.left(session, [done.row.bulk])[done.row.bulk]),
        assumed={} if wanted.by or done.row.by is None else {"by": done.row.by},
        summary=f"The fill of {done.packed.number}: {said}.",
    )
