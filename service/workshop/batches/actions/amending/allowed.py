"""Corrections of what a batch's record says: who may make them, and what follows of them."""

from collections.abc import Mapping
from typing import Any, TypeVar

from service.office.keys.rules import ScopeNeeded
from service.store.columns import Recorded
from service.store.records import Amends, amend
from service.web.corrections import CorrectionIn
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.late import follow

E = TypeVar("E", bound=Recorded)


def check_may_correct(desk: Desk) -> None:
    """Raises ScopeNeeded: what stands of a complete batch is corrected by who may release."""
    if desk.batch.state == "complete" and "release" not in desk.session.actor.scopes:
        detail = f"{desk.batch.code} is complete; correcting it needs the scope release."
        raise ScopeNeeded(detail, more={"needs": "release"})


def amended(desk: Desk, old: E, wanted: CorrectionIn, changes: Mapping[str, Any]) -> E:
    """The entry as it stands now. Raises ScopeNeeded, AlreadyCorrected."""
    check_may_correct(desk)
    row = amend(desk.session, old, Amends(wanted.reason, desk.by, wanted.void), changes)
    follow(desk, old, row)
    return row
