"""Where what a batch made came from: its own lot, and the lots that its stages gave besides."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlmodel import col, select

from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, Weighing
from service.workshop.batches._tables_stages import StageEntry
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.stages.stages import StageWorked, stages
from service.workshop.batches.rules import BESIDE_THE_PLAN
from service.workshop.batches.rules.sharing import shared


@dataclass(frozen=True, slots=True)
class Origins:
    """How much of each lot drawn (by key, in mg) is in the batch's own lot, and in each other."""

    own: Mapping[int, int]
    besides: Mapping[int, Mapping[int, int]]


def origins(session: ReadSession, batch: Batch) -> Origins:
    """What a stage gave holds all that was weighed in up to it, in equal shares; the rest is in
    the batch's own lot, which also bears what was lost."""
    rest = _by_lot(records.weighings(session, batch))
    given = select(StageEntry.lot).where(
        StageEntry.batch == batch.row_id, col(StageEntry.lot).is_not(None)
    )
    besides: dict[int, dict[int, int]] = {key: {} for key in session.exec(given) if key}
    if not besides:
        return Origins(rest, {})
    for worked in stages(session, batch):
        for entry in worked.taken:
            if entry.lot is not None:
                pool = _pool(session, batch, worked, entry)
                left = {lot: min(mg, rest.get(lot, 0)) for lot, mg in pool.items()}
                besides[entry.lot] = shared(entry.amount_mg or 0, left)
                rest = {lot: mg - besides[entry.lot].get(lot, 0) for lot, mg in rest.items()}
    return Origins(rest, besides)


def _by_lot(entries: Iterable[Weighing]) -> dict[int, int]:
    found: dict[int, int] = {}
    for entry in entries:
        found[entry.lot] = found.get(entry.lot, 0) + entry.amount_mg
    return found


def _pool(
    session: ReadSession, batch: Batch, worked: StageWorked, entry: StageEntry
) -> dict[int, int]:
    """What had been weighed in as this came out, by lot."""
    order = [name for name, _ in records.planned_stages(session, batch)]
    of_line = {line.line: line.stage for line in records.lines(session, batch)}
    upto = set(order[: order.index(worked.stage) + 1]) if worked.stage in order else set()

    def was_in(weighed: Weighing) -> bool:
        if weighed.line == BESIDE_THE_PLAN or not upto:
            return weighed.happened_at <= entry.happened_at
        return of_line[weighed.line] in upto

    return _by_lot(each for each in records.weighings(session, batch) if was_in(each))
