"""A page of counts entered as a whole, or nothing of it."""

import hashlib
import json
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from typing import TypeVar

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.office.workshop_card.queries import today, zone
from service.store.session import WriteSession
from service.workshop.batches.rules import PageKnown
from service.workshop.batches.rules.clocks import Moment, TimeUnclear, moment
from service.workshop.shelf import rules
from service.workshop.shelf._tables import StockTake, StockTakeLine, StockTakePage
from service.workshop.shelf.actions.counting import Page, Seen, keep_count
from service.workshop.shelf.bodies.counts import CountsIn
from service.workshop.shelf.queries import takes as queries
from service.workshop.stock import queries as stock
from service.workshop.stock.rules import DensityNeeded

T = TypeVar("T")
_A_DAY = 86_400


def enter_page(session: WriteSession, number: str, wanted: CountsIn) -> Page:
    """Raises UnknownStockTake, PageKnown, DensityNeeded, Invalid."""
    take = queries.take(session, number)
    by = doer(session, wanted.by)
    counting, about = _when(session, wanted)
    page = Page(session, take, _page(session, take, wanted, counting, by), counting, about, by)
    refusals: list[Invalid] = []
    for seen in _seen(page, wanted, refusals):
        _attempt(refusals, partial(keep_count, page, seen))
    _refuse_all(refusals)
    return page


def _attempt(refusals: list[Invalid], do: Callable[[], T]) -> T | None:
    """One line; what is wrong with it is told together with the rest."""
    try:
        return do()
    except Invalid as refusal:
        refusals.append(refusal)
        return None


def _page(
    session: WriteSession,
    take: StockTake,
    wanted: CountsIn,
    counting: rules.Counting,
    by: str | None,
) -> StockTakePage:
    text = json.dumps(wanted.model_dump(exclude_unset=True), sort_keys=True, default=str)
    digest = hashlib.sha256(text.encode()).hexdigest()
    if (before := queries.page_of_digest(session, take, digest)) is not None:
        raise PageKnown(f"Page {before.page} of {take.number} holds exactly this.")
    row = StockTakePage(
        take=take.row_id,
        page=queries.next_page(session, take),
        digest=digest,
        photo=wanted.photo,
        counted_at=counting.at,
        by=by,
        entered_at=session.now,
    )
    session.add(row)
    session.flush()  # what the page holds names it
    return row


def _when(session: WriteSession, wanted: CountsIn) -> tuple[rules.Counting, int | None]:
    """When it was counted: at the time that is said, else now today, else by the end of the day,
    which is then known to the day only. Raises Invalid."""
    on, now = wanted.counted_on or today(session), session.now
    if on > today(session):
        wrong = f"{on.isoformat()} is still to come."
        remedies = (Remedy("it was counted today", {"counted_on": today(session).isoformat()}),)
        raise Invalid(wrong, at("#/counted_on", wrong, "day-to-come", remedies=remedies))
    if wanted.counted_at is not None:
        found = _moment(session, wanted.counted_at, on)
        _check_same_day(session, wanted, found)
        reach = timedelta(seconds=found.about_seconds or 0)
        return rules.Counting(found.at, found.at - reach, found.at + reach), found.about_seconds
    if on == today(session):
        return rules.Counting(now, now, now), None
    local = zone(session)
    next_day = datetime.combine(on + timedelta(days=1), time(0), local).astimezone(UTC)
    end = next_day - timedelta(seconds=1)
    start = datetime.combine(on, time(0), local).astimezone(UTC)
    return rules.Counting(end, start, end), _A_DAY


def _check_same_day(session: WriteSession, wanted: CountsIn, found: Moment) -> None:
    """Raises Invalid for a time that names another day than the page does."""
    on, said = wanted.counted_on, found.at.astimezone(zone(session)).date()
    if on is None or said == on:
        return
    wrong = f"{wanted.counted_at} is on {said.isoformat()}; the page says {on.isoformat()}."
    ways = (
        Remedy(f"it was on {said.isoformat()}", {"counted_on": said.isoformat()}),
        Remedy(f"it was on {on.isoformat()}, at no known time", {"counted_at": None}),
    )
    raise Invalid(wrong, at("#/counted_at", wrong, "days-differ", remedies=ways))


def _moment(session: WriteSession, text: str, on: date) -> Moment:
    try:
        found = moment(text, on, zone(session))
    except TimeUnclear as unclear:
        ways = tuple(Remedy(f"it was {each}", {"counted_at": each}) for each in unclear.readings)
        told = at("#/counted_at", unclear.detail, unclear.code, hint=unclear.hint, remedies=ways)
        raise Invalid(unclear.detail, told) from None
    if found.at > session.now:
        wrong = f"{text} is still to come."
        ways = (Remedy("it was counted just now", {"counted_at": None}),)
        raise Invalid(wrong, at("#/counted_at", wrong, "time-to-come", remedies=ways))
    return found


def _seen(page: Page, wanted: CountsIn, refusals: list[Invalid]) -> Iterator[Seen]:
    """The lines in their order, then what was found beside them."""
    listed = {line.line: line.lot for line in queries.lines(page.session, page.take)}
    lots = stock.lots_by_id(page.session, listed.values())
    for number, entry in wanted.filled.items():
        if number not in listed:
            wrong = f"The sheet of {page.take.number} has no line {number}."
            hint = f"Its lines are 1 to {max(listed)}; what is on none of them goes into `found`."
            rest = len(wanted.filled) > 1 or wanted.found
            leave_out = Remedy("the rest is to be entered", {"lines": {str(number): None}})
            ways = (leave_out,) if rest else ()
            faults = at(
                f"#/lines/{number}", wrong, "stock-take-line-unknown", hint=hint, remedies=ways
            )
            refusals.append(Invalid(wrong, faults))
            continue
        assert entry.counted is not None  # `filled` holds no others
        lot, pointer = lots[listed[number]], f"#/lines/{number}"
        yield Seen(number, lot, entry.counted, pointer, entry.remark)
    yield from _found(page, wanted, refusals, listed)


def _found(
    page: Page, wanted: CountsIn, refusals: list[Invalid], listed: dict[int, int]
) -> Iterator[Seen]:
    """Lots that stand on no line get one; one that does is refused, as its line is known."""
    by_lot = {lot: number for number, lot in listed.items()}
    for place, entry in enumerate(wanted.found):
        pointer = f"#/found/{place}"
        find = partial(stock.lot_in_body, page.session, entry.lot, pointer=f"{pointer}/lot")
        lot = _attempt(refusals, find)
        if lot is None:
            continue
        if lot.row_id in by_lot and lot.row_id not in listed.values():
            refusals.append(_twice(wanted, place, lot))
            continue
        if lot.row_id in by_lot:
            wrong = f"{lot.number} stands at line {by_lot[lot.row_id]}."
            refusals.append(_on_sheet(wanted, place, by_lot[lot.row_id], wrong))
            continue
        number = max([*listed, *by_lot.values()], default=0) + 1
        by_lot[lot.row_id] = number
        row = StockTakeLine(take=page.take.row_id, line=number, lot=lot.row_id, found=True)
        page.session.add(row)
        assert entry.counted is not None  # the body refuses it otherwise
        yield Seen(number, lot, entry.counted, f"{pointer}/counted", entry.remark)


def _twice(wanted: CountsIn, place: int, lot: stock.Lot) -> Invalid:
    """A lot found in two places stands once, with all of it."""
    sent = wanted.model_dump(mode="json", exclude_unset=True)["found"]
    del sent[place]
    wrong, hint = f"{lot.number} is found twice on this page.", "Add its amounts up."
    ways = (Remedy("what stands first is all of it", {"found": sent}),)
    return Invalid(wrong, at(f"#/found/{place}/lot", wrong, "lot-twice", hint=hint, remedies=ways))


def _on_sheet(wanted: CountsIn, place: int, line: int, wrong: str) -> Invalid:
    """A lot found that has a line already: its count is sent there."""
    sent = wanted.model_dump(mode="json", exclude_unset=True)["found"]
    moved = sent.pop(place)
    count = {name: moved[name] for name in ("counted", "remark") if name in moved}
    remedy = Remedy("that line is meant", {"found": sent, "lines": {str(line): count}})
    ways = (remedy,) if line not in wanted.filled else ()
    return Invalid(wrong, at(f"#/found/{place}/lot", wrong, "stands-on-sheet", remedies=ways))


def _refuse_all(refusals: list[Invalid]) -> None:
    """Nothing is written where anything is refused; all of it is told at once."""
    if not refusals:
        return
    faults = tuple(fault for refusal in refusals for fault in refusal.faults)
    detail = f"Nothing was written. {' '.join(refusal.detail for refusal in refusals)}"
    density = all(isinstance(refusal, DensityNeeded) for refusal in refusals)
    raise (DensityNeeded if density else Invalid)(detail, faults)
