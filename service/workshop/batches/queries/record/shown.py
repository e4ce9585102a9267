"""Batches and their entries as they are shown."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlmodel import col, select

from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.columns import Recorded
from service.store.records import corrections_of, trace
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount, Basis, Figure
from service.workshop.batches._tables import Batch, BatchNote, Transition, Weighing
from service.workshop.batches.bodies.corrections import MoveOut
from service.workshop.batches.bodies.entries import NoteOut, WeighingOut
from service.workshop.batches.bodies.plans import BatchOut
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.record.devices import senders
from service.workshop.batches.queries.record.late import late_ids
from service.workshop.batches.rules import ENDED
from service.workshop.batches.rules.netting import vessel
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
        bench_mode=row.bench_mode,
        kettle=row.kettle,
        target=kilograms(row.target_mg, "calculated"),
        yield_=None if out is None else as_entered(out.entered_value, out.entered_unit),
        lot=None if lot is None else lot.number,
        planned_on=row.planned_on,
        override_reason=row.override_reason,
        started_at=started_at,
        ended_at=ended_at,
        created_at=row.created_at,
        open_deviations=open_deviations(session, row),
    )


def open_deviations(session: ReadSession, row: Batch) -> list[str]:
    return [deviation.number for deviation in still_open(session, row.code)]


def shown_weighings(session: ReadSession, rows: Sequence[Weighing]) -> dict[int, WeighingOut]:
    """Weighings by key as they are shown, with five queries for all of them."""
    lots = stock.lots_by_id(session, [row.lot for row in rows])
    ids = {row.batch for row in rows}
    codes = dict(session.exec(select(Batch.id, Batch.code).where(col(Batch.id).in_(ids))).all())
    later = session.exec(
        select(Weighing).where(col(Weighing.corrects).in_([row.row_id for row in rows]))
    )
    corrections = {row.corrects: row.row_id for row in later}
    marks = entry_marks(session, rows)
    return {
        row.row_id: WeighingOut(
            entry=row.row_id,
            batch=codes[row.batch],
            line=row.line,
            material=row.material,
            lot=lots[row.lot].number,
            weighed=as_entered(row.entered_value, row.entered_unit),
            **_with_vessel(row),
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
            **marks[row.row_id],
        )
        for row in rows
    }


def _with_vessel(row: Weighing) -> dict[str, Figure | None]:
    """Gross and tare; of the two the one that was not read is worked out."""
    gross, tare = (text and units.parse(text, "mass") for text in (row.gross, row.tare))
    net = units.quantity(row.entered_value, row.entered_unit, "mass")
    whole = vessel(net, gross or None, tare or None)
    return {
        "gross": _read_or_not(whole.gross, read=bool(gross)),
        "tare": _read_or_not(whole.tare, read=bool(tare)),
    }


def _read_or_not(found: Quantity | None, *, read: bool) -> Figure | None:
    if found is None:
        return None
    basis: Basis = "measured" if read else "calculated"
    return Figure(value=plain(found.value), unit=found.unit, basis=basis)


def entry_marks(session: ReadSession, rows: Sequence[Recorded]) -> dict[int, dict[str, Any]]:
    """Of entries of one kind: whether they came late, and which device sent them."""
    if not rows:
        return {}
    kind, ids = type(rows[0]), [row.row_id for row in rows]
    late, sent = late_ids(session, kind, ids), senders(session, kind, ids)
    return {
        number: {
            "late": number in late,
            "device_id": sent[number].device if number in sent else None,
            "device_seq": sent[number].seq if number in sent else None,
        }
        for number in ids
    }


def shown_notes(
    session: ReadSession, rows: Sequence[BatchNote], batch: Batch
) -> dict[int, NoteOut]:
    """Notes by key as they are shown."""
    marks, later = entry_marks(session, rows), corrections_of(session, rows)
    return {
        row.row_id: _shown_note(row, batch, {**marks[row.row_id], **trace(row, later)})
        for row in rows
    }


def shown_note(session: ReadSession, row: BatchNote, batch: Batch) -> NoteOut:
    return shown_notes(session, [row], batch)[row.row_id]


def _shown_note(row: BatchNote, batch: Batch, marks: dict[str, Any]) -> NoteOut:
    return NoteOut(
        entry=row.row_id,
        batch=batch.code,
        text=row.text,
        by=row.by,
        happened_at=row.happened_at,
        about=about(row.about_seconds),
        entered_at=row.entered_at,
        entered_from=row.entered_from,
        **marks,
    )


def shown_moves(
    session: ReadSession, rows: Sequence[Transition], batch: Batch
) -> dict[int, MoveOut]:
    """Moves by key as they are shown, also those that were corrected."""
    later = corrections_of(session, rows)
    return {
        row.row_id: MoveOut(
            entry=row.row_id,
            batch=batch.code,
            from_=row.from_state,
            to=row.to_state,
            text=row.text,
            by=row.by,
            happened_at=row.happened_at,
            about=about(row.about_seconds),
            entered_at=row.entered_at,
            **trace(row, later),
        )
        for row in rows
    }
