"""Batches, their lines and their entries, as rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy.orm import aliased
from sqlmodel import col, select

from service.store.lists import Listing
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches._tables import (
    Batch,
    BatchLine,
    BatchNote,
    Page,
    StepEntry,
    Transition,
    Weighing,
    Yield,
)
from service.workshop.batches.rules import BESIDE_THE_PLAN, ENDED, State, UnknownBatch, sheet_order
from service.workshop.batches.rules.clocks import SOME_TIME_ON_THE_DAY
from service.workshop.recipes import queries as recipes
from service.workshop.stock import queries as stock

LISTING = Listing(
    "batches",
    Batch,
    sorts=("code", "planned_on", "created_at"),
    default_sort="-created_at",
    filters={"state": State, "recipe": str, "material": str, "product": str, "kettle": str},
    times=("created_at",),
)
WEIGHINGS = Listing(
    "weighings",
    Weighing,
    sorts=("id", "happened_at"),
    default_sort="id",
    filters={"line": int, "material": str},
    times=("happened_at",),
)
TRANSITIONS = Listing(
    "transitions",
    Transition,
    sorts=("id", "happened_at"),
    default_sort="id",
    times=("happened_at",),
)
NOTES = Listing(
    "batch-notes",
    BatchNote,
    sorts=("id", "happened_at"),
    default_sort="id",
    times=("happened_at",),
)


_ENDED = aliased(Transition)  # one for all queries, since `standing` keeps what it built


@dataclass(frozen=True, slots=True)
class Charged:
    """What stands as weighed in, from which lot (its key), at which stage of the work."""

    material: str
    lot: int
    amount_mg: int
    stage: str


@dataclass(frozen=True, slots=True)
class Window:
    """The time for which a batch has, or had, its kettle; an end of None is still to come."""

    batch: Batch
    start: datetime
    end: datetime | None

    def covers(self, at: datetime) -> bool:
        return self.start <= at and (self.end is None or at <= self.end)


def batch(session: ReadSession, code: str) -> Batch:
    """Raises UnknownBatch."""
    row = session.exec(select(Batch).where(Batch.code == code.strip().upper())).first()
    if row is None:
        raise UnknownBatch(f"There is no batch {code[:40]!r}.")
    return row


def batch_by_id(session: ReadSession, key: int) -> Batch:
    """A batch by its key, as another row holds it."""
    return session.exec(select(Batch).where(Batch.id == key)).one()


def made_by(session: ReadSession, lot: str) -> Batch | None:
    """The batch that made the lot of this number, if one did."""
    return session.exec(select(Batch).where(Batch.code == lot)).first()


def lines(session: ReadSession, batch: Batch) -> list[BatchLine]:
    """The lines of the sheet, in its order."""
    found = select(BatchLine).where(BatchLine.batch == batch.row_id)
    return list(session.exec(found.order_by(col(BatchLine.position))))


def planned_stages(session: ReadSession, batch: Batch) -> list[tuple[str, recipes.StageRow | None]]:
    """The stages of the sheet in the order of the work, also those in which nothing is weighed or
    done; with what the version says of each, where it lists it."""
    version = recipes.version(session, batch.recipe, batch.version)
    listed = {row.stage: row for row in recipes.stages(session, version)}
    order = sheet_order(list(listed), [line.stage for line in lines(session, batch)])
    return [(stage, listed.get(stage)) for stage in order]


def weighings(session: ReadSession, batch: Batch, line: int | None = None) -> list[Weighing]:
    """The standing weighings of a batch, or of one of its lines, in the order of entry."""
    found = select(Weighing).where(Weighing.batch == batch.row_id, standing(Weighing))
    if line is not None:
        found = found.where(Weighing.line == line)
    return list(session.exec(found.order_by(col(Weighing.id))))


def entered_together(session: ReadSession, last: Weighing) -> list[Weighing]:
    """The weighings at a line that were entered in one request, of which this is the last."""
    found = select(Weighing).where(
        Weighing.batch == last.batch,
        Weighing.line == last.line,
        Weighing.entered_at == last.entered_at,
        col(Weighing.corrects).is_(None),
        col(Weighing.id) <= last.row_id,
    )
    return list(session.exec(found.order_by(col(Weighing.id))))


def step_entries(session: ReadSession, batch: Batch, line: int) -> list[StepEntry]:
    """What stands as seen at a line that is not weighed."""
    found = select(StepEntry).where(
        StepEntry.batch == batch.row_id, StepEntry.line == line, standing(StepEntry)
    )
    return list(session.exec(found.order_by(col(StepEntry.id))))


def charged(session: ReadSession, batch_code: str) -> list[Charged]:
    """The standing weighings of a batch; none for a lot that no batch made."""
    row = session.exec(select(Batch).where(Batch.code == batch_code)).first()
    if row is None:
        return []
    stages = {line.line: line.stage for line in lines(session, row)}
    stages[BESIDE_THE_PLAN] = "other"
    return [
        Charged(entry.material, entry.lot, entry.amount_mg, stages[entry.line])
        for entry in weighings(session, row)
    ]


def yield_of(session: ReadSession, batch: Batch) -> Yield | None:
    """The yield that counts: the newest that stands."""
    found = select(Yield).where(Yield.batch == batch.row_id, standing(Yield))
    return session.exec(found.order_by(col(Yield.id).desc()).limit(1)).first()


def made_lot(session: ReadSession, batch: Batch) -> stock.Lot | None:
    """The lot that a batch made, once it is complete."""
    return stock.find_lot(session, batch.code) if batch.state == "complete" else None


def page_of_digest(session: ReadSession, batch: Batch, digest: str) -> Page | None:
    """A page of the batch that was sent with exactly this body."""
    return session.exec(
        select(Page).where(Page.batch == batch.row_id, Page.digest == digest)
    ).first()


def next_page(session: ReadSession, batch: Batch) -> int:
    """The number that the next page of a batch will bear."""
    found = select(Page.page).where(Page.batch == batch.row_id)
    return max(session.exec(found), default=0) + 1


def transitions(session: ReadSession, batch: Batch) -> list[Transition]:
    """The moves of a batch that stand, in the order in which they were made: one that was
    corrected keeps the place of the first."""
    found = select(Transition).where(Transition.batch == batch.row_id)
    rows = session.exec(found.order_by(col(Transition.id))).all()
    corrected = {row.corrects for row in rows}
    places: dict[int | None, int] = {}
    for row in rows:
        places[row.id] = places.get(row.corrects, row.row_id)
    there = [row for row in rows if row.id not in corrected and not row.void]
    return sorted(there, key=lambda row: places[row.id])


def last_balance(session: ReadSession, batch: Batch | None) -> str | None:
    """The balance of the newest weighing, of one batch or of all."""
    found = select(Weighing.balance).where(col(Weighing.balance).is_not(None))
    if batch is not None:
        found = found.where(Weighing.batch == batch.row_id)
    return session.exec(found.order_by(col(Weighing.id).desc()).limit(1)).first()


def windows(
    session: ReadSession, kettle: str, *, since: datetime, until: datetime
) -> Sequence[Window]:
    """The batches that had a kettle between two instants, the latest start first."""
    ended = _ENDED
    slack = timedelta(seconds=SOME_TIME_ON_THE_DAY)
    found = session.exec(
        select(Batch, Transition, ended)
        .join(Transition, col(Transition.batch) == col(Batch.id))
        .outerjoin(
            ended,
            (col(ended.batch) == col(Batch.id))
            & col(ended.to_state).in_(sorted(ENDED))
            & standing(ended),
        )
        .where(
            Batch.kettle == kettle,
            Transition.from_state == "planned",
            Transition.to_state == "running",
            standing(Transition),
            Transition.happened_at <= until + slack,
            col(ended.id).is_(None) | (col(ended.happened_at) >= since - slack),
        )
        .order_by(col(Transition.happened_at).desc(), col(Batch.id).desc())
    )
    return [_window(row, start, end) for row, start, end in found]


def _window(row: Batch, start: Transition, end: Transition | None) -> Window:
    """A time known only about reaches as far as it may be off."""
    begun = start.happened_at - timedelta(seconds=start.about_seconds or 0)
    if end is None:
        return Window(row, begun, None)
    return Window(row, begun, end.happened_at + timedelta(seconds=end.about_seconds or 0))


def span(session: ReadSession, batch: Batch) -> Window | None:
    """The time for which a batch has its kettle; None while it is only planned."""
    moves = transitions(session, batch)
    starts = [move for move in moves if move.to_state == "running"]
    ends = [move for move in moves if move.to_state in ENDED]
    return _window(batch, starts[0], ends[-1] if ends else None) if starts else None


def running_in(session: ReadSession, kettle: str, at: datetime) -> Batch | None:
    """The batch that is, or was, in a kettle at an instant."""
    for window in windows(session, kettle, since=at, until=at):
        if window.covers(at):
            return window.batch
    return None
