"""Stock takes over HTTP: made, counted by page, corrected by line."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from service.errors import AlreadyCorrected
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches.rules import PageKnown
from service.workshop.shelf import answers
from service.workshop.shelf.actions.corrections import correct_count
from service.workshop.shelf.actions.pages import enter_page
from service.workshop.shelf.actions.takes import make_take
from service.workshop.shelf.bodies.counts import (
    CountCorrected,
    CountCorrection,
    CountsIn,
    CountsMade,
)
from service.workshop.shelf.bodies.takes import (
    StockTakeIn,
    TakeMade,
    TakeOut,
    TakeSheetOut,
    TakeShown,
)
from service.workshop.shelf.queries import takes as queries
from service.workshop.shelf.rules import (
    CountedAfterwards,
    NothingToCount,
    TooMuchToCount,
    UnknownStockTake,
    UnknownStockTakeLine,
)
from service.workshop.stock.rules import DensityNeeded

router = APIRouter(prefix="/v1/stock-takes", tags=["stock"], route_class=Route)
LineNumber = Annotated[int, Path(ge=1, le=2000, description="From the sheet.")]


@router.get("", summary="List the stock takes, newest first")
def list_stock_takes(
    ask: Annotated[Ask, Depends(asking(queries.TAKES))], session: Reading, link: Linking
) -> Listed[TakeOut]:
    found = page(session, queries.TAKES, ask)
    shown = queries.shown(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@router.post(
    "",
    status_code=201,
    summary="Make a stock take: list the lots to be counted",
    responses=problems(NothingToCount, TooMuchToCount),
)
def create_stock_take(wanted: StockTakeIn, session: Writing, response: Response) -> TakeMade:
    row, assumed = make_take(session, wanted)
    response.headers["Location"] = f"/v1/stock-takes/{row.number}"
    shown = queries.shown(session, [row])[row.row_id]
    lots = f"{shown.lines} lot{'' if shown.lines == 1 else 's'}"
    summary = f"{row.number}: {lots} to count, {row.covers}."
    return TakeMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get(
    "/{number}",
    summary="Show a stock take with what was counted",
    responses=problems(UnknownStockTake),
)
def get_stock_take(number: str, session: Reading) -> TakeShown:
    return queries.shown_whole(session, queries.take(session, number))


@router.get(
    "/{number}/sheet",
    summary="Show the sheet to count by, ending in the page to send back",
    responses=problems(UnknownStockTake),
)
def get_stock_take_sheet(number: str, session: Reading) -> TakeSheetOut:
    return queries.sheet(session, queries.take(session, number))


@router.post(
    "/{number}/pages",
    status_code=201,
    summary="Enter a whole page of counts",
    description="The difference of each lot is taken against its ledger at the time of the count, "
    "so that what happened later stays as it is. A line left blank was not counted.",
    responses=problems(UnknownStockTake, PageKnown, DensityNeeded),
)
def enter_stock_take_page(number: str, wanted: CountsIn, session: Writing) -> CountsMade:
    return answers.page(session, enter_page(session, number, wanted), wanted)


@router.post(
    "/{number}/lines/{line}/corrections",
    status_code=201,
    summary="Correct or void the count at a line",
    responses=problems(
        UnknownStockTake, UnknownStockTakeLine, CountedAfterwards, AlreadyCorrected, DensityNeeded
    ),
)
def correct_stock_count(
    number: str, line: LineNumber, wanted: CountCorrection, session: Writing
) -> CountCorrected:
    return answers.corrected(session, correct_count(session, number, line, wanted), wanted)
