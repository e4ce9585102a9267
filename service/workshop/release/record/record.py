"""The whole record of a batch: as it stands now, and as it was frozen."""

from collections.abc import Callable
from typing import Any

from service.office.documents import queries as documents
from service.office.documents.queries import Document
from service.office.documents.rules import Kind
from service.office.workshop_card.queries import card
from service.store.session import ReadSession
from service.workshop.batches.queries import Batch
from service.workshop.batches.queries.record.shown import about
from service.workshop.release.record import packs, planned, readings, worked, yields
from service.workshop.release.record.bodies import BatchRecordOut
from service.workshop.release.record.gathered import Gathered
from service.workshop.release.record.items import Item, differing, instant, missing

KIND: Kind = "batch-record"
_ITEMS: tuple[Callable[[Gathered], Item], ...] = (
    planned.approved,
    worked.times,
    planned.tools,
    worked.lots_in,
    worked.weights,
    readings.in_process,
    packs.places,
    yields.yields,
    packs.labelling,
    packs.containers,
    packs.samples,
    worked.persons,
    readings.departures,
    packs.examinations,
)


def content(session: ReadSession, batch: Batch) -> dict[str, Any]:
    """What would be frozen now: codes and figures, nothing of money or of suppliers."""
    of = Gathered(session, batch)
    items = [drawn(of) for drawn in _ITEMS]
    return {
        "batch": batch.code,
        "workshop": card(session).name,
        "recipe": batch.recipe,
        "version": batch.version,
        "material": batch.material,
        "product": batch.product,
        "for": batch.asked,
        "state": batch.state,
        "kettle": batch.kettle,
        "planned_on": batch.planned_on.isoformat(),
        "begun_at": instant(of.begun.happened_at if of.begun else None),
        "begun_about": about(of.begun.about_seconds if of.begun else None),
        "ended_at": instant(of.ended.happened_at if of.ended else None),
        "ended_about": about(of.ended.about_seconds if of.ended else None),
        "lot": of.lot.number if of.lot else None,
        "filled": list(packs.filled(of)),
        "items": [one.as_json() for one in items],
        "missing": missing(items),
    }


def draft(session: ReadSession, batch: Batch) -> BatchRecordOut:
    """The record as it stands now, beside the newest frozen one."""
    now = content(session, batch)
    held = documents.latest(session, KIND, batch.code)
    differs = differing(now["items"], documents.content(held)["items"]) if held else []
    return BatchRecordOut.model_validate(
        {**now, **_standing(session, batch, None), "differs_from_frozen": differs}
    )


def document_of(session: ReadSession, batch: Batch, number: int | None) -> Document:
    """A frozen revision, the newest for None. Raises UnknownDocument."""
    return documents.revision(session, KIND, batch.code, number)


def frozen(session: ReadSession, batch: Batch, number: int | None) -> BatchRecordOut:
    """A frozen record, the newest for None. Raises UnknownDocument."""
    document = document_of(session, batch, number)
    held = documents.content(document)
    return BatchRecordOut.model_validate(
        {**held, **_standing(session, batch, document), "differs_from_frozen": []}
    )


def _standing(session: ReadSession, batch: Batch, document: Document | None) -> dict[str, Any]:
    return {
        "draft": document is None,
        "revision": document.revision if document else None,
        "sha256": document.sha256 if document else None,
        "frozen_at": document.made_at if document else None,
        "frozen": documents.revisions(session, KIND, batch.code),
    }
