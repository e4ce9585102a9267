"""The graph of origins: what went into a lot, and what it went into, level by level."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import col, select

from service.store.session import ReadSession
from service.workshop.materials import queries as materials
from service.workshop.stock._tables import Edge, Lot
from service.workshop.stock.bodies import Reached, TraceOut
from service.workshop.stock.queries.ledger import held, left
from service.workshop.stock.queries.lots import lots_by_id

DEEPEST = 30
MOST = 5000


@dataclass(frozen=True, slots=True)
class Step:
    """One edge of a walk: `amount` (mg or pieces) of `parent` went into `child`."""

    depth: int
    parent: Lot
    child: Lot
    amount: int


def parents(session: ReadSession, lot_id: int) -> list[tuple[Lot, int]]:
    """The lots that went into a lot directly, each with how much of it."""
    return _direct(session, lot_id, upward=True)


def children(session: ReadSession, lot_id: int) -> list[tuple[Lot, int]]:
    """The lots that a lot went into directly, each with how much of this lot."""
    return _direct(session, lot_id, upward=False)


def _direct(session: ReadSession, lot_id: int, *, upward: bool) -> list[tuple[Lot, int]]:
    edges = _edges(session, [lot_id], upward=upward)
    others = lots_by_id(session, [_far(edge, upward) for edge in edges])
    return [(others[_far(edge, upward)], edge.amount) for edge in edges]


def _far(edge: Edge, upward: bool) -> int:
    return edge.parent if upward else edge.child


def _edges(session: ReadSession, ids: Sequence[int], *, upward: bool) -> list[Edge]:
    near, far = (Edge.child, Edge.parent) if upward else (Edge.parent, Edge.child)
    rows = session.exec(
        select(Edge).where(col(near).in_(ids)).order_by(col(near), col(far)).limit(MOST + 1)
    )
    return list(rows)


def walk(session: ReadSession, lot_id: int, *, upward: bool) -> tuple[list[Step], bool]:
    """Every edge between a lot and its origins (or destinations), nearest level first, and
    whether that is all: a walk ends at thirty levels or five thousand edges."""
    seen, level = {lot_id}, [lot_id]
    found: list[tuple[int, Edge]] = []
    for depth in range(1, DEEPEST + 1):
        edges = _edges(session, level, upward=upward)
        found += [(depth, edge) for edge in edges]
        if len(found) > MOST:
            return _steps(session, found[:MOST]), False
        level = list(dict.fromkeys(n for e in edges if (n := _far(e, upward)) not in seen))
        seen.update(level)
        if not level:
            return _steps(session, found), True
    return _steps(session, found), False


def _steps(session: ReadSession, found: Sequence[tuple[int, Edge]]) -> list[Step]:
    lots = lots_by_id(session, {key for _, edge in found for key in (edge.parent, edge.child)})
    return [Step(depth, lots[edge.parent], lots[edge.child], edge.amount) for depth, edge in found]


def traced(session: ReadSession, lot: Lot, *, upward: bool) -> TraceOut:
    """A walk as it is shown: each lot with how it is connected and what is left of it."""
    steps, complete = walk(session, lot.row_id, upward=upward)
    ends = [step.parent if upward else step.child for step in steps]
    remains = left(session, [end.row_id for end in ends])
    names = materials.names(session, [end.material for end in ends])
    return TraceOut(
        lot=lot.number,
        complete=complete,
        lots=[
            Reached(
                depth=step.depth,
                lot=end.number,
                kind=end.kind,
                material=end.material,
                name=names[end.material],
                quality=end.quality,
                amount=held(step.parent, step.amount),
                of=step.parent.number,
                went_into=step.child.number,
                left=held(end, remains[end.row_id]),
            )
            for step, end in zip(steps, ends, strict=True)
        ],
    )
