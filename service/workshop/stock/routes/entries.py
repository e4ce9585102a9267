"""Receipts, lots, the ledger and the shelf over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.errors import AlreadyCorrected
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.materials.actions import record_figure
from service.workshop.materials.bodies import FigureIn, FigureMade
from service.workshop.materials.queries import shown_figure
from service.workshop.stock import actions, queries
from service.workshop.stock.actions.movements import Moved
from service.workshop.stock.actions.receipts import past_when_it_came
from service.workshop.stock.bodies import (
    AcceptanceOut,
    LotFigures,
    LotOut,
    LotShown,
    MovementCorrection,
    MovementIn,
    MovementMade,
    MovementOut,
    ReceiptIn,
    ReceiptMade,
    ReceiptOut,
    TraceOut,
)
from service.workshop.stock.rules import (
    CorrectedElsewhere,
    DensityNeeded,
    LotTaken,
    MistypedLot,
    NumbersUsedUp,
    StockShort,
    UnknownLot,
    UnknownMovement,
    UnknownReceipt,
)

router = APIRouter(prefix="/v1", tags=["stock"], route_class=Route)
_NO_LOT = problems(UnknownLot, MistypedLot)


@router.get("/receipts", summary="List the delivery notes, newest first")
def list_receipts(
    ask: Annotated[Ask, Depends(asking(queries.RECEIPTS))], session: Reading, link: Linking
) -> Listed[ReceiptOut]:
    found = page(session, queries.RECEIPTS, ask)
    shown = queries.shown_receipts(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "/receipts",
    status_code=201,
    summary="Take in a delivery: one lot a line",
    responses=problems(DensityNeeded, LotTaken, NumbersUsedUp),
)
def create_receipt(wanted: ReceiptIn, session: Writing, response: Response) -> ReceiptMade:
    row, assumed = actions.create_receipt(session, wanted)
    response.headers["Location"] = f"/v1/receipts/{row.number}"
    shown = queries.shown_receipt(session, row)
    count = len(shown.lots)
    summary = f"{row.number}: {count} {'lot' if count == 1 else 'lots'} from {row.supplier}."
    flags = past_when_it_came(session, row)
    return ReceiptMade(**shown.model_dump(), flags=flags, assumed=assumed, summary=summary)


@router.get(
    "/receipts/{number}", summary="Show a delivery note", responses=problems(UnknownReceipt)
)
def get_receipt(number: str, session: Reading) -> ReceiptOut:
    return queries.shown_receipt(session, queries.receipt(session, number))


@router.get("/lots", summary="List the lots, newest first")
def list_lots(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[LotOut]:
    found = page(session, queries.LISTING, ask)
    shown = queries.shown_lots(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.get("/lots/{lot}", summary="Show a lot, its number typed anyhow", responses=_NO_LOT)
def get_lot(lot: str, session: Reading) -> LotShown:
    return queries.shown(session, queries.lot(session, lot))


@router.get("/lots/{lot}/origins", summary="What went into a lot, deeper", responses=_NO_LOT)
def list_lot_origins(lot: str, session: Reading) -> TraceOut:
    return queries.traced(session, queries.lot(session, lot), upward=True)


@router.get("/lots/{lot}/destinations", summary="What a lot went into, further", responses=_NO_LOT)
def list_lot_destinations(lot: str, session: Reading) -> TraceOut:
    return queries.traced(session, queries.lot(session, lot), upward=False)


@router.get("/lots/{lot}/figures", summary="List what is known of a lot", responses=_NO_LOT)
def list_lot_figures(lot: str, session: Reading) -> LotFigures:
    return queries.figures_of(session, queries.lot(session, lot))


@router.get(
    "/lots/{lot}/acceptance",
    summary="Show what must be measured of a received lot before it is released, and what was",
    responses=_NO_LOT,
)
def get_lot_acceptance(lot: str, session: Reading) -> AcceptanceOut:
    return queries.acceptance(session, queries.lot(session, lot))


@router.post(
    "/lots/{lot}/figures",
    status_code=201,
    summary="Record a figure of a lot",
    responses=_NO_LOT,
)
def record_lot_figure(lot: str, wanted: FigureIn, session: Writing) -> FigureMade:
    found = queries.lot(session, lot)
    row = record_figure(session, ("lot", found.number), wanted)
    shown = shown_figure(session, row)
    assumed = {} if wanted.by else {"by": row.by}
    summary = f"{shown.label} of {found.number}: {row.entered_value} {row.entered_unit}."
    return FigureMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get("/movements", summary="List the ledger, newest first", responses=_NO_LOT)
def list_movements(
    ask: Annotated[Ask, Depends(asking(queries.MOVEMENTS))], session: Reading, link: Linking
) -> Listed[MovementOut]:
    number = ask.equal.get("lot")
    lot = None if number is None else queries.lot(session, number)
    found = queries.movement_page(session, ask, lot)
    shown = queries.shown_movements(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.get("/movements/{movement}", summary="Show a movement", responses=problems(UnknownMovement))
def get_movement(movement: str, session: Reading) -> MovementOut:
    return queries.shown_movement(session, queries.movement(session, movement))


@router.post(
    "/movements",
    status_code=201,
    summary="Record scrap, cleaning or an adjustment",
    responses=problems(DensityNeeded, StockShort),
)
def record_movement(wanted: MovementIn, session: Writing, response: Response) -> MovementMade:
    moved = actions.record_movement(session, wanted)
    response.headers["Location"] = f"/v1/movements/{queries.name_of(moved.row)}"
    return _told(session, moved, wanted.cause)


@router.post(
    "/movements/{movement}/corrections",
    status_code=201,
    summary="Correct or void a movement",
    responses=problems(UnknownMovement, DensityNeeded, AlreadyCorrected, CorrectedElsewhere),
)
def correct_movement(movement: str, wanted: MovementCorrection, session: Writing) -> MovementMade:
    moved = actions.correct_movement(session, movement, wanted)
    return _told(session, moved, "voided" if moved.row.void else "corrected")


def _told(session: Writing, moved: Moved, what: str) -> MovementMade:
    lot = moved.lot
    shown = queries.shown_movement(session, moved.row)
    left = queries.left(session, [lot.row_id])[lot.row_id]
    change, rest = queries.said(lot, moved.row.amount), queries.said(lot, left)
    return MovementMade(
        **shown.model_dump(),
        left=queries.held(lot, left),
        flags=moved.flags,
        assumed=moved.assumed,
        summary=f"{lot.number}, {what}: {change}; {rest} left.",
    )
