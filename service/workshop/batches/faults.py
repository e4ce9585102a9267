"""What is wrong with batches: states, lots, ledgers and losses that do not follow from entries."""

from collections import Counter
from collections.abc import Iterator, Mapping

from sqlmodel import col, select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch
from service.workshop.batches._tables_stages import StageEntry
from service.workshop.batches.rules import MOVES
from service.workshop.stock import queries as stock
from service.workshop.stock.queries.sums import Sums, moved_for, went_into


def faults(session: ReadSession) -> Iterator[str]:
    moved = moved_for(session, ["weighing", "yield"])
    for batch in session.exec(select(Batch).order_by(col(Batch.id))):
        yield from _state(session, batch)
        drawn = Counter[int]()
        for entry in queries.weighings(session, batch):
            drawn[entry.lot] += entry.amount_mg
        yield from _ledger(session, batch, drawn, moved)
        if batch.state == "complete":
            yield from _made(session, batch, moved)


def _state(session: ReadSession, batch: Batch) -> Iterator[str]:
    state = "planned"
    for move in queries.transitions(session, batch):
        if move.from_state != state or move.to_state not in MOVES[state]:
            yield f"{batch.code} went from {move.from_state} to {move.to_state} when {state}."
        state = move.to_state
    if batch.state != state:
        yield f"{batch.code} is kept as {batch.state}; its moves lead to {state}."


def _ledger(
    session: ReadSession, batch: Batch, drawn: Mapping[int, int], moved: Sums
) -> Iterator[str]:
    """What was weighed in left its lots; what a stage put into a lot of its own came to it."""
    wanted = Counter[int]({lot: -mg for lot, mg in drawn.items()})
    out = select(StageEntry).where(StageEntry.batch == batch.row_id, standing(StageEntry))
    for entry in session.exec(out):
        if entry.lot is not None:
            wanted[entry.lot] += entry.amount_mg or 0
    made = stock.find_lot(session, batch.code)
    own = None if made is None else made.row_id
    went = {lot: mg for (ref, lot), mg in moved.items() if ref == batch.code and lot != own}
    for key in sorted({*wanted, *went}):
        if wanted[key] != went.get(key, 0):
            number = stock.lot_by_id(session, key).number
            yield (
                f"{batch.code} moved {wanted[key]} mg of {number} by its entries; "
                f"the ledger says {went.get(key, 0)} mg."
            )


def _made(session: ReadSession, batch: Batch, moved: Sums) -> Iterator[str]:
    """The lot that was made is the yield, and came of what was weighed in."""
    lot, out = queries.made_lot(session, batch), queries.yield_of(session, batch)
    if lot is None or out is None:
        yield f"{batch.code} is complete, and has no lot or no yield."
        return
    came = moved.get((batch.code, lot.row_id), 0)
    if not out.amount_mg == lot.amount_in == came:
        yield (
            f"{batch.code}: its yield is {out.amount_mg} mg; the lot says {lot.amount_in}, "
            f"the ledger {came}."
        )
    yield from _origins(session, batch, lot)
    figure = queries.loss_figure(session, batch)
    now = queries.measured_loss(session, batch).percent
    if figure is not None and now != figure.value:
        yield f"{figure.number} tells a loss that {batch.code} did not measure."


def _origins(session: ReadSession, batch: Batch, own: stock.Lot) -> Iterator[str]:
    """What was weighed in is in the batch's own lot, and in those that its stages gave."""
    found = queries.origins(session, batch)
    lots = stock.lots_by_id(session, found.besides)
    held = [(own, found.own), *((lots[key], parents) for key, parents in found.besides.items())]
    for lot, parents in held:
        if went_into(session, lot.row_id) != {key: mg for key, mg in parents.items() if mg}:
            yield f"The origins of {lot.number} are not what was weighed in."
