"""The life of a lot over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from service.errors import AlreadyCorrected
from service.store.lists import Ask
from service.store.records import UnknownEntry
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.stock import actions, queries
from service.workshop.stock.actions.life import Lived
from service.workshop.stock.bodies import LifeCorrection, LifeIn, LifeMade, LifeOut
from service.workshop.stock.rules import DensityNeeded, MistypedLot, UnknownLot

router = APIRouter(prefix="/v1/lots/{lot}/life", tags=["stock"], route_class=Route)
_LOT = (UnknownLot, MistypedLot)
Entry = Annotated[int, Path(ge=1, lt=2**63, description="As the list of the lot shows it")]


@router.get("", summary="List what was done with a lot and seen of it", responses=problems(*_LOT))
def list_lot_life(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.LIFE))],
    session: Reading,
    link: Linking,
) -> Listed[LifeOut]:
    row = queries.lot(session, lot)
    found = queries.life_page(session, ask, row)
    shown = queries.shown_life(session, row, found.rows)
    return link(found, lambda one: shown[one.row_id])


@router.post(
    "",
    status_code=201,
    summary="Record that a lot was opened, looked at, skinned, or stands in which vessels",
    description="One look, one call: whatever was done or seen. Skin leaves the ledger; vessels "
    "that do not add up to the ledger are kept and flagged, since only a stock take changes it.",
    responses=problems(*_LOT, DensityNeeded),
)
def record_lot_life(lot: str, wanted: LifeIn, session: Writing, response: Response) -> LifeMade:
    row = queries.lot(session, lot)
    made = actions.record_life(session, row, wanted)
    response.headers["Location"] = f"/v1/lots/{row.number}/life"
    return _told(session, made, "kept")


@router.post(
    "/{entry}/corrections",
    status_code=201,
    summary="Correct or void what was said of a lot's life; the ledger follows",
    responses=problems(*_LOT, UnknownEntry, AlreadyCorrected, DensityNeeded),
)
def correct_lot_life(lot: str, entry: Entry, wanted: LifeCorrection, session: Writing) -> LifeMade:
    made = actions.correct_life(session, queries.lot(session, lot), entry, wanted)
    return _told(session, made, "voided" if made.row.void else "corrected")


def _told(session: Writing, made: Lived, what: str) -> LifeMade:
    row, lot = made.row, made.lot
    shown = queries.shown_life(session, lot, [row])[row.row_id]
    left = queries.left(session, [lot.row_id])[lot.row_id]
    said = [
        "opened" if row.opened else "",
        "looked at" if row.saw or row.photo else "",
        "skin taken off" if row.skin else "",
        _vessels(len(shown.vessels)) if shown.vessels else "",
        "certificate named" if row.certificate else "",
    ]
    done = ", ".join(filter(None, said))
    return LifeMade(
        **shown.model_dump(),
        left=queries.held(lot, left),
        flags=made.flags,
        assumed=made.assumed,
        summary=f"{lot.number}: {done}; {what}; {queries.said(lot, left)} left.",
    )


def _vessels(count: int) -> str:
    return "in one vessel" if count == 1 else f"in {count} vessels"
