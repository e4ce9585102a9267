"""Everything that was entered of a batch, read once for all items of its record."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any

from sqlmodel import col, select

from service.office.documents.queries import Document
from service.office.documents.queries import latest as latest_document
from service.science.rounding import plain
from service.store.columns import Recorded
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches import queries as batches
from service.workshop.batches.queries import (
    Batch,
    BatchLine,
    CookPoint,
    StepEntry,
    Transition,
    Weighing,
    Yield,
)
from service.workshop.batches.queries.cook.readings import Cook, cook
from service.workshop.batches.queries.plan.targets import Aim, aims
from service.workshop.batches.queries.pot.events import colour_ladder, events
from service.workshop.batches.queries.record.late import late_ids
from service.workshop.batches.queries.record.shown import about
from service.workshop.batches.queries.stages.stages import StageEntry, StageWorked, stages
from service.workshop.batches.rules import ENDED
from service.workshop.labels import queries as labels
from service.workshop.lots import queries as lots
from service.workshop.lots.queries import Fill
from service.workshop.release.record.items import instant
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

FROM_LOGGER = ("kettle", "file")


def when(entry: Recorded) -> dict[str, Any]:
    """When an entry says that it happened, and how far that may be off."""
    return {"at": instant(entry.happened_at), "about": about(entry.about_seconds)}


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that was done: what, where on the sheet, and the entry that says so."""

    what: str
    entry: Recorded
    line: int | None = None
    stage: str | None = None
    checked_by: str | None = None

    def timed(self) -> dict[str, Any]:
        return {
            "what": self.what,
            "line": self.line,
            "stage": self.stage,
            **when(self.entry),
        }


@dataclass(frozen=True, slots=True)
class Filling:
    """One fill of the batch's lot: the packs and what went into them."""

    fill: Fill
    packed: Lot

    @property
    def released(self) -> bool:
        return self.packed.quality in {"released", "recalled"}


class Gathered:
    """A batch with its entries, its lot and the packs filled from it."""

    def __init__(self, session: ReadSession, batch: Batch) -> None:
        self.session, self.batch = session, batch

    @cached_property
    def lines(self) -> list[BatchLine]:
        return batches.lines(self.session, self.batch)

    @cached_property
    def aims(self) -> dict[int, Aim]:
        return aims(self.session, self.batch, self.lines)

    @cached_property
    def stage_of(self) -> Mapping[int, str]:
        return {line.line: line.stage for line in self.lines}

    @cached_property
    def weighings(self) -> list[Weighing]:
        return batches.weighings(self.session, self.batch)

    @cached_property
    def late(self) -> set[int]:
        """The weighings that were entered after the batch had ended."""
        return late_ids(self.session, Weighing, (entry.row_id for entry in self.weighings))

    @cached_property
    def seen(self) -> Mapping[int, Sequence[StepEntry]]:
        """What was seen at each line that is not weighed."""
        found = {
            line.line: batches.step_entries(self.session, self.batch, line.line)
            for line in self.lines
            if line.do not in {"weigh", "yield"}
        }
        return {line: entries for line, entries in found.items() if entries}

    @cached_property
    def cook(self) -> Cook:
        return cook(self.session, self.batch)

    @cached_property
    def points_by_hand(self) -> list[CookPoint]:
        """What somebody read off the pot and wrote down."""
        found = select(CookPoint).where(
            CookPoint.batch == self.batch.row_id,
            col(CookPoint.device).is_(None),
            col(CookPoint.entered_from).not_in(FROM_LOGGER),
            standing(CookPoint),
        )
        return list(self.session.exec(found.order_by(col(CookPoint.happened_at))))

    @cached_property
    def events(self) -> Sequence[Any]:
        return events(self.session, self.batch)

    @cached_property
    def drops(self) -> Sequence[Any]:
        return colour_ladder(self.session, self.batch)

    @cached_property
    def out(self) -> Yield | None:
        return batches.yield_of(self.session, self.batch)

    @cached_property
    def lot(self) -> Lot | None:
        return batches.made_lot(self.session, self.batch)

    @cached_property
    def fillings(self) -> list[Filling]:
        if self.lot is None:
            return []
        fills = lots.fills_from(self.session, self.lot)
        packed = stock.lots_by_id(self.session, [fill.lot for fill in fills])
        return [Filling(fill, packed[fill.lot]) for fill in fills]

    @cached_property
    def packed(self) -> list[Lot]:
        return [one.packed for one in self.fillings]

    @cached_property
    def version(self) -> Document | None:
        """The frozen form of the recipe version."""
        subject = f"{self.batch.recipe}/{self.batch.version}"
        return latest_document(self.session, "recipe-version", subject)

    @cached_property
    def lots_drawn(self) -> dict[int, Lot]:
        return stock.lots_by_id(self.session, {entry.lot for entry in self.weighings})

    @cached_property
    def stages(self) -> list[StageWorked]:
        return stages(self.session, self.batch)

    @cached_property
    def moves(self) -> list[Transition]:
        return batches.transitions(self.session, self.batch)

    @property
    def begun(self) -> Transition | None:
        return next((row for row in self.moves if row.to_state == "running"), None)

    @property
    def ended(self) -> Transition | None:
        return next((row for row in reversed(self.moves) if row.to_state in ENDED), None)

    @cached_property
    def steps(self) -> list[Step]:
        """All that was done, by the time at which it was; at one time in the order of the work.

        A page of paper often says no more than the day. What it tells comes after the beginning and
        before the end then, as far as its time may be off.
        """
        moves = [_moved(row) for row in self.moves if row is not self.ended]
        work = [*self._weighed(), *self._observed(), *self._staged()]
        done = [_moved(self.ended)] if self.ended else []
        told = [(_as_early(step.entry, work), step) for step in moves[:1]]
        first = told[0][0] if told else None
        told += [(_as_late(step.entry, first), step) for step in (*moves[1:], *work)]
        last = max((at for at, _ in told), default=None)
        told += [(_as_late(step.entry, last), step) for step in (*self._came_out(), *done)]
        told += [(step.entry.happened_at, step) for step in self._filled()]
        return [step for _, step in sorted(told, key=lambda pair: pair[0])]

    def _weighed(self) -> Iterator[Step]:
        for row in self.weighings:
            yield Step(
                f"{row.entered_value} {row.entered_unit} of {row.material} weighed in",
                row,
                row.line,
                self.stage_of.get(row.line),
                row.checked_by,
            )

    def _observed(self) -> Iterator[Step]:
        for line, entries in self.seen.items():
            for seen in entries:
                yield Step(seen.saw, seen, line, self.stage_of.get(line))
        for point in self.points_by_hand:
            celsius = point.temperature_c
            read = None if celsius is None else f"{plain(celsius)} °C"
            yield Step(", ".join(filter(None, (read, point.remark))) or "read", point)
        for drop in self.drops:
            yield Step("a drop of the colour ladder", drop)
        for row in self.events:
            yield Step(": ".join(filter(None, (row.event, row.text))), row)

    def _staged(self) -> Iterator[Step]:
        for one in self.stages:
            begun, name = one.begun, one.stage
            yield Step(f"{name} begun", begun, stage=name, checked_by=begun.checked_by)
            for row in (*one.weigh_ins, *one.out, *filter(None, (one.end,))):
                yield Step(_told(row, name), row, stage=name, checked_by=row.checked_by)

    def _came_out(self) -> Iterator[Step]:
        if self.out is not None:
            yield Step(f"{self.out.entered_value} {self.out.entered_unit} came out", self.out)

    def _filled(self) -> Iterator[Step]:
        for one in self.fillings:
            fill, number = one.fill, one.packed.number
            yield Step(f"{fill.count} of {fill.pack} filled into {number}", fill)
            for run in labels.labellings(self.session, one.packed):
                yield Step(f"{run.used} labels on {number}", run)


def _as_late(entry: Recorded, other: datetime | None) -> datetime:
    """The time of an entry, as late as another as far as it may be off."""
    at, off = entry.happened_at, timedelta(seconds=entry.about_seconds or 0)
    return other if other is not None and at < other <= at + off else at


def _as_early(entry: Recorded, steps: Sequence[Step]) -> datetime:
    """The time of an entry, as early as the first of some steps as far as it may be off."""
    at, off = entry.happened_at, timedelta(seconds=entry.about_seconds or 0)
    exact = (one.entry.happened_at for one in steps if one.entry.about_seconds is None)
    return min((one for one in exact if at - off <= one), default=at) if off else at


def _told(row: StageEntry, stage: str) -> str:
    if row.kind == "end":
        return f"{stage} ended"
    weighed = f"{row.entered_value} {row.entered_unit}"
    if row.kind == "weigh-in":
        return f"{weighed} weighed in the course of {stage}"
    return f"{weighed} out of {stage}{f': {row.part}' if row.part else ''}"


_STATES = {"held": "held", "complete": "complete", "aborted": "given up"}


def _moved(row: Transition) -> Step:
    if row.to_state == "running":
        return Step("taken up again" if row.from_state == "held" else "begun", row)
    return Step(_STATES[row.to_state], row)
