"""How every material stands: left, blocked, reserved, free, to come, and how far it goes."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import col, or_, select

from service.office.workshop_card.queries import today
from service.store.session import ReadSession
from service.workshop.batches import queries as batches
from service.workshop.materials import queries as materials
from service.workshop.materials.rules import COUNTED
from service.workshop.shelf import rules
from service.workshop.shelf.queries.cover import Usage, Usages, usages
from service.workshop.stock import queries as stock
from service.workshop.stock.rules import blocked


@dataclass(frozen=True, slots=True)
class Cover:
    """How many batches of a version the free amount makes, and how many it should."""

    usage: Usage
    each: int
    batches: int
    wanted: int


@dataclass(frozen=True, slots=True)
class Standing:
    """How a material stands, in mg or pieces."""

    material: materials.Material
    left: int
    blocked: int
    reserved: int
    coming: int
    cover: Sequence[Cover]
    undecided: Sequence[str]
    needed_on: date | None

    @property
    def counted(self) -> bool:
        return self.material.kind in COUNTED

    @property
    def free(self) -> int:
        return self.left - self.blocked - self.reserved

    @property
    def state(self) -> rules.State:
        pairs = [(each.batches, each.wanted) for each in self.cover]
        return rules.state(rules.Position(self.free, self.coming, self.material.order_at, pairs))

    @property
    def order_by(self) -> date | None:
        days = self.material.lead_days
        if self.needed_on is None or days is None:
            return None
        return self.needed_on - timedelta(days=days)

    @property
    def missing(self) -> int:
        """What brings it back to where nothing is short or low, in whole drums or boxes."""
        usual = (each.each * each.wanted for each in self.cover)
        wanted = max([self.material.order_at or 0, *usual])
        return rules.to_order(self.free + self.coming, wanted, self.material.order_amount)


@dataclass(frozen=True)
class Shelf:
    """How all materials stand that are used, counted, or bought again."""

    standings: Mapping[str, Standing]
    made_by: Mapping[str, str]


def shelf(session: ReadSession) -> Shelf:
    """Every material in a recipe in use or needed by a batch, all packaging, and what it is known
    of how it is bought; in a fixed number of queries, and some for each recipe."""
    found, reserved = usages(session), batches.reserved(session)
    used = {code for usage in found.known for code in usage.takes} | set(found.undecided)
    needed = {need.material for need in reserved.needs}
    rows = _materials(session, used | needed)
    held = _held(session, rows)
    coming = batches.coming(session)
    waits: dict[str, date] = {}
    for need, _ in reserved.uncovered:
        waits.setdefault(need.material, need.batch.planned_on)
    standings = {}
    for row in rows:
        left, out = held[row.code]
        taken = reserved.of_material(row.code)
        free = left - out - taken
        to_come = coming.get(row.code, 0)
        standings[row.code] = Standing(
            row,
            left,
            out,
            taken,
            to_come,
            _cover(found, row, max(0, free + to_come)),
            found.undecided.get(row.code, ()),
            waits.get(row.code),
        )
    return Shelf(standings, found.made_by)


def _materials(session: ReadSession, codes: Iterable[str]) -> list[materials.Material]:
    kind = materials.Material
    ordered = [
        col(kind.order_from),
        col(kind.lead_days),
        col(kind.order_at),
        col(kind.order_amount),
    ]
    wanted = or_(
        col(kind.code).in_(set(codes)),
        col(kind.kind).in_(COUNTED),
        *(column.is_not(None) for column in ordered),
    )
    found = select(kind).where(wanted, col(kind.archived_at).is_(None)).order_by(col(kind.code))
    return list(session.exec(found))


def _held(session: ReadSession, rows: Sequence[materials.Material]) -> dict[str, tuple[int, int]]:
    """By material what its ledgers have in all, and what of that is not open. A lot below nothing
    takes away from the others: as much was used of what is not known."""
    on = today(session)
    measure = {row.code: "count" if row.kind in COUNTED else "mass" for row in rows}
    lots = session.exec(select(stock.Lot).where(col(stock.Lot.material).in_(measure))).all()
    left = stock.left(session, [lot.row_id for lot in lots])
    found = dict.fromkeys(measure, (0, 0))
    for lot in lots:
        if lot.measure != measure[lot.material]:
            continue  # packs of what is made are not that material in bulk
        whole, out = found[lot.material]
        amount = left[lot.row_id]
        closed = blocked(lot, on) is not None and amount > 0
        found[lot.material] = (whole + amount, out + amount if closed else out)
    return found


def _cover(found: Usages, row: materials.Material, free: int) -> list[Cover]:
    """By recipe, the one that it goes least far for first."""
    made = []
    for usage in found.known:
        each = usage.takes.get(row.code, 0)
        if each > 0:
            wanted = rules.batches_in(row.lead_days, usage.made)
            made.append(Cover(usage, each, free // each, wanted))
    return sorted(made, key=lambda cover: (cover.batches - cover.wanted, cover.usage.recipe))
