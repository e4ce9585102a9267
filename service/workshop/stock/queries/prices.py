"""What lots cost: the price of what came, and of what was made from it, losses included."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from graphlib import CycleError, TopologicalSorter

from sqlmodel import col, select

from service.store.session import ReadSession
from service.workshop.stock._tables import Edge, Lot, Receipt
from service.workshop.stock.queries.lots import lots_by_id

Prices = dict[int, Fraction | None]
Origins = Mapping[int, Sequence[Edge]]


@dataclass(frozen=True, slots=True)
class UnitPrice:
    """Exact money per milligram or per piece, and the delivery that says so."""

    per: Fraction
    lot: str
    receipt: str
    on: date


def latest_price(session: ReadSession, material: str) -> UnitPrice | None:
    """The price of a material on the newest receipt that has one."""
    return latest_prices(session, [material])[material]


def latest_prices(session: ReadSession, codes: Iterable[str]) -> dict[str, UnitPrice | None]:
    """The same for several materials, in one query."""
    found: dict[str, UnitPrice | None] = dict.fromkeys(codes)
    rows = session.exec(
        select(Lot, Receipt)
        .join(Receipt, col(Receipt.id) == col(Lot.receipt))
        .where(col(Lot.material).in_(found), col(Lot.price).is_not(None), Lot.amount_in > 0)
        .order_by(col(Receipt.received_on), col(Lot.id))
    )
    for lot, receipt in rows:  # the newest comes last, and stays
        if (per := _paid(lot)) is not None:
            found[lot.material] = UnitPrice(per, lot.number, receipt.number, receipt.received_on)
    return found


def unit_price(session: ReadSession, lot: Lot) -> Fraction | None:
    """Money per milligram or piece of a lot; None where any part of it has no price."""
    return unit_prices(session, [lot])[lot.row_id]


def unit_prices(session: ReadSession, lots: Sequence[Lot]) -> Prices:
    """Unit prices of several lots by key; two queries for each level of their origins."""
    known = {lot.row_id: lot for lot in lots}
    origins: dict[int, list[Edge]] = {}
    level = _unpaid(known)
    while level:
        edges = session.exec(select(Edge).where(col(Edge.child).in_(level))).all()
        origins.update({key: [] for key in level})
        for edge in edges:
            origins[edge.child].append(edge)
        above = lots_by_id(session, {edge.parent for edge in edges} - known.keys())
        known.update(above)
        level = _unpaid(above)
    prices: Prices = {}
    for key in _parents_first(known, origins):
        paid = _paid(known[key])
        made = _made(known[key], origins.get(key, ()), prices)
        prices[key] = made if paid is None else paid
    return {lot.row_id: prices.get(lot.row_id) for lot in lots}


def _paid(lot: Lot) -> Fraction | None:
    """The price of a lot that was bought. A gift costs nothing, which is a price."""
    if lot.price is None or lot.amount_in <= 0:
        return None
    return Fraction(lot.price) / lot.amount_in


def _unpaid(lots: Mapping[int, Lot]) -> list[int]:
    return [key for key, lot in lots.items() if _paid(lot) is None]


def _parents_first(lots: Mapping[int, Lot], origins: Origins) -> Iterator[int]:
    """Keys in an order that prices can be worked out in; what lies on a circle never comes."""
    sorter = TopologicalSorter(
        {key: [edge.parent for edge in origins.get(key, ())] for key in lots}
    )
    with suppress(CycleError):
        sorter.prepare()
    while ready := sorter.get_ready():
        yield from ready
        sorter.done(*ready)


def _made(lot: Lot, edges: Sequence[Edge], prices: Prices) -> Fraction | None:
    """What went in over what came out, so that losses are paid for."""
    if not edges or lot.amount_in <= 0:
        return None
    total = Fraction(0)
    for edge in edges:
        if (per := prices[edge.parent]) is None:
            return None
        total += per * edge.amount
    return total / lot.amount_in
