"""The stages of a batch as they were worked: what went in, what was weighed, what came out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from sqlmodel import col, select

from service.store.lists import Listing
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, Weighing
from service.workshop.batches._tables_stages import StageBegun as StageBegun
from service.workshop.batches._tables_stages import StageEntry as StageEntry
from service.workshop.batches.queries.balance.masses import Mass, mass_of
from service.workshop.batches.queries.record import records
from service.workshop.batches.rules import BESIDE_THE_PLAN, UnknownBatchStage
from service.workshop.recipes.rules import Stage

LISTING = Listing(
    "batch-stages",
    StageBegun,
    sorts=("number", "happened_at"),
    default_sort="number",
    filters={"stage": Stage},
    times=("happened_at",),
)
MATURE = "mature"


@dataclass(frozen=True, slots=True)
class StageWorked:
    """One stage as it was worked: who and when in `begun` and `end`, its masses beside them.

    `before` is what was in the pot as it began: weighed, else carried on from the stage before;
    None where nobody knows. `added` is what was weighed in at lines of this stage.
    """

    begun: StageBegun
    weigh_ins: tuple[StageEntry, ...]
    out: tuple[StageEntry, ...]
    end: StageEntry | None
    before: tuple[Mass, ...] | None
    added: tuple[Mass, ...]

    @property
    def stage(self) -> str:
        return self.begun.stage

    @property
    def charged(self) -> tuple[Mass, ...] | None:
        """All that was in the pot in this stage."""
        return None if self.before is None else (*self.before, *self.added)

    @property
    def charged_mg(self) -> int | None:
        return None if self.charged is None else sum(mass.mg for mass in self.charged)

    @property
    def out_mg(self) -> int | None:
        """All that was weighed as it came out, wherever it went."""
        return total(self.out) if self.out else None

    @property
    def goes_on(self) -> tuple[StageEntry, ...]:
        return tuple(entry for entry in self.out if entry.goes == "on")

    @property
    def taken(self) -> tuple[StageEntry, ...]:
        """What left the batch here, kept as a lot of its own or thrown away."""
        return tuple(entry for entry in self.out if entry.goes != "on")

    @property
    def left(self) -> tuple[Mass, ...] | None:
        """What is known to go on: as it was taken out, else as it was weighed last."""
        if self.goes_on:
            return masses(self.goes_on)
        return masses(self.weigh_ins[-1:]) or None


def total(entries: Iterable[StageEntry]) -> int:
    return sum(entry.amount_mg or 0 for entry in entries)


def masses(entries: Iterable[StageEntry]) -> tuple[Mass, ...]:
    return tuple(Mass(entry.amount_mg or 0, entry.balance) for entry in entries)


def begun(session: ReadSession, batch: Batch, number: int) -> StageBegun:
    """The stage of a batch under its number, as it stands. Raises UnknownBatchStage."""
    found = select(StageBegun).where(
        StageBegun.batch == batch.row_id, StageBegun.number == number, standing(StageBegun)
    )
    row = session.exec(found).first()
    if row is None:
        raise UnknownBatchStage(f"{batch.code} has no stage number {number}.")
    return row


def next_number(session: ReadSession, batch: Batch) -> int:
    """The number of the next stage; that of a voided one is not given again."""
    found = select(StageBegun.number).where(StageBegun.batch == batch.row_id)
    return max(session.exec(found), default=0) + 1


def stages(session: ReadSession, batch: Batch) -> list[StageWorked]:
    """The stages of a batch as they were worked, in the order in which they were begun."""
    found = select(StageBegun).where(StageBegun.batch == batch.row_id, standing(StageBegun))
    rows = list(session.exec(found.order_by(col(StageBegun.happened_at), col(StageBegun.number))))
    entries = _entries(session, batch)
    charge = _Charge(session, batch)
    worked: list[StageWorked] = []
    for row in rows:
        one = _worked(row, entries.get(row.number, ()), charge)
        worked.append(one)
    return worked


def stage(session: ReadSession, batch: Batch, number: int) -> StageWorked:
    """One of them by its number. Raises UnknownBatchStage."""
    row = begun(session, batch, number)
    return next(one for one in stages(session, batch) if one.begun.number == row.number)


def _entries(session: ReadSession, batch: Batch) -> dict[int, list[StageEntry]]:
    found = select(StageEntry).where(StageEntry.batch == batch.row_id, standing(StageEntry))
    rows = session.exec(
        found.order_by(col(StageEntry.number), col(StageEntry.happened_at), col(StageEntry.id))
    )
    return {number: list(group) for number, group in groupby(rows, lambda row: row.number)}


class _Charge:
    """The pot as it goes from stage to stage: what is in it, and what is still to be weighed in."""

    def __init__(self, session: ReadSession, batch: Batch) -> None:
        planned = [name for name, _ in records.planned_stages(session, batch)]
        self.order = {name: place for place, name in enumerate(planned)}
        self.of_line = {line.line: line.stage for line in records.lines(session, batch)}
        self.waiting: list[Weighing] = records.weighings(session, batch)
        self.pot: tuple[Mass, ...] | None = ()

    def come_in(
        self, row: StageBegun, until: datetime | None
    ) -> tuple[tuple[Mass, ...], tuple[Mass, ...]]:
        """What was weighed in before this stage, and at it, since the last one that is told."""
        earlier = [entry for entry in self.waiting if self._before(entry, row)]
        added = [entry for entry in self.waiting if self._at(entry, row, until)]
        gone = {entry.row_id for entry in (*earlier, *added)}
        self.waiting = [entry for entry in self.waiting if entry.row_id not in gone]
        return tuple(map(mass_of, earlier)), tuple(map(mass_of, added))

    def _before(self, entry: Weighing, row: StageBegun) -> bool:
        here = self.order.get(row.stage)
        if entry.line == BESIDE_THE_PLAN or here is None:
            return entry.happened_at <= row.happened_at
        return self.order[self.of_line[entry.line]] < here

    def _at(self, entry: Weighing, row: StageBegun, until: datetime | None) -> bool:
        """At a line of the stage; or beside the plan while it went on."""
        if entry.line != BESIDE_THE_PLAN:
            return self.of_line[entry.line] == row.stage
        late = until is not None and entry.happened_at > until
        return row.happened_at < entry.happened_at and not late


def _worked(row: StageBegun, entries: Sequence[StageEntry], charge: _Charge) -> StageWorked:
    ends = [entry for entry in entries if entry.kind == "end"]
    last = max((entry.happened_at for entry in entries if entry.kind != "weigh-in"), default=None)
    earlier, added = charge.come_in(row, last)
    carried = None if charge.pot is None else (*charge.pot, *earlier)
    if row.in_mg is not None:
        carried = (Mass(row.in_mg, row.balance),)
    one = StageWorked(
        begun=row,
        weigh_ins=tuple(entry for entry in entries if entry.kind == "weigh-in"),
        out=tuple(entry for entry in entries if entry.kind == "out"),
        end=ends[-1] if ends else None,
        before=carried,
        added=added,
    )
    charge.pot = one.left
    return one


def ready_on(session: ReadSession, batch: Batch) -> date | None:
    """From when on it is ripe, as the last stage of maturing says."""
    told = [
        one.begun.ready_on
        for one in stages(session, batch)
        if one.stage == MATURE and one.begun.ready_on is not None
    ]
    return told[-1] if told else None
