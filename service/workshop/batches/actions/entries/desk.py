"""Where entries land: whose they are, when it happened, and what they start and flag."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from service.office.people.queries import doer
from service.office.workshop_card.queries import zone
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, Transition
from service.workshop.batches.actions.cook.settling import settle
from service.workshop.batches.rules import MOVES, BatchState
from service.workshop.batches.rules.clocks import Moment
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.queries import FigureRow
from service.workshop.stock import actions as stock_actions
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.queries import Lot


@dataclass(frozen=True)
class Place:
    """Where in the body an entry stands, and how a patch of its fields becomes one of the body."""

    pointer: str = "#"
    wrap: Callable[[dict[str, Any]], Any] = lambda patch: patch
    spelled_out: bool = True  # a shorthand has no fields to point at

    def of(self, name: str) -> str:
        return f"{self.pointer}/{name}" if self.spelled_out else self.pointer


@dataclass(frozen=True)
class Desk:
    """One person's entries to one batch, in one transaction."""

    session: WriteSession
    batch: Batch
    by: str | None
    moment: Moment
    page: int | None = None
    entered_from: str = "api"
    flags: list[Flag] = field(default_factory=list)
    figures: list[FigureRow] = field(default_factory=list)

    def at(self, moment: Moment | None) -> "Desk":
        """The same desk at another moment, where one is known."""
        return self if moment is None else replace(self, moment=moment)

    def stamp(self) -> dict[str, Any]:
        """Who and when of an entry."""
        when = self.moment
        entry = stamp(self.session, by=self.by, happened_at=when.at, entered_from=self.entered_from)
        return {**entry, "about_seconds": when.about_seconds}

    def deviate(self, code: str, text: str, line: int | None = None) -> None:
        """Flag a fact outside the plan, and open its deviation."""
        fact = Fact("batch", self.batch.code, code, text[:600], line)
        self.flags.append(open_deviation(self.session, fact, by=self.by))

    @property
    def day(self) -> date:
        """The day it happened in the workshop."""
        return self.moment.at.astimezone(zone(self.session)).date()


def open_desk(
    session: WriteSession,
    code: str,
    *,
    by: str | None,
    happened_at: datetime | None,
    field: str = "happened_at",
) -> Desk:
    """A desk for a live entry, its time as the field of the body says. Raises UnknownBatch,
    Invalid."""
    batch = queries.batch(session, code)
    check_past(session, happened_at, field=field)
    return Desk(session, batch, doer(session, by), Moment(happened_at or session.now))


def shift(desk: Desk, to: str, text: str | None = None) -> Transition:
    """Change the state of the batch. Raises BatchState."""
    batch = desk.batch
    if to not in MOVES[batch.state]:
        there = ", ".join(MOVES[batch.state]) or "nothing"
        raise BatchState(f"{batch.code} is {batch.state}; that leads to {there}, not to {to}.")
    _flag_backwards(desk, to)
    row = Transition(
        batch=batch.row_id, from_state=batch.state, to_state=to, text=text, **desk.stamp()
    )
    batch.state = to
    desk.session.add_all([batch, row])
    desk.session.flush()  # the time the batch has its kettle is read from the database
    settle(desk.session, desk.batch)
    return row


def _flag_backwards(desk: Desk, to: str) -> None:
    """A move told to be earlier than the one before it: one of the two times is wrong, and which
    one only the maker knows. Its own correction puts it right."""
    moves = queries.transitions(desk.session, desk.batch)
    if not moves:
        return
    last, now = moves[-1], desk.moment
    unsure = timedelta(seconds=(last.about_seconds or 0) + (now.about_seconds or 0))
    if now.at + unsure < last.happened_at:
        text = f"Moved to {to} at {now.at.isoformat(timespec='seconds')}, and to {last.to_state} "
        until = last.happened_at.isoformat(timespec="seconds")
        desk.deviate("time-backwards", f"{text}only at {until}: correct the time that is wrong.")


def begin(desk: Desk) -> None:
    """The first thing weighed in starts a planned batch."""
    if desk.batch.state == "planned":
        shift(desk, "running")


def move_stock(
    desk: Desk,
    lot: Lot,
    amount: int,
    *,
    cause: str,
    reason: str | None = None,
    line: int | None = None,
) -> None:
    """Move stock for an entry; it happened, so a shortage is flagged and never refused."""
    wanted = stock_actions.Move(
        amount,
        cause,
        cause_ref=desk.batch.code,
        by=desk.by,
        happened_at=desk.moment.at,
        about_seconds=desk.moment.about_seconds,
        reason=reason,
    )
    flag = stock_actions.move(desk.session, lot, wanted, plan=False)
    if flag is not None:
        desk.flags.append(flag.model_copy(update={"line": line}))
