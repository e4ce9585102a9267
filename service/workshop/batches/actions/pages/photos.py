"""The photo of a page: put right, added where it was missing, or taken back."""

from typing import Any

from service.store.records import Amends, amend
from service.store.session import WriteSession
from service.workshop.batches._tables import Page
from service.workshop.batches.actions.amending.allowed import check_may_correct
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.bodies.pages import PageCorrection
from service.workshop.batches.queries.record import pages


def correct_page(
    session: WriteSession, code: str, number: int, wanted: PageCorrection
) -> tuple[Desk, Page]:
    """Raises UnknownBatch, UnknownEntry, ScopeNeeded."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = pages.page(session, desk.batch, number)
    if old.photo is not None:
        # One that was missing changes nothing of what stands, whoever brings it.
        check_may_correct(desk)
    changes: dict[str, Any] = {"photo": wanted.replaces.photo if wanted.replaces else None}
    # The page itself is never voided: without its photo it stands as it was entered.
    return desk, amend(session, old, Amends(wanted.reason, desk.by), changes)
