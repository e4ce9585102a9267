"""What planned and running batches still need, and of which lots: read from their lines and what
was weighed, never kept."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import func
from sqlmodel import col, select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, BatchLine, Weighing
from service.workshop.batches.queries.plan import targets
from service.workshop.batches.rules import ENDED, MOVES
from service.workshop.scalings.rules import split
from service.workshop.stock import queries as stock

UNDER_WAY = tuple(state for state in MOVES if state not in ENDED)


@dataclass(frozen=True, slots=True)
class Need:
    """What a line of a batch under way still takes, in mg, and from which lots first."""

    batch: Batch
    line: int
    material: str
    amount_mg: int
    lots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reserved:
    """Of every lot (by key) what is reserved, and of each need what no lot holds."""

    lots: Mapping[int, int]
    uncovered: Sequence[tuple[Need, int]]
    needs: Sequence[Need]

    def of_material(self, code: str) -> int:
        return sum(need.amount_mg for need in self.needs if need.material == code)


def needs(session: ReadSession) -> list[Need]:
    """What the batches under way still need, those first that were planned for the earliest day;
    a line that is within its tolerance needs no more."""
    rows = session.exec(
        select(Batch, BatchLine)
        .join(BatchLine, col(BatchLine.batch) == col(Batch.id))
        .where(
            col(Batch.state).in_(UNDER_WAY),
            BatchLine.do == "weigh",
            col(BatchLine.target_mg).is_not(None),
        )
        .order_by(col(Batch.planned_on), col(Batch.id), col(BatchLine.position))
    ).all()
    ids = {batch.row_id for batch, _ in rows}
    done, followed = _weighed(session, ids), _followed(session, ids)
    found = []
    for batch, line in rows:
        aim = targets.Aim(line.target_mg, line.tolerance_mg)
        if (lines := followed.get(batch.row_id)) is not None:
            if str(line.line) in lines:
                continue  # what fell there is taken as it fell, and the rest follows it
            aim = targets.aim(session, batch, line)
        rest = (aim.target_mg or 0) - done.get((batch.row_id, line.line), 0)
        if rest > (aim.tolerance_mg or 0) and line.material is not None:
            found.append(Need(batch, line.line, line.material, rest, line.lots))
    return found


def _followed(session: ReadSession, batches: Iterable[int]) -> dict[int, set[str]]:
    """By batch the lines whose weights the others were worked out from, where any were."""
    rows = session.exec(
        select(targets.Retarget).where(
            col(targets.Retarget.batch).in_(set(batches)), standing(targets.Retarget)
        )
    )
    found: dict[int, set[str]] = {}
    for row in rows:
        found.setdefault(row.batch, set()).update(row.weighed)
    return found


def _weighed(session: ReadSession, batches: Iterable[int]) -> dict[tuple[int, int], int]:
    """By batch and line what stands as weighed in."""
    sums = session.exec(
        select(Weighing.batch, Weighing.line, func.sum(Weighing.amount_mg))
        .where(col(Weighing.batch).in_(set(batches)), standing(Weighing))
        .group_by(col(Weighing.batch), col(Weighing.line))
    )
    # PostgreSQL sums big integers as numeric.
    return {(batch, line): int(amount) for batch, line, amount in sums}


def reserved(session: ReadSession) -> Reserved:
    """Each need is taken of the lots that its plan names, then of the open ones in their order; no
    lot is reserved beyond what is left of it."""
    wanted = needs(session)
    named = {number for need in wanted for number in need.lots}
    rows = session.exec(select(stock.Lot).where(col(stock.Lot.number).in_(named)))
    by_number = {lot.number: lot for lot in rows}
    shelf = stock.open_lots_of(session, {need.material for need in wanted})
    keys = {lot.number: lot.row_id for lot in by_number.values()}
    keys |= {held.lot.number: held.lot.row_id for lots in shelf.values() for held in lots}
    left = stock.left(session, keys.values())
    lots: dict[int, int] = {}
    uncovered = []
    for need in wanted:
        of_plan = [number for number in need.lots if number in by_number]
        order = dict.fromkeys([*of_plan, *(held.lot.number for held in shelf[need.material])])
        free = {number: left[keys[number]] - lots.get(keys[number], 0) for number in order}
        taken, short = split(need.amount_mg, free)
        for number, amount in taken.items():
            lots[keys[number]] = lots.get(keys[number], 0) + amount
        if short:
            uncovered.append((need, short))
    return Reserved(lots, uncovered, wanted)


def coming(session: ReadSession) -> dict[str, int]:
    """By material what the batches under way should make, in mg."""
    sums = session.exec(
        select(Batch.material, func.sum(Batch.target_mg))
        .where(col(Batch.state).in_(UNDER_WAY))
        .group_by(col(Batch.material))
    )
    return {material: int(amount) for material, amount in sums}
