"""Adjustments as rows: the goals of a batch, what was read and added for each, what was held."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import col, select

from service.store.columns import Recorded
from service.store.lists import Listing
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, Weighing
from service.workshop.batches._tables_pot import Adjustment, AdjustmentReading
from service.workshop.batches.queries.record import records
from service.workshop.batches.rules.goals import MASS, UnknownAdjustment
from service.workshop.materials.queries import FigureRow

ADJUSTMENTS = Listing(
    "adjustments",
    Adjustment,
    sorts=("number", "happened_at"),
    default_sort="number",
    filters={"property": str, "material": str},
    times=("happened_at",),
)
# Of a goal that was corrected, the newest row is the goal.
NEWEST = col(Adjustment.id).not_in(
    select(Adjustment.corrects).where(col(Adjustment.corrects).is_not(None))
)
Key = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Held:
    """What a pot held in mg, and how that is known."""

    mg: int
    how: str


def adjustments(session: ReadSession, batch: Batch) -> list[Adjustment]:
    """The goals of a batch that stand, in their order."""
    found = select(Adjustment).where(Adjustment.batch == batch.row_id, standing(Adjustment))
    return list(session.exec(found.order_by(col(Adjustment.number))))


def adjustment(session: ReadSession, batch: Batch, number: int) -> Adjustment:
    """A goal as it is now, also where it was voided. Raises UnknownAdjustment."""
    row = session.exec(
        select(Adjustment).where(
            Adjustment.batch == batch.row_id, Adjustment.number == number, NEWEST
        )
    ).first()
    if row is None:
        raise UnknownAdjustment(f"{batch.code} has no adjustment {number}.")
    return row


def next_adjustment(session: ReadSession, batch: Batch) -> int:
    """The number that the next goal of a batch will bear."""
    found = select(Adjustment.number).where(Adjustment.batch == batch.row_id)
    return max(session.exec(found), default=0) + 1


def readings(session: ReadSession, batch: Batch, row: Adjustment) -> list[FigureRow]:
    """What stands as read for a goal, in the order in which it was read. A figure that was
    corrected stands for the one that was recorded here."""
    own = select(AdjustmentReading.figure).where(
        AdjustmentReading.batch == batch.row_id, AdjustmentReading.adjustment == row.number
    )
    read, known = set(session.exec(own)), _figures(session, batch, row.property)
    by_id = {figure.row_id: figure for figure in known}
    replaced = {figure.corrects for figure in known}

    def first(figure: FigureRow) -> int:
        while figure.corrects is not None:
            figure = by_id[figure.corrects]
        return figure.row_id

    stand = [each for each in known if not each.void and each.id not in replaced]
    return sorted((each for each in stand if first(each) in read), key=_in_order)


def _figures(session: ReadSession, batch: Batch, name: str) -> Sequence[FigureRow]:
    return session.exec(
        select(FigureRow).where(
            FigureRow.subject_kind == "batch",
            FigureRow.subject == batch.code,
            FigureRow.property == name,
        )
    ).all()


def additions(session: ReadSession, batch: Batch, row: Adjustment) -> list[Weighing]:
    """The weighings that stand as added for a goal, in their order."""
    found = [
        each
        for each in records.weighings(session, batch)
        if each.adjustment is not None and each.adjustment == row.number
    ]
    return sorted(found, key=_in_order)


def held(session: ReadSession, batch: Batch, at: Key) -> Held | None:
    """What the pot held at a moment: what it weighed when that was last known, and what was
    weighed in since; None where nothing is known to be in it."""
    entries = records.weighings(session, batch)
    weighed = [
        (key(each), int(each.value), f"weighed at {each.happened_at:%Y-%m-%d %H:%M} UTC")
        for each in _figures(session, batch, MASS)
        if _stands(session, each)
    ]
    if (out := records.yield_of(session, batch)) is not None:
        weighed.append((key(out), out.amount_mg, "the yield"))
    bases = [one for one in weighed if one[0] <= at]
    if not bases:
        total = sum(each.amount_mg for each in entries if key(each) <= at)
        return Held(total, "weighed in so far, nothing taken off for fumes") if total else None
    since, base, how = max(bases)
    more = sum(each.amount_mg for each in entries if since < key(each) <= at)
    return Held(base + more, how if not more else f"{how}, and what was weighed in since")


def _stands(session: ReadSession, figure: FigureRow) -> bool:
    found = select(FigureRow.id).where(FigureRow.id == figure.id, standing(FigureRow))
    return session.exec(found).first() is not None


def in_since(session: ReadSession, batch: Batch, at: Key) -> list[Weighing]:
    """What was weighed in after a moment."""
    return [each for each in records.weighings(session, batch) if key(each) > at]


def key(row: Recorded) -> Key:
    """When an entry happened, for putting entries in order; of a time known only about, the
    earliest. What happened at one instant is in the order of its entry."""
    return row.happened_at - timedelta(seconds=row.about_seconds or 0), row.entered_at


def _in_order(row: Recorded) -> tuple[Key, int]:
    return key(row), row.row_id
