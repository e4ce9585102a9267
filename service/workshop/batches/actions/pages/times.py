"""The order of the times on a page: a cook runs forward, past midnight too."""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from service.errors import Invalid, Remedy, at
from service.office.workshop_card.queries import today
from service.store.session import ReadSession
from service.workshop.batches.rules.clocks import Moment

Timed = tuple[int, Moment]  # which entry of the page, and when it was


def check_cook_order(timed: Sequence[Timed], sent: Sequence[list[Any]], zone: ZoneInfo) -> None:
    """Raises Invalid where an entry is earlier than the one above it, as far as both are known."""
    slips = [place for (_, before), (place, after) in pairwise(timed) if _earlier(after, before)]
    if not slips:
        return
    place = slips[0]
    wrong = f"{sent[place][0]} is earlier than the entry above it."
    ways = [Remedy("it was after midnight", {"cook": _next_day(timed, sent, place, zone=zone)})]
    if len(timed) == len(sent):
        order = sorted(timed, key=lambda one: one[1].at)
        ways.append(Remedy("they stand in no order", {"cook": [sent[one] for one, _ in order]}))
    hint = "Look at the times again."
    fault = at(f"#/cook/{place}/0", wrong, "time-backwards", hint=hint, remedies=tuple(ways))
    raise Invalid(wrong, fault)


def _earlier(after: Moment, before: Moment) -> bool:
    """Whether one must have been earlier than the other, however far off both may be."""
    unsure = (after.about_seconds or 0) + (before.about_seconds or 0)
    return after.at + timedelta(seconds=unsure) < before.at


def _next_day(
    timed: Sequence[Timed], sent: Sequence[list[Any]], first: int, *, zone: ZoneInfo
) -> list[list[Any]]:
    """The entries, those from the first one on a day later by the clock on the wall."""
    moved = {place: when for place, when in timed if place >= first}
    told = []
    for place, entry in enumerate(sent):
        if place in moved:
            local = moved[place].at.astimezone(zone) + timedelta(days=1)
            about = "about " if moved[place].about_seconds else ""
            entry = [about + local.isoformat(timespec="minutes"), *entry[1:]]
        told.append(entry)
    return told


def day_of(session: ReadSession, on: date | None) -> date:
    """The day of a page; without one it is today's. Raises Invalid for a day to come."""
    now = today(session)
    if on is not None and on > now:
        wrong = f"{on} is still to come; it is {now}."
        ways = (Remedy("the page is of today", {"on": now.isoformat()}),)
        raise Invalid(wrong, at("#/on", wrong, "time-to-come", remedies=ways))
    return on or now
