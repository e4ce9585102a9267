"""What was seen in the pot is kept: events, and the drops of the colour ladder."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from pydantic_core import PydanticCustomError
from sqlmodel import col

from service.science import units
from service.science.units import Quantity
from service.store.columns import nine_places
from service.store.records import entry
from service.store.session import WriteSession
from service.web.fields import refused_at
from service.workshop.batches._tables_pot import BatchEvent, ColourDrop
from service.workshop.batches.actions.amending.allowed import amended
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.actions.entries.late import judge
from service.workshop.batches.actions.entries.verdicts import flag_poured
from service.workshop.batches.bodies.events import (
    ColourIn,
    DropCorrection,
    DropIn,
    EventCorrection,
    EventIn,
    check_drop,
    check_event,
)
from service.workshop.batches.rules.pot import SOLVENT_IN, UNPLANNED

EVENT_VALUES = ("event", "text", "temperature", "length")
DROP_VALUES = ("minutes", "temperature", "colour", "text", "photo")


def as_told(wanted: object, names: Sequence[str]) -> dict[str, Any]:
    """What a body tells of what was seen, by name."""
    return {name: getattr(wanted, name) for name in names}


def record_event(session: WriteSession, code: str, wanted: EventIn) -> tuple[Desk, BatchEvent]:
    """Raises UnknownBatch, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    return desk, keep_event(desk, as_told(wanted, EVENT_VALUES))


def keep_event(desk: Desk, values: Mapping[str, Any]) -> BatchEvent:
    """An event that stands; what no recipe asks for opens a deviation."""
    row = BatchEvent(
        batch=desk.batch.row_id, page=desk.page, **_event_columns(values), **desk.stamp()
    )
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    if (told := UNPLANNED.get(row.event)) is not None:
        desk.deviate(row.event, told if row.text is None else f"{told} {row.text}")
    if row.event == SOLVENT_IN:
        flag_poured(desk, row.temperature_c)
    judge(desk, row)
    return row


def correct_event(
    session: WriteSession, code: str, number: int, wanted: EventCorrection
) -> tuple[Desk, BatchEvent]:
    """Raises UnknownBatch, UnknownEntry, AlreadyCorrected, ScopeNeeded, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = entry(session, BatchEvent, number, col(BatchEvent.batch) == desk.batch.row_id)
    changes = {} if wanted.replaces is None else _event_columns(wanted.replaces.changed())
    after = {**old.model_dump(), **changes}
    try:
        check_event(after["event"], text=after["text"], has_length=after["length"] is not None)
    except PydanticCustomError as error:
        raise refused_at(error, "#/replaces") from None
    return desk, amended(desk, old, wanted, changes)


def _event_columns(values: Mapping[str, Any]) -> dict[str, Any]:
    columns = dict(values)
    if "temperature" in columns:
        columns["temperature_c"] = _celsius(columns.pop("temperature"))
    if columns.get("length") is not None:
        columns["length"] = str(columns["length"])
    return columns


def _celsius(value: Quantity | None) -> Decimal | None:
    return None if value is None else nine_places(units.canonical(value)).normalize() + 0


def record_drop(session: WriteSession, code: str, wanted: DropIn) -> tuple[Desk, ColourDrop]:
    """Raises UnknownBatch, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    return desk, keep_drop(desk, as_told(wanted, DROP_VALUES))


def keep_drop(desk: Desk, values: Mapping[str, Any]) -> ColourDrop:
    row = ColourDrop(batch=desk.batch.row_id, **_drop_columns(values), **desk.stamp())
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    judge(desk, row)
    return row


def correct_drop(
    session: WriteSession, code: str, number: int, wanted: DropCorrection
) -> tuple[Desk, ColourDrop]:
    """Raises UnknownBatch, UnknownEntry, AlreadyCorrected, ScopeNeeded, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = entry(session, ColourDrop, number, col(ColourDrop.batch) == desk.batch.row_id)
    changes = {} if wanted.replaces is None else _drop_columns(wanted.replaces.changed())
    after = {**old.model_dump(), **changes}
    try:
        check_drop(colour=after["reading"], text=after["text"], photo=after["photo"])
    except PydanticCustomError as error:
        raise refused_at(error, "#/replaces") from None
    return desk, amended(desk, old, wanted, changes)


def _drop_columns(values: Mapping[str, Any]) -> dict[str, Any]:
    columns = dict(values)
    if "temperature" in columns:
        columns["temperature_c"] = _celsius(columns.pop("temperature"))
    if "colour" in columns:
        columns |= _colour_columns(columns.pop("colour"))
    return columns


def _colour_columns(colour: ColourIn | None) -> dict[str, Any]:
    if colour is None:
        return dict.fromkeys(("scale", "reading", "sample", "solvent", "solids_percent"))
    return colour.read._asdict()
