"""What the routes answer to what was seen in the pot, or done to bring it to a goal."""

from typing import Any

from service.store.session import ReadSession
from service.workshop.batches import queries
from service.workshop.batches._tables_pot import Adjustment, BatchEvent, ColourDrop
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.weighings import Weighed
from service.workshop.batches.bodies.adjustments import (
    AdditionIn,
    AdditionMade,
    AdjustmentCorrection,
    AdjustmentIn,
    AdjustmentMade,
    AdjustmentOut,
    AdjustmentReadingIn,
)
from service.workshop.batches.bodies.events import (
    DropCorrection,
    DropIn,
    DropMade,
    EventCorrection,
    EventIn,
    EventMade,
)

_Sent = (
    EventIn
    | EventCorrection
    | DropIn
    | DropCorrection
    | AdjustmentIn
    | AdjustmentReadingIn
    | AdditionIn
    | AdjustmentCorrection
)


def _assumed(desk: Desk, wanted: _Sent) -> dict[str, Any]:
    """Who and when, where they were not said; what a correction tells, happened when it did."""
    found: dict[str, Any] = {}
    if wanted.by is None and desk.by is not None:
        found["by"] = desk.by
    if getattr(wanted, "happened_at", desk) is None:
        found["happened_at"] = "now"
    return found


def happened(
    session: ReadSession, desk: Desk, row: BatchEvent, wanted: EventIn | EventCorrection
) -> EventMade:
    shown = queries.shown_events(session, desk.batch, [row])[row.row_id]
    said = row.event.replace("-", " ")
    return EventMade(
        **shown.model_dump(),
        flags=desk.flags,
        assumed=_assumed(desk, wanted),
        summary=_told(row, f"{said[:1].upper()}{said[1:]}, {desk.batch.code}."),
    )


def dropped(
    session: ReadSession, desk: Desk, row: ColourDrop, wanted: DropIn | DropCorrection
) -> DropMade:
    shown = queries.shown_drops(session, desk.batch, [row])[row.row_id]
    seen = f"{row.scale} {row.reading}" if row.reading else row.text or "a photo"
    place = "" if shown.rung is None else f" as rung {shown.rung}"
    return DropMade(
        **shown.model_dump(),
        flags=desk.flags,
        assumed=_assumed(desk, wanted),
        summary=_told(row, f"{seen}{place} of the colour of {desk.batch.code}."),
    )


def _told(row: BatchEvent | ColourDrop, text: str) -> str:
    if row.void:
        return f"Voided: {text}"
    return text if row.corrects is None else f"Corrected: {text}"


def adjusted(
    session: ReadSession,
    desk: Desk,
    row: Adjustment,
    wanted: AdjustmentIn | AdjustmentReadingIn | AdjustmentCorrection,
) -> AdjustmentMade:
    shown = queries.shown_adjustment(session, desk.batch, row)
    assumed = _assumed(desk, wanted)
    if isinstance(wanted, AdjustmentIn) and wanted.method is None:
        assumed["method"] = row.method
    if not isinstance(wanted, AdjustmentCorrection):
        assumed |= _mass(shown, wanted)
    return AdjustmentMade(
        **shown.model_dump(),
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        assumed=assumed,
        summary=_stands(shown),
    )


def _mass(shown: AdjustmentOut, wanted: AdjustmentIn | AdjustmentReadingIn) -> dict[str, Any]:
    """What the pot was taken to hold, where the reading does not say it."""
    read = wanted.reading if isinstance(wanted, AdjustmentIn) else wanted
    held = shown.steps[-1].mass if shown.steps else None
    if read is None or read.mass is not None or held is None:
        return {}
    how = shown.notes[held.note or ""]["how"]
    return {"mass": f"{held.value} {held.unit}: {how}"}


def _stands(shown: AdjustmentOut) -> str:
    """Where an adjustment stands, in one line."""
    goal = f"{shown.label} of {shown.batch} to {shown.target.value} {shown.target.unit}"
    last = shown.steps[-1].read if shown.steps else None
    read = "" if last is None else f"reads {last.value} {last.unit}; "
    next_ = shown.proposal
    if next_ is not None:
        least, most = next_.first_from.value, next_.first_to
        what = f"add {least} to {most.value} {most.unit} of {shown.material}, then read again"
    else:
        what = shown.undecided.text.rstrip(".") if shown.undecided else shown.state
    return f"{goal}: {read}{what}."


def added(
    session: ReadSession, desk: Desk, row: Adjustment, found: Weighed, wanted: AdditionIn
) -> AdditionMade:
    shown = queries.shown_adjustment(session, desk.batch, row)
    weighing = queries.shown_weighings(session, [found.row])[found.row.row_id]
    much = f"{weighing.weighed.value} {weighing.weighed.unit}"
    return AdditionMade(
        weighing=weighing,
        adjustment=shown,
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        assumed={**found.assumed, **_assumed(desk, wanted)},
        summary=f"{much} of {weighing.material} for adjustment {row.number}; stir, read again.",
    )
