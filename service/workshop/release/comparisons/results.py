"""What was put on and measured of the lots that two versions made, side by side."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from sqlmodel import col, select

from service.science.rounding import plain
from service.store.records import standing
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.batches.queries import Batch
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties
from service.workshop.panels import queries as panels
from service.workshop.panels.bodies.readings import RatingOut, SeenOut
from service.workshop.panels.queries import Effect, RatingScale, Reading, Sentence
from service.workshop.panels.queries.protocols import lasting
from service.workshop.recipes.queries import Version
from service.workshop.release.comparisons.bodies import (
    ComparedMeasurement,
    ComparedTest,
    MeasuredOut,
    TrialOut,
    TriedOut,
)
from service.workshop.stock.queries import Edge, Lot

MOST_LOTS = 50
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Made:
    """The newest lots that a version's batches made, and what was packed from them."""

    lots: Sequence[Lot]
    left_out: bool


def made_by(session: ReadSession, version: Version) -> Made:
    """In two queries."""
    found = session.exec(
        select(Lot)
        .join(Batch, col(Batch.code) == col(Lot.number))
        .where(Batch.recipe == version.recipe, Batch.version == version.number, Lot.kind == "made")
        .order_by(col(Lot.id).desc())
        .limit(MOST_LOTS + 1)
    ).all()
    lots = found[:MOST_LOTS]
    packed = session.exec(
        select(Lot)
        .join(Edge, col(Edge.child) == col(Lot.id))
        .where(col(Edge.parent).in_([lot.row_id for lot in lots]), Lot.kind == "packed")
        .order_by(col(Lot.id).desc())
    ).unique()
    return Made([*lots, *packed], len(found) > MOST_LOTS)


@dataclass(frozen=True, slots=True)
class Results:
    """Everything that was read and measured of the lots of both sides, read at once."""

    sides: tuple[frozenset[str], frozenset[str]]  # numbers of lots
    readings: Mapping[str, Reading]
    sentences: Sequence[Sentence]
    effects: Mapping[int, Sequence[Effect]]
    scales: Mapping[str, RatingScale]
    figures: Sequence[FigureRow]


def results(session: ReadSession, left: Made, right: Made) -> Results:
    """In six queries, however many lots there are."""
    lots = [*left.lots, *right.lots]
    rows = panels.readings_of(session, [lot.row_id for lot in lots])
    return Results(
        sides=(_numbers(left), _numbers(right)),
        readings={row.number: row for row in rows},
        sentences=panels.sentences(session, rows, coats=True),
        effects=panels.effects_of(session, [row.row_id for row in rows]),
        scales=panels.scales(session, [row.scale for row in rows]),
        figures=_measured(session, [lot.number for lot in lots]),
    )


def _numbers(made: Made) -> frozenset[str]:
    return frozenset(lot.number for lot in made.lots)


def _measured(session: ReadSession, numbers: Sequence[str]) -> list[FigureRow]:
    """The newest standing figure of each lot and property, where it was measured."""
    rows = session.exec(
        select(FigureRow)
        .where(
            FigureRow.subject_kind == "lot",
            col(FigureRow.subject).in_(numbers),
            FigureRow.basis == "measured",
            standing(FigureRow),
        )
        .order_by(col(FigureRow.happened_at), col(FigureRow.id))
    )
    newest = {(row.subject, row.property): row for row in rows}
    return list(newest.values())


def tests(found: Results) -> list[ComparedTest]:
    """By protocol and test, those of each side under one another."""
    groups = _grouped(found.sentences, lambda one: (one.protocol, one.test, one.tried))
    return [_test(found, group) for group in groups.values()]


def _grouped(rows: Iterable[T], key: Any) -> dict[Hashable, list[T]]:
    groups: dict[Hashable, list[T]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return groups


def _test(found: Results, group: Sequence[Sentence]) -> ComparedTest:
    left, right = ([one for one in group if one.lot in side] for side in found.sides)
    return ComparedTest(
        test=group[0].test,
        protocol=group[0].protocol,
        tried=group[0].tried,
        left_trials=sum(one.n for one in left),
        right_trials=sum(one.n for one in right),
        left=[_tried(found, one) for one in left],
        right=[_tried(found, one) for one in right],
    )


def _tried(found: Results, one: Sentence) -> TriedOut:
    first = found.readings[one.readings[0]]
    age = first.age_days
    return TriedOut(
        lot=one.lot,
        text=one.text,
        protocol_version=one.version,
        coats=first.coats,
        age=None if age is None else Amount(value=str(age), unit="d"),
        trials=one.n,
        readings=[_trial(found, found.readings[number]) for number in one.readings],
    )


def _trial(found: Results, row: Reading) -> TrialOut:
    return TrialOut(
        reading=row.number,
        on=row.read_on,
        saw=[_seen(effect) for effect in found.effects[row.row_id]],
        rating=_rating(row, found.scales),
    )


def _seen(row: Effect) -> SeenOut:
    gone = row.gone_after_seconds
    return SeenOut(effect=row.effect, extent=row.extent, gone_after=lasting(gone) if gone else None)


def _rating(row: Reading, scales: Mapping[str, RatingScale]) -> RatingOut | None:
    if row.rating is None or row.scale is None:
        return None
    scale = scales[row.scale]
    return RatingOut(
        value=row.rating, scale=scale.code, best=scale.best, worst=scale.worst, basis="measured"
    )


def measurements(found: Results) -> list[ComparedMeasurement]:
    """By property, in the order of the table of properties."""
    groups = _grouped(found.figures, lambda row: row.property)
    return [_measurement(found, name, groups[name]) for name in properties() if name in groups]


def _measurement(found: Results, name: str, group: Sequence[FigureRow]) -> ComparedMeasurement:
    left, right = (
        [_figure(found, row) for row in group if row.subject in side] for side in found.sides
    )
    return ComparedMeasurement(
        property=name, label=properties()[name].label, left=left, right=right
    )


def _figure(found: Results, row: FigureRow) -> MeasuredOut:
    behind = [number.strip() for number in (row.source or "").split(",")]
    degrees = row.temperature_c
    return MeasuredOut(
        lot=row.subject,
        figure=row.number,
        value=row.entered_value,
        unit=row.entered_unit,
        basis="measured",
        method=row.method,
        temperature=None if degrees is None else Amount(value=plain(degrees), unit="°C"),
        on=row.dated or row.happened_at.date(),
        trials=max(1, len(found.readings.keys() & set(behind))),
    )
