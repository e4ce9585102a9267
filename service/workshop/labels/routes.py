"""Labels over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Response

from service.errors import AlreadyCorrected
from service.office.keys.rules import ScopeNeeded
from service.office.workshop_card.bodies import Language, Market
from service.store.lists import Ask
from service.store.records import UnknownEntry
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.labels import actions, queries
from service.workshop.labels.bodies import (
    LabelIn,
    LabellingCorrection,
    LabellingIn,
    LabellingMade,
    LabellingOut,
    LabelMade,
    LabelOut,
)
from service.workshop.labels.rules import LabelNotFrozen, MarketMissing, NotPacked
from service.workshop.stock.rules import MistypedLot, UnknownLot

router = APIRouter(prefix="/v1/lots/{lot}", tags=["labels"], route_class=Route)

_LOT = (UnknownLot, MistypedLot, NotPacked)
Number = Annotated[int, Path(ge=1, le=100_000, description="Revision of the label")]
Entry = Annotated[int, Path(ge=1, lt=2**63, description="Number of the count, from the list")]
AskMarket = Annotated[
    Market | None, Query(description="Where absent, the product's or the workshop's first")
]
AskLanguage = Annotated[Language | None, Query(description="Where absent, the workshop's first")]


@router.get(
    "/labels/draft",
    summary="Draw up the label of a packed lot",
    description="Hazard classes are not assessed by this service: `why.hazard_classes` says so. "
    "What is still missing stands in `undecided`; nothing is invented.",
    responses=problems(*_LOT, MarketMissing),
)
def get_label_draft(
    lot: str, session: Reading, market: AskMarket = None, language: AskLanguage = None
) -> LabelOut:
    row = queries.packed(session, lot)
    chosen = queries.market_for(session, row, market)
    return queries.draft(session, row, chosen, queries.language_for(session, language))


@router.get(
    "/labels/latest",
    summary="Show the newest frozen label",
    responses=problems(*_LOT, LabelNotFrozen),
)
def get_latest_label(lot: str, session: Reading) -> LabelOut:
    row = queries.packed(session, lot)
    return queries.shown(session, queries.revision(session, row.number, None))


@router.get(
    "/labels/{number}",
    summary="Show a frozen label",
    responses=problems(*_LOT, LabelNotFrozen),
)
def get_label(lot: str, number: Number, session: Reading) -> LabelOut:
    row = queries.packed(session, lot)
    return queries.shown(session, queries.revision(session, row.number, number))


@router.post(
    "/labels",
    status_code=201,
    summary="Freeze the label before it is printed",
    responses=problems(*_LOT, MarketMissing),
)
def freeze_label(lot: str, wanted: LabelIn, session: Writing, response: Response) -> LabelMade:
    row = queries.packed(session, lot)
    document, assumed = actions.freeze_label(session, row, wanted)
    response.headers["Location"] = f"/v1/lots/{row.number}/labels/{document.revision}"
    shown = queries.shown(session, document)
    gaps = f" It still lacks {len(shown.undecided)} elements." if shown.undecided else ""
    summary = f"Label {document.revision} of {row.number} frozen.{gaps}"
    return LabelMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get(
    "/labellings",
    summary="List the counts of a lot's labels",
    responses=problems(*_LOT),
)
def list_labellings(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.LABELLINGS))],
    session: Reading,
    link: Linking,
) -> Listed[LabellingOut]:
    row = queries.packed(session, lot)
    found = queries.labelling_page(session, ask, row)
    return link(found, lambda one: queries.shown_labelling(session, one))


@router.post(
    "/labellings",
    status_code=201,
    summary="Count the labels of a print run",
    description="A count that does not add up is a fact: it is kept, flagged, and opens a "
    "deviation.",
    responses=problems(*_LOT, LabelNotFrozen),
)
def record_labelling(lot: str, wanted: LabellingIn, session: Writing) -> LabellingMade:
    row = queries.packed(session, lot)
    done = actions.record_labelling(session, row, wanted)
    shown = queries.shown_labelling(session, done.row)
    drawn = f" from {shown.label_lot}" if shown.label_lot else ", no label stock drawn"
    summary = f"{shown.printed} labels printed{drawn}; {shown.used} used, {shown.spoiled} spoiled."
    flags, assumed = done.flags, done.assumed
    return LabellingMade(**shown.model_dump(), flags=flags, assumed=assumed, summary=summary)


@router.post(
    "/labellings/{entry}/corrections",
    status_code=201,
    summary="Correct or void a count of labels",
    description="Blank labels that the count drew go back to their lot, or more are drawn. Once "
    "the lot has left quarantine it needs the scope release.",
    responses=problems(*_LOT, UnknownEntry, AlreadyCorrected, ScopeNeeded, LabelNotFrozen),
)
def correct_labelling(
    lot: str, entry: Entry, wanted: LabellingCorrection, session: Writing
) -> LabellingMade:
    row = queries.packed(session, lot)
    done = actions.correct_labelling(session, row, entry, wanted)
    shown = queries.shown_labelling(session, done.row)
    counts = f"{shown.printed} printed, {shown.used} used, {shown.spoiled} spoiled"
    said = "voided" if shown.void else f"now {counts}"
    summary = f"Count {entry} of {row.number} {said}."
    flags, assumed = done.flags, done.assumed
    return LabellingMade(**shown.model_dump(), flags=flags, assumed=assumed, summary=summary)
