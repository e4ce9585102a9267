"""The whole record recomputed: the audit chain first, since all else is told by it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy.exc import DBAPIError

from service.errors import Refused
from service.office.attachments import faults as attachments
from service.office.audit import faults as audit
from service.office.audit import rows
from service.office.documents import faults as documents
from service.store import faults as store
from service.store.session import ReadSession
from service.workshop.batches import faults as batches
from service.workshop.batches import point_faults as points
from service.workshop.deviations import faults as deviations
from service.workshop.labels import faults as labels
from service.workshop.lots import faults as lots
from service.workshop.materials import faults as materials
from service.workshop.panels import faults as panels
from service.workshop.sheets import faults as sheets
from service.workshop.stock import faults as stock

Look = Callable[[ReadSession], Iterator[str]]


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that is recomputed: what is said of it where it holds, and what finds faults."""

    holds: str
    look: Look


def _documents(session: ReadSession) -> Iterator[str]:
    return documents.faults(session, audit.digests(session))


PARTS: Sequence[Part] = (
    Part("The audit chain holds from its first link to its head.", audit.faults),
    Part("Every row is as the audit trail tells it.", rows.faults),
    Part("Every frozen document gives its digest.", _documents),
    Part("Every stored form is as it was stored.", documents.stored_forms),
    Part("Every attachment gives its digest.", attachments.faults),
    Part("Every correction corrects an entry once.", store.corrections),
    Part("Lots and their ledger agree.", stock.faults),
    Part(
        "Batches are in the state their moves lead to; ledger, origins and losses follow.",
        batches.faults,
    ),
    Part("Cook points taken in at once are as they came.", points.faults),
    Part("Cook points are of the batch that had the kettle.", points.owners),
    Part("Fills, their ledger and their checks follow from the weights.", lots.faults),
    Part("Labels that were printed were drawn.", labels.faults),
    Part("Readings say what their panels were.", panels.faults),
    Part("Deviations are open until they are concluded.", deviations.faults),
    Part("Figures are what was entered.", materials.faults),
    Part("Published sheets show the newest revision.", sheets.faults),
    Part("Texts to search by are those of their rows.", store.search_texts),
)


def first_fault(session: ReadSession, told: Callable[[str], None]) -> str | None:
    """The first fault, or None; `told` hears of each part that holds."""
    for part in PARTS:
        try:
            fault = next(part.look(session), None)
        except (ValueError, TypeError, LookupError, DBAPIError, Refused) as problem:
            return f"It cannot be told whether this holds: {part.holds} ({problem})"
        if fault is not None:
            return fault
        told(part.holds)
        session.expunge_all()
    return None
