"""What is wrong with fills: masses, checks, ledgers and origins that do not follow from weights."""

from collections.abc import Iterator

from sqlmodel import col, select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.lots import queries
from service.workshop.lots._tables import Fill
from service.workshop.stock import queries as stock
from service.workshop.stock.queries.sums import Sums, moved_for, went_into


def faults(session: ReadSession) -> Iterator[str]:
    moved = moved_for(session, ["fill"])
    last = {fill.lot: fill for fill in session.exec(select(Fill).order_by(col(Fill.id)))}
    stands = {fill.lot: fill for fill in session.exec(select(Fill).where(standing(Fill)))}
    for key in last:
        packed, fill = stock.lot_by_id(session, key), stands.get(key)
        took = {} if fill is None else _taken(fill)
        count = 0 if fill is None else fill.count
        yield from _ledger(moved, packed.number, {**{k: -v for k, v in took.items()}, key: count})
        if packed.amount_in != count:
            yield f"{packed.number} was made with {packed.amount_in} packs; {count} were filled."
        if went_into(session, key) != took:
            yield f"The origins of {packed.number} are not what its fill took."
        if fill is not None:
            yield from _weights(session, fill, packed)


def _taken(fill: Fill) -> dict[int, int]:
    found = {fill.bulk: fill.filled_mg, fill.container_lot: fill.count}
    if fill.closure_lot is not None:
        found[fill.closure_lot] = fill.count
    return found


def _ledger(moved: Sums, number: str, wanted: dict[int, int]) -> Iterator[str]:
    held = {lot: amount for (ref, lot), amount in moved.items() if ref == number and amount}
    if held != {lot: amount for lot, amount in wanted.items() if amount}:
        yield f"The ledger does not say what the fill of {number} took and made."


def _weights(session: ReadSession, fill: Fill, packed: stock.Lot) -> Iterator[str]:
    nets = [weight.gross_mg - fill.tare_mg for weight in queries.weights_of(session, fill)]
    filled = sum(nets) + (fill.count - len(nets)) * fill.nominal_mg
    if filled != fill.filled_mg:
        yield f"The weights of {packed.number} make {filled} mg; {fill.filled_mg} mg are kept."
    if (found := queries.check_of(session, fill, packed).verdict) != fill.verdict:
        yield f"The check of {packed.number} is kept as {fill.verdict}; its weights say {found}."
