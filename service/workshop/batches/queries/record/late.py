"""Entries that come after their batch has ended: told apart, and judged before release.

An entry is late where it happened before the end, or may have, and was entered after it; what
happened after the end is no part of the making at all. Both open a deviation (`actions.late`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import col, select

from service.store.columns import Recorded
from service.store.lists import Listing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, Transition
from service.workshop.batches._tables_entries import LateEntry as LateEntry
from service.workshop.batches.bodies.late import LateEntryOut
from service.workshop.batches.rules import ENDED
from service.workshop.deviations.queries import deviation

LISTING = Listing(
    "late-entries",
    LateEntry,
    sorts=("id", "happened_at"),
    default_sort="id",
    filters={"kind": str, "deviation": str},
    times=("happened_at", "entered_at"),
)


@dataclass(frozen=True, slots=True)
class End:
    """How and when a batch ended, and how far off that may be."""

    state: str
    at: datetime
    about: timedelta

    def lies_after(self, happened_at: datetime, about_seconds: int | None) -> bool:
        """Whether what happened then happened before this, or may have."""
        earliest = happened_at - timedelta(seconds=about_seconds or 0)
        return earliest <= self.at + self.about


def end_of(session: ReadSession, batch: Batch) -> End | None:
    """How a batch ended; None while it is under way."""
    if batch.state not in ENDED:
        return None
    row = session.exec(
        select(Transition)
        .where(Transition.batch == batch.row_id, Transition.to_state == batch.state)
        .order_by(col(Transition.id).desc())
        .limit(1)
    ).one()
    about = timedelta(seconds=row.about_seconds or 0)
    return End(batch.state, row.happened_at, about)


def late_ids(session: ReadSession, kind: type[Recorded], ids: Iterable[int]) -> set[int]:
    """Which entries of one kind came late, in one query."""
    found = select(LateEntry.entry).where(
        LateEntry.kind == kind.__tablename__,
        col(LateEntry.entry).in_(sorted(set(ids))),
        col(LateEntry.before_the_end).is_(True),
    )
    return {entry for entry in session.exec(found) if entry is not None}


def under(session: ReadSession, deviation: str) -> list[LateEntry]:
    """The entries that one deviation judges."""
    found = select(LateEntry).where(LateEntry.deviation == deviation)
    return list(session.exec(found.order_by(col(LateEntry.id))))


def of_entry(session: ReadSession, row: Recorded) -> LateEntry | None:
    """What is said of one entry, if it came after the end."""
    found = select(LateEntry).where(
        LateEntry.kind == type(row).__tablename__, LateEntry.entry == row.row_id
    )
    return session.exec(found).first()


def shown(session: ReadSession, batch: Batch, rows: Sequence[LateEntry]) -> dict[int, LateEntryOut]:
    """Late entries by key as they are shown, and how each was judged."""
    numbers = {row.deviation: deviation(session, row.deviation).open for row in rows}
    return {row.row_id: _shown(row, batch, open_=numbers[row.deviation]) for row in rows}


def _shown(row: LateEntry, batch: Batch, *, open_: bool) -> LateEntryOut:
    return LateEntryOut(
        batch=batch.code,
        kind=row.kind.replace("_", "-"),
        entry=row.entry,
        count=row.count,
        late=row.before_the_end,
        happened_at=row.happened_at,
        entered_at=row.entered_at,
        deviation=row.deviation,
        judged="voided" if row.voided else "open" if open_ else "accepted",
    )
