"""What was seen in the pot: events, and the drops of the colour ladder, as rows and as shown."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from typing import get_args

from sqlmodel import col, select

from service.office.attachments.queries import attached
from service.science.colour_readings import ColourReading
from service.science.rounding import plain
from service.store.lists import Listing
from service.store.records import corrections_of, standing
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.batches._tables import Batch
from service.workshop.batches._tables_pot import BatchEvent, ColourDrop
from service.workshop.batches.bodies.events import ColourOut, DropOut, Event, EventOut
from service.workshop.batches.queries.record.shown import about
from service.workshop.batches.rules.pot import darker_by

EVENT_KINDS: tuple[str, ...] = get_args(Event)
EVENTS = Listing(
    "batch-events",
    BatchEvent,
    sorts=("id", "happened_at"),
    default_sort="happened_at",
    filters={"event": Event},
    times=("happened_at",),
)
COLOUR_LADDER = Listing(
    "colour-ladder",
    ColourDrop,
    sorts=("id", "happened_at"),
    default_sort="happened_at",
    times=("happened_at",),
)


def events(session: ReadSession, batch: Batch) -> list[BatchEvent]:
    """What stands as having happened, in that order."""
    found = select(BatchEvent).where(BatchEvent.batch == batch.row_id, standing(BatchEvent))
    return list(session.exec(found.order_by(col(BatchEvent.happened_at), col(BatchEvent.id))))


def colour_ladder(session: ReadSession, batch: Batch) -> list[ColourDrop]:
    """The drops that stand, each darker or lighter than the one before it."""
    found = select(ColourDrop).where(ColourDrop.batch == batch.row_id, standing(ColourDrop))
    return list(session.exec(found.order_by(col(ColourDrop.happened_at), col(ColourDrop.id))))


def celsius(value: Decimal | None) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit="°C")


def entered(text: str | None) -> Amount | None:
    """An amount that is kept in words, as it was entered."""
    if text is None:
        return None
    value, _, unit = text.partition(" ")
    return Amount(value=value, unit=unit)


def shown_events(
    session: ReadSession, batch: Batch, rows: Sequence[BatchEvent]
) -> dict[int, EventOut]:
    """Events by key as they are shown."""
    later = corrections_of(session, rows)
    return {
        row.row_id: EventOut(
            entry=row.row_id,
            batch=batch.code,
            event=row.event,
            text=row.text,
            temperature=celsius(row.temperature_c),
            length=entered(row.length),
            by=row.by,
            happened_at=row.happened_at,
            about=about(row.about_seconds),
            entered_at=row.entered_at,
            entered_from=row.entered_from,
            corrects=row.corrects,
            corrected_by=later.get(row.row_id),
            void=row.void,
            reason=row.reason,
        )
        for row in rows
    }


def colour_of(row: ColourDrop) -> ColourReading | None:
    """What was read on a scale, where something was."""
    if row.scale is None or row.reading is None or row.sample is None:
        return None
    return ColourReading(row.scale, row.reading, row.sample, row.solvent, row.solids_percent)


def shown_drops(
    session: ReadSession, batch: Batch, rows: Sequence[ColourDrop]
) -> dict[int, DropOut]:
    """Drops by key as they are shown, each with its place on the whole ladder."""
    later, ladder = corrections_of(session, rows), colour_ladder(session, batch)
    rungs = {row.row_id: place for place, row in enumerate(ladder, 1)}
    steps = {
        row.row_id: darker_by(colour_of(before), colour_of(row)) for before, row in pairwise(ladder)
    }
    return {
        row.row_id: DropOut(
            entry=row.row_id,
            batch=batch.code,
            rung=rungs.get(row.row_id),
            minutes=_amount(row.minutes, "min"),
            temperature=celsius(row.temperature_c),
            colour=_colour(row),
            text=row.text,
            photo=attached(session, row.photo),
            darker_by=_amount(steps.get(row.row_id), "1"),
            by=row.by,
            happened_at=row.happened_at,
            about=about(row.about_seconds),
            entered_at=row.entered_at,
            entered_from=row.entered_from,
            corrects=row.corrects,
            corrected_by=later.get(row.row_id),
            void=row.void,
            reason=row.reason,
        )
        for row in rows
    }


def _amount(value: Decimal | None, unit: str) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit=unit)


def _colour(row: ColourDrop) -> ColourOut | None:
    found = colour_of(row)
    if found is None:
        return None
    return ColourOut(
        scale=found.scale,
        reading=found.reading,
        sample=found.sample,
        solvent=found.solvent,
        solids=_amount(found.solids_percent, "%"),
    )
