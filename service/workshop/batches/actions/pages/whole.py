"""A whole page in one transaction: the same actions as the single entries, refused together."""

import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.office.workshop_card.queries import zone
from service.science import units
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, BatchLine, Page, Yield
from service.workshop.batches.actions.cook.log import keep_point
from service.workshop.batches.actions.ending.completion import complete, keep_yield
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.entries.desk import Desk, Place, begin
from service.workshop.batches.actions.entries.remarks import keep_note, keep_step
from service.workshop.batches.actions.entries.weighings import Weighed, record_weighing
from service.workshop.batches.actions.pages.handwriting import (
    as_saw,
    as_yield,
    portions,
    refused_time,
    spelled,
)
from service.workshop.batches.actions.pages.lists import beside, event_place
from service.workshop.batches.actions.pages.times import check_cook_order, day_of
from service.workshop.batches.actions.pot.adjustments import check_adjustment
from service.workshop.batches.actions.pot.events import EVENT_VALUES, as_told, keep_event
from service.workshop.batches.bodies.pages import PageIn
from service.workshop.batches.rules import PageKnown, WrongMaterial, yield_percent
from service.workshop.batches.rules.clocks import Moment, TimeUnclear, moment, some_time_on
from service.workshop.stock import queries as stock


@dataclass
class Entered:
    """A page as it was entered, and what is refused of it so far."""

    desk: Desk
    wanted: PageIn
    on: date
    zone: ZoneInfo
    weighed: list[Weighed] = field(default_factory=list)
    steps: int = 0
    out: Yield | None = None
    lot: stock.Lot | None = None
    refusals: list[Invalid] = field(default_factory=list)

    def attempt(self, do: Callable[[], None]) -> None:
        """One entry; what is wrong with it is told together with the rest."""
        try:
            do()
        except Invalid as refusal:
            self.refusals.append(refusal)

    def time(self, text: str, place: Place, ways: Callable[[str], Any]) -> Moment | None:
        """A time of the page, or None after it was put with what is refused."""
        try:
            return moment(text, self.on, self.zone)
        except TimeUnclear as unclear:
            self.refusals.append(refused_time(unclear, place, ways))
            return None


def enter_page(session: WriteSession, code: str, wanted: PageIn) -> Entered:
    """Enter a page as a whole, or nothing of it. Raises UnknownBatch, PageKnown, WrongMaterial,
    YieldMissing, BatchState, Invalid."""
    batch = queries.batch(session, code)
    by = doer(session, wanted.by)
    if wanted.checked_by is not None:
        doer(session, wanted.checked_by, pointer="#/checked_by")
    local = zone(session)
    on = day_of(session, wanted.on)
    when = some_time_on(on, local)
    page = _page(session, batch, wanted, by=by, when=when)
    desk = Desk(session, batch, by, when, page=page.row_id, entered_from="paper")
    entered = Entered(desk, wanted, on, local)
    _cook(entered)
    _lines(entered)
    _beside(entered)
    _notes(entered)
    _events(entered)
    _result(entered)
    _refuse_all(entered)
    if wanted.finished:
        _, entered.lot = complete(desk, place=Place(), ways=_not_yet(wanted))
    elif entered.weighed:
        measure_loss(desk)
    return entered


def _page(
    session: WriteSession, batch: Batch, wanted: PageIn, *, by: str | None, when: Moment
) -> Page:
    digest = _digest(wanted)
    if (before := queries.page_of_digest(session, batch, digest)) is not None:
        raise PageKnown(f"Page {before.page} of {batch.code} holds exactly this.")
    entry = stamp(session, by=by, happened_at=when.at, entered_from="paper")
    row = Page(
        batch=batch.row_id,
        page=queries.next_page(session, batch),
        digest=digest,
        photo=wanted.photo,
        **{**entry, "about_seconds": when.about_seconds},
    )
    session.add(row)
    session.flush()  # what the page holds names it
    return row


def _digest(wanted: PageIn) -> str:
    # A photo of the same page makes no other page of it.
    said = wanted.model_dump(exclude_unset=True, exclude={"photo"})
    text = json.dumps(said, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def _cook(entered: Entered) -> None:
    sent, timed = [list(entry) for entry in spelled(entered.wanted.cook)], []
    for number, (text, temperature, *remark) in enumerate(entered.wanted.cook):

        def ways(reading: str, number: int = number) -> Any:
            other = [list(entry) for entry in sent]
            other[number][0] = reading
            return {"cook": other}

        place = Place(f"#/cook/{number}/0", spelled_out=False)
        when = entered.time(text, place, ways)
        if when is not None:
            timed.append((number, when))
            celsius = units.canonical(temperature)
            keep_point(entered.desk.at(when), celsius, remark=remark[0] if remark else None)
    entered.attempt(lambda: check_cook_order(timed, sent, entered.zone))


def _notes(entered: Entered) -> None:
    for written, text in entered.wanted.notes.items():

        def ways(reading: str, written: str = written, text: str = text) -> Any:
            return {"notes": {written: None, reading: text}}

        name = written.replace("~", "~0").replace("/", "~1")
        when = entered.time(written, Place(f"#/notes/{name}", spelled_out=False), ways)
        if when is not None:
            keep_note(entered.desk.at(when), text)


def _lines(entered: Entered) -> None:
    lines = {line.line: line for line in queries.lines(entered.desk.session, entered.desk.batch)}
    filled = {int(name): entry for name, entry in entered.wanted.lines.items() if entry is not None}
    if any(lines[number].do == "weigh" for number in filled if number in lines):
        begin(entered.desk)
    for number in sorted(filled):
        line = lines.get(number)
        if line is None:
            wrong = f"The sheet of {entered.desk.batch.code} has no line {number}."
            faults = at(f"#/lines/{number}", wrong, "batch-line-unknown")
            entered.refusals.append(Invalid(wrong, faults))
        else:
            entered.attempt(partial(_AT_LINE.get(line.do, _see), entered, line, filled[number]))


def _weigh(entered: Entered, line: BatchLine, entry: Any) -> None:
    for portion, place, written in portions(line.line, entry, entered.wanted.checked_by):

        def ways(reading: str, place: Place = place) -> Any:
            return place.wrap({"at": reading})

        own = Place(place.of("at"), spelled_out=False)
        when = None if written is None else entered.time(written, own, ways)
        entered.weighed.append(record_weighing(entered.desk.at(when), portion, place))


def _beside(entered: Entered) -> None:
    for number in range(len(entered.wanted.beside)):
        entered.attempt(partial(_one_beside, entered, number))


def _one_beside(entered: Entered, number: int) -> None:
    several, desk = entered.wanted.beside, entered.desk
    portion, place = beside(several, number, entered.wanted.checked_by)
    check_adjustment(desk, portion.adjustment, pointer=place.of("adjustment"))
    when = _at(entered, several[number].at, place)
    entered.weighed.append(record_weighing(desk.at(when), portion, place))


def _at(entered: Entered, written: str | None, place: Place) -> Moment | None:
    if written is None:
        return None
    own = Place(place.of("at"), spelled_out=False)
    return entered.time(written, own, lambda reading: place.wrap({"at": reading}))


def _events(entered: Entered) -> None:
    for number, one in enumerate(entered.wanted.events):
        when = _at(entered, one.at, event_place(entered.wanted.events, number))
        keep_event(entered.desk.at(when), as_told(one, EVENT_VALUES))


def _yield(entered: Entered, line: BatchLine, entry: Any) -> None:
    if entered.wanted.yield_ is not None:
        wrong = f"The yield stands twice: at line {line.line} and as `yield`."
        faults = at("#/yield", wrong, "yield-twice", hint="Leave one of them out.")
        raise Invalid(wrong, faults)
    entered.out = keep_yield(
        entered.desk, as_yield(line.line, entry), checked_by=entered.wanted.checked_by
    )


def _see(entered: Entered, line: BatchLine, entry: Any) -> None:
    keep_step(entered.desk, line.line, as_saw(line.line, entry))
    entered.steps += 1


_AT_LINE = {"weigh": _weigh, "yield": _yield}


def _result(entered: Entered) -> None:
    if entered.wanted.yield_ is not None and not entered.refusals:
        entered.out = keep_yield(
            entered.desk, entered.wanted.yield_, checked_by=entered.wanted.checked_by
        )


def _not_yet(wanted: PageIn) -> tuple[Remedy, ...]:
    """A page that says more than that it is finished may still be entered without that."""
    says_more = wanted.model_fields_set - {"finished", "on", "by", "checked_by"}
    return (Remedy("it is not finished yet", {"finished": False}),) if says_more else ()


def _refuse_all(entered: Entered) -> None:
    """Nothing is written where anything is refused; all of it is told at once."""
    found = entered.refusals
    if not found:
        return
    faults = tuple(fault for refusal in found for fault in refusal.faults)
    if len(found) > 1:
        detail = f"Nothing was written. {len(found)} things on the page cannot be taken."
        wrong = all(isinstance(refusal, WrongMaterial) for refusal in found)
        raise (WrongMaterial if wrong else Invalid)(detail, faults)
    said = found[0].detail.removeprefix("Nothing was written. ")
    detail = f"Nothing was written. {said} All else on the page is in order."
    raise type(found[0])(detail, faults, more=found[0].more)


def summary(entered: Entered, points: int) -> str:
    """The page in one line."""
    parts = [
        *_counted(len(entered.weighed), "weighing"),
        *_counted(points, "cook point"),
        *_counted(entered.steps, "step"),
        *_counted(len(entered.wanted.notes), "note"),
        *_counted(len(entered.wanted.events), "event"),
    ]
    if entered.out is not None:
        parts.append(yield_text(entered.out))
    said = ", ".join(parts) or "nothing new"
    if entered.lot is None:
        return f"{said}; batch {entered.desk.batch.state}"
    return f"{said}; batch complete, lot {entered.lot.number} made"


def _counted(count: int, noun: str) -> Iterator[str]:
    if count:
        yield f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def yield_text(out: Yield) -> str:
    share = queries.percent(yield_percent(out.amount_mg, out.theory_mg))
    return f"yield {out.entered_value} {out.entered_unit} ({share.value} % of theory)"


def assumed(entered: Entered) -> dict[str, Any]:
    """What the page left to be filled in."""
    wanted, desk = entered.wanted, entered.desk
    lots = {
        str(one.row.line): one.assumed["lot"] for one in entered.weighed if "lot" in one.assumed
    }
    balances = [one.assumed["balance"] for one in entered.weighed if "balance" in one.assumed]
    found: dict[str, Any] = {"lots": lots} if lots else {}
    if balances:
        found["balance"] = balances[-1]
    if entered.weighed:
        found["unit"] = "g"
    found["zone"] = str(entered.zone)
    if wanted.on is None:
        found["on"] = entered.on.isoformat()
    if wanted.by is None and desk.by is not None:
        found["by"] = desk.by
    return found
