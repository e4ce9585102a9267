"""Batches and their entries as they are shown."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlmodel import col, select

from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount, Basis, Figure
from service.workshop.batches._tables import Batch, BatchNote, Transition, Weighing
from service.workshop.batches.bodies.entries import NoteOut, WeighingOut
from service.workshop.batches.bodies.plans import BatchOut
from service.workshop.batches.queries import records
from service.workshop.batches.rules import ENDED
from service.workshop.deviations.queries import still_open
from service.workshop.stock import queries as stock


def about(seconds: int | None) -> str | None:
    """How far a time may be off, as an ISO 8601 duration."""
    if seconds is None:
        return None
    if seconds % 3600 == 0:
        return f"PT{seconds // 3600}H"
    return f"PT{seconds // 60}M" if seconds % 60 == 0 else f"PT{seconds}S"


def grams(mg: int) -> Amount:
    """A mass on a bench sheet: in grams, however heavy."""
    whole, rest = divmod(abs(mg), 1000)
    text = f"{whole}.{rest:03d}".rstrip("0").rstrip(".")
    return Amount(value=f"-{text}" if mg < 0 else text, unit="g")


def figure(amount: Amount, basis: Basis, note: str | None = None) -> Figure:
    return Figure(value=amount.value, unit=amount.unit, basis=basis, note=note)


def as_entered(value: str, unit: str) -> Figure:
    """A figure read from a balance, with the digits it was entered with."""
    return Figure(value=value, unit=unit, basis="measured")


def kilograms(mg: int, basis: Basis, note: str | None = None) -> Figure:
    shown = mass(mg)
    assert shown is not None
    return figure(shown, basis, note)


def percent(value: Decimal) -> Figure:
    return Figure(value=plain(value), unit="%", basis="calculated")


def leaving(plan: Mapping[str, Any]) -> str:
    """What was planned to leave on the way, in words."""
    if "losses" not in plan:
        return f"{plan['loss_cook']} cook, {plan['loss_strain']} straining"
    told = [
        f"{each['mass']['value']} {each['mass']['unit']} {each['what']} ({each['stage']})"
        for each in plan["losses"]
    ]
    return ", ".join(told) or "nothing"


def _span(moves: Sequence[Transition]) -> tuple[datetime | None, datetime | None]:
    starts = [move.happened_at for move in moves if move.to_state == "running"]
    ends = [move.happened_at for move in moves if move.to_state in ENDED]
    return (starts[0] if starts else None), (ends[-1] if ends else None)


def shown(session: ReadSession, row: Batch) -> BatchOut:
    out = records.yield_of(session, row)
    lot = records.made_lot(session, row)
    started_at, ended_at = _span(records.transitions(session, row))
    return BatchOut(
        batch=row.code,
        recipe=row.recipe,
        version=row.version,
        material=row.material,
        product=row.product,
        scaling=row.scaling,
        for_=row.asked,
        state=row.state,
        kettle=row.kettle,
        target=kilograms(row.target_mg, "calculated"),
        yield_=None if out is None else as_entered(out.entered_value, out.entered_unit),
        lot=None if lot is None else lot.number,
        planned_on=row.planned_on,
        started_at=started_at,
        ended_at=ended_at,
        created_at=row.created_at,
        open_deviations=open_deviations(session, row),
    )


def open_deviations(session: ReadSession, row: Batch) -> list[str]:
    return [deviation.number for deviation in still_open(session, row.code)]


def shown_weighings(session: ReadSession, rows: Sequence[Weighing]) -> dict[int, WeighingOut]:
    """Weighings by key as they are shown, with three queries for all of them."""
    lots = stock.lots_by_id(session, [row.lot for row in rows])
    ids = {row.batch for row in rows}
    codes = dict(session.exec(select(Batch.id, Batch.code).where(col(Batch.id).in_(ids))).all())
    later = session.exec(
        select(Weighing).where(col(Weighing.corrects).in_([row.row_id for row in rows]))
    )
    corrections = {row.corrects: row.row_id for row in later}
    return {
        row.row_id: WeighingOut(
            entry=row.row_id,
            batch=codes[row.batch],
            line=row.line,
            material=row.material,
            lot=lots[row.lot].number,
            weighed=as_entered(row.entered_value, row.entered_unit),
            verdict=row.verdict,
            substitute=row.substitute,
            balance=row.balance,
            by=row.by,
            checked_by=row.checked_by,
            happened_at=row.happened_at,
            about=about(row.about_seconds),
            entered_at=row.entered_at,
            entered_from=row.entered_from,
            corrects=row.corrects,
            corrected_by=corrections.get(row.row_id),
            void=row.void,
            reason=row.reason,
        )
        for row in rows
    }


def shown_note(row: BatchNote, batch: Batch) -> NoteOut:
    return NoteOut(
        entry=row.row_id,
        batch=batch.code,
        text=row.text,
        by=row.by,
        happened_at=row.happened_at,
        about=about(row.about_seconds),
        entered_at=row.entered_at,
        entered_from=row.entered_from,
    )
