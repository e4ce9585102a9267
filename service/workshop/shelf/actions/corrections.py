"""A count corrected: its difference taken back, and moved anew by what should have been said."""

from dataclasses import dataclass
from typing import Any

from service.office.people.queries import doer
from service.science import units
from service.science.units import Quantity
from service.store.records import Amends, amend
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, correct_conclusion, open_deviation
from service.workshop.deviations.bodies import ConclusionCorrection
from service.workshop.deviations.queries import deviation, still_open
from service.workshop.shelf import rules
from service.workshop.shelf._tables import Count, StockTakePage
from service.workshop.shelf.actions.counting import NEGATIVE, Page, Seen, keep_count
from service.workshop.shelf.bodies.counts import CountCorrection, CountReplacement
from service.workshop.shelf.queries import takes as queries
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock
from service.workshop.stock.bodies import Entered


@dataclass(frozen=True, slots=True)
class Corrected:
    """A correction as it was kept; `new` is none where the count was voided."""

    page: Page
    old: Count
    row: Count
    lot: stock.Lot
    reopened: list[str]


def correct_count(
    session: WriteSession, number: str, line: int, wanted: CountCorrection
) -> Corrected:
    """Raises UnknownStockTake, UnknownStockTakeLine, CountedAfterwards, Invalid."""
    take = queries.take(session, number)
    old = queries.counts(session, take).get(line)
    if old is None:
        raise rules.UnknownStockTakeLine(f"Nothing stands counted at line {line} of {take.number}.")
    lot = stock.lot_by_id(session, old.lot)
    _check_newest(session, old, lot)
    by = doer(session, wanted.by)
    page = _page_again(session, old, by=by)
    _take_back(session, old, reason=wanted.reason, by=by)
    reopened = _reopen(session, old, reason=wanted.reason, by=by)
    if wanted.replaces is None:
        row = amend(
            session, old, Amends(wanted.reason, by, void=True), {"movement": None, "concluded": ()}
        )
        _flag_negative(page, lot)
    else:
        marks = {"corrects": old.row_id, "reason": wanted.reason}
        row = keep_count(page, _seen(old, lot, wanted.replaces), marks)
    still = {one.number for one in still_open(session, lot.number)}
    return Corrected(page, old, row, lot, [one for one in reopened if one in still])


def _check_newest(session: WriteSession, old: Count, lot: stock.Lot) -> None:
    """A later count goes by the difference that this one made. Raises CountedAfterwards."""
    later = queries.counted_later(session, old)
    if later is not None:
        wrong = f"{lot.number} was counted again since, as entry {later.row_id}."
        raise rules.CountedAfterwards(wrong)


def _page_again(session: WriteSession, old: Count, *, by: str | None) -> Page:
    """The page of the count, as if it were entered again."""
    row = session.get_one(StockTakePage, old.page)
    reach = old.about_seconds or 0
    counting = rules.Counting(old.happened_at, old.happened_at, old.happened_at)
    return Page(session, queries.take_by_id(session, old.take), row, counting, reach or None, by)


def _take_back(session: WriteSession, old: Count, *, reason: str, by: str | None) -> None:
    if old.movement is not None:
        line = session.get_one(stock.Movement, old.movement)
        stock_actions.reverse(session, line, reason=reason, by=by, last=True)


def _reopen(session: WriteSession, old: Count, *, reason: str, by: str | None) -> list[str]:
    """What the count explained is open again, until another explains it; what someone opened
    again since is so already."""
    closed = [number for number in old.concluded if not deviation(session, number).open]
    for number in closed:
        wanted = ConclusionCorrection(void=True, reason=reason, by=by)
        correct_conclusion(session, number, wanted)
    return closed


def _seen(old: Count, lot: stock.Lot, sent: CountReplacement) -> Seen:
    remark = sent.remark if "remark" in sent.model_fields_set else old.remark
    entered = sent.counted if sent.counted is not None else _entered(old, lot)
    return Seen(old.line, lot, entered, "#/replaces/counted", remark)


def _entered(old: Count, lot: stock.Lot) -> Entered:
    """What was counted, as it was entered."""
    mass = "mass" if old.density is None else "volume"
    dimension = "count" if lot.measure == "count" else mass
    found: Quantity = units.quantity(old.entered_value, old.entered_unit, dimension)
    return Entered(found, "")


def _flag_negative(page: Page, lot: stock.Lot) -> None:
    """Without the count the ledger may stand below nothing, with nobody to explain it."""
    left = stock.left(page.session, [lot.row_id])[lot.row_id]
    known: Any = [one for one in still_open(page.session, lot.number) if one.code == NEGATIVE]
    if left < 0 and not known:
        text = f"The ledger of {lot.number} stands at {stock.said(lot, left)} after this."
        fact = Fact("lot", lot.number, NEGATIVE, text)
        page.flags.append(open_deviation(page.session, fact, by=page.by))
