"""Top-ups over HTTP."""

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
from service.workshop.stock.actions.top_ups import ToppedUp
from service.workshop.stock.bodies import TopUpCorrection, TopUpIn, TopUpMade, TopUpOut
from service.workshop.stock.rules import (
    DensityNeeded,
    LotTaken,
    MistypedLot,
    NumbersUsedUp,
    StockShort,
    UnknownLot,
)

router = APIRouter(prefix="/v1/lots/{lot}/top-ups", tags=["stock"], route_class=Route)
_LOT = (UnknownLot, MistypedLot)
Entry = Annotated[int, Path(ge=1, lt=2**63, description="As the list of the lot shows it")]


@router.get(
    "", summary="List the top-ups that made a lot, or that it went into", responses=problems(*_LOT)
)
def list_top_ups(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.TOP_UPS))],
    session: Reading,
    link: Linking,
) -> Listed[TopUpOut]:
    found = queries.top_up_page(session, ask, queries.lot(session, lot))
    shown = queries.shown_top_ups(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "",
    status_code=201,
    summary="Pour lots onto what is left of one: a new lot with its origins and shares",
    description="A drum on its heel, varnish on a kettle heel, the rinse of a strainer. The new "
    "lot is in quarantine unless all of it is released, and expires with the first of it. A figure "
    "of the parts is worked out where a rule gives it; else it is not carried, and that is said.",
    responses=problems(*_LOT, DensityNeeded, StockShort, LotTaken, NumbersUsedUp),
)
def create_top_up(lot: str, wanted: TopUpIn, session: Writing, response: Response) -> TopUpMade:
    done = actions.top_up(session, queries.lot(session, lot), wanted)
    response.headers["Location"] = f"/v1/lots/{done.made.number}"
    return _told(session, done)


@router.post(
    "/{entry}/corrections",
    status_code=201,
    summary="Correct or void a top-up; ledger, origins and figures follow",
    responses=problems(*_LOT, UnknownEntry, AlreadyCorrected, DensityNeeded),
)
def correct_top_up(lot: str, entry: Entry, wanted: TopUpCorrection, session: Writing) -> TopUpMade:
    done = actions.correct_top_up(session, queries.lot(session, lot), entry, wanted)
    return _told(session, done)


def _told(session: Writing, done: ToppedUp) -> TopUpMade:
    shown = queries.shown_top_ups(session, [done.row])[done.row.row_id]
    made = done.made
    left = queries.left(session, [made.row_id])[made.row_id]
    shares = ", ".join(f"{part.share} {part.lot}" for part in shown.parts)
    voided = f"{made.number}: nothing was poured together; all of it is taken back."
    mixed = f"{made.number}: {shares}; {queries.said(made, left)}, {made.quality}."
    return TopUpMade(
        **shown.model_dump(),
        left=queries.held(made, left),
        not_carried=done.not_carried,
        flags=done.flags,
        assumed=done.assumed,
        summary=voided if done.row.void else mixed,
    )
