"""Release and rejection over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.store.lists import Ask
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.labels.rules import LabelNotFrozen
from service.workshop.release import actions, queries
from service.workshop.release.bodies import (
    ActMade,
    ActOut,
    ReadinessOut,
    RejectionIn,
    ReleaseIn,
)
from service.workshop.release.rules import AlreadyRejected, NamedPersonNeeded, NotReady
from service.workshop.stock.queries import lot as lot_of
from service.workshop.stock.rules import MistypedLot, UnknownLot

router = APIRouter(prefix="/v1/lots/{lot}", tags=["release"], route_class=Route)

_LOT = (UnknownLot, MistypedLot)


@router.get(
    "/readiness",
    summary="List what still stands against a release",
    description="The same as POST …/releases?dry_run=true with an empty body is refused for.",
    responses=problems(*_LOT),
)
def get_readiness(lot: str, session: Reading) -> ReadinessOut:
    return queries.readiness(session, lot_of(session, lot))


@router.get("/acts", summary="List the acts on a lot", responses=problems(*_LOT))
def list_acts(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.ACTS))],
    session: Reading,
    link: Linking,
) -> Listed[ActOut]:
    found = queries.act_page(session, ask, lot_of(session, lot))
    return link(found, lambda row: queries.shown(session, row))


@router.post(
    "/releases",
    status_code=201,
    summary="Release a lot and publish its data sheet",
    description="One act by one named person: the lot (and its bulk, with `with_bulk`) becomes "
    "released and its sheet public, or nothing happens. Hazard classes that are not assessed do "
    "not hold it up: this service works out none.",
    responses=problems(*_LOT, NotReady, NamedPersonNeeded, LabelNotFrozen),
)
def release_lot(lot: str, wanted: ReleaseIn, session: Writing, response: Response) -> ActMade:
    done = actions.release(session, lot_of(session, lot), wanted)
    shown = queries.shown(session, done.row)
    sheet = f", sheet {shown.sheet_revision} published" if shown.sheet else ""
    response.headers["Location"] = shown.sheet or f"/v1/lots/{shown.lot}/acts"
    summary = f"{shown.lot} released by {shown.by}{sheet}."
    return ActMade(**shown.model_dump(), assumed=done.assumed, summary=summary)


@router.post(
    "/rejections",
    status_code=201,
    summary="Reject a lot for good",
    responses=problems(*_LOT, AlreadyRejected, NamedPersonNeeded),
)
def reject_lot(lot: str, wanted: RejectionIn, session: Writing) -> ActMade:
    done = actions.reject(session, lot_of(session, lot), wanted)
    shown = queries.shown(session, done.row)
    summary = f"{shown.lot} rejected by {shown.by}."
    return ActMade(**shown.model_dump(), assumed=done.assumed, summary=summary)
