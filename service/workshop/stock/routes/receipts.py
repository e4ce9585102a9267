"""Corrections of delivery notes over HTTP."""

from fastapi import APIRouter, Response

from service.errors import AlreadyCorrected
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Writing
from service.workshop.stock import queries
from service.workshop.stock.actions.receipt_corrections import correct_receipt as correct
from service.workshop.stock.bodies.receipt_corrections import (
    ReceiptCorrected,
    ReceiptCorrection,
)
from service.workshop.stock.rules import UnknownReceipt

router = APIRouter(prefix="/v1", tags=["stock"], route_class=Route)


@router.post(
    "/receipts/{number}/corrections",
    status_code=201,
    summary="Correct or void a delivery note; its lots and their first movements follow",
    description="What came of a lot, and for how much, is corrected at its movement: POST "
    "/v1/movements/{movement}/corrections.",
    responses=problems(UnknownReceipt, AlreadyCorrected),
)
def correct_receipt(
    number: str, wanted: ReceiptCorrection, session: Writing, response: Response
) -> ReceiptCorrected:
    done = correct(session, number, wanted)
    response.headers["Location"] = f"/v1/receipts/{done.row.number}"
    act = "voided" if done.row.void else f"replaced by {done.row.number}"
    return ReceiptCorrected(
        **queries.shown_receipt(session, done.row).model_dump(),
        flags=done.flags,
        assumed={} if wanted.by or done.row.by is None else {"by": done.row.by},
        summary=f"{done.old.number} {act}.",
    )
