"""One lot counted: the difference against its ledger at that time moved, and what it explains."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from service.office.workshop_card.queries import zone
from service.science.rounding import plain
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import conclude
from service.workshop.deviations.bodies import ConclusionIn, Flag
from service.workshop.deviations.queries import still_open
from service.workshop.shelf import rules
from service.workshop.shelf._tables import Count, StockTake, StockTakePage
from service.workshop.shelf.queries import takes as queries
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock
from service.workshop.stock.actions.amounts import Kept, kept
from service.workshop.stock.bodies import Entered

NEGATIVE = "stock-negative"
CAUSE = "stock-take"


@dataclass(frozen=True, slots=True)
class Seen:
    """What was counted at a line, and where in the body that stands."""

    line: int
    lot: stock.Lot
    entered: Entered
    pointer: str
    remark: str | None = None


@dataclass(frozen=True)
class Page:
    """A page being entered: whose it is, when it was counted, and what is flagged of it."""

    session: WriteSession
    take: StockTake
    row: StockTakePage
    counting: rules.Counting
    about_seconds: int | None
    by: str | None
    counts: list[Count] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)


def keep_count(page: Page, seen: Seen, correction: dict[str, Any] | None = None) -> Count:
    """Write a count and move the difference. Raises DensityNeeded, Invalid."""
    session, lot = page.session, seen.lot
    found = _measured(session, seen)
    ledger = queries.told(session, [lot.row_id])[lot.row_id]
    counting = _after_it_came(page, lot, ledger)
    stood = rules.ledger_at(ledger, counting.at)
    row = Count(
        take=page.take.row_id,
        line=seen.line,
        page=page.row.row_id,
        lot=lot.row_id,
        counted=found.amount,
        entered_value=plain(seen.entered.quantity.value),
        entered_unit=seen.entered.quantity.unit or ("pcs" if lot.measure == "count" else "g"),
        density=found.density,
        ledger=stood,
        movement=None,
        remark=seen.remark,
        about_seconds=page.about_seconds,
        **{
            **stamp(session, by=page.by, happened_at=counting.at, entered_from="paper"),
            **(correction or {}),
        },
    )
    row.movement = _move(page, lot, row)
    session.add(row)
    _flag_unclear(page, lot, ledger, counting)
    _flag_counted_later(page, lot, row)
    row.concluded = _conclude(page, lot, row)
    session.flush()  # the answer shows its key
    page.counts.append(row)
    return row


def _measured(session: WriteSession, seen: Seen) -> Kept:
    """In mg or pieces; nothing is nothing in every unit."""
    lot = seen.lot
    if not seen.entered.quantity.value:
        return Kept(0)
    chain = stock.subject_chain(lot)
    return kept(session, seen.entered, chain, measure=lot.measure, pointer=seen.pointer)


def _move(page: Page, lot: stock.Lot, row: Count) -> int | None:
    """Move the difference, at the time of the count; where there is none, nothing moves."""
    difference = row.counted - row.ledger
    if not difference:
        return None
    line = stock_actions.Move(
        difference,
        CAUSE,
        page.take.number,
        page.by,
        row.happened_at,
        reason=row.reason,
        about_seconds=page.about_seconds,
    )
    moved, flag = stock_actions.enter(page.session, lot, line, plan=False)
    if flag is not None:
        page.flags.append(flag.model_copy(update={"line": row.line}))
    return moved.row_id


def _after_it_came(page: Page, lot: stock.Lot, ledger: Sequence[rules.Told]) -> rules.Counting:
    """A delivery of the day is often entered after it was counted; what was counted had come."""
    came = rules.came_at(ledger)
    if came is None or came <= page.counting.at:
        return page.counting
    text = (
        f"{lot.number} came later by its ledger than it was counted: it is taken as counted when "
        "it came."
    )
    page.flags.append(Flag(code="counted-before-it-came", text=text))
    return rules.Counting(came, came, came)


def _flag_unclear(
    page: Page, lot: stock.Lot, ledger: Sequence[rules.Told], counting: rules.Counting
) -> None:
    """Say where something moved that may have been before the count as well as after it."""
    doubtful = [line for line in ledger if rules.unclear(line, counting)]
    if not doubtful:
        return
    before = sum(line.amount for line in doubtful if line.at <= counting.at)
    after = sum(line.amount for line in doubtful) - before
    text = (
        f"{lot.number} moved about when it was counted: {stock.said(lot, before)} is taken as "
        f"before the count, {stock.said(lot, after)} as after it. Where that is wrong, correct "
        "the count."
    )
    page.flags.append(Flag(code="order-unclear", text=text))


def _flag_counted_later(page: Page, lot: stock.Lot, row: Count) -> None:
    """A count entered late moves the ledger under one that was made after it, and that one is the
    last word on what is there."""
    if not row.counted - row.ledger:
        return
    found = queries.last_after(page.session, lot, row.happened_at)
    if found is None:
        return
    later, take = found
    text = (
        f"{lot.number} was counted after this: {stock.said(lot, later.counted)}, line {later.line} "
        f"of {take}. Correct that line, with the same amount, so that the ledger ends with it."
    )
    call = f"POST /v1/stock-takes/{take}/lines/{later.line}/corrections"
    page.flags.append(Flag(code="counted-later", text=text, line=row.line, concluded_by=call))


def _conclude(page: Page, lot: stock.Lot, row: Count) -> tuple[str, ...]:
    """Conclude what stood open of the lot's ledger, where this count really explains it."""
    session = page.session
    opened = [one for one in still_open(session, lot.number) if one.code == NEGATIVE]
    if not opened:
        return ()
    ledger = queries.told(session, [lot.row_id])[lot.row_id]
    difference = row.counted - row.ledger
    day = row.happened_at.astimezone(zone(session)).date()
    text = (
        f"{stock.said(lot, row.counted)} counted on {day} ({page.take.number}, line {row.line}); "
        f"the ledger said {stock.said(lot, row.ledger)}."
    )
    concluded = []
    for one in opened:
        if rules.explains(
            ledger,
            counted_at=row.happened_at,
            opened_at=one.happened_at,
            difference=difference,
        ):
            conclude(session, one.number, ConclusionIn(text=text, by=page.by))
            concluded.append(one.number)
    return tuple(concluded)
