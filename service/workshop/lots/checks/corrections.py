"""Corrections of the checks around a fill: by the one mechanism, once more asked of who may."""

from typing import Any

from sqlmodel import col

from service.office.keys.rules import ScopeNeeded
from service.office.people.queries import doer
from service.store.records import Amends, amend, check_correctable, entry
from service.store.session import WriteSession
from service.web.corrections import CorrectionIn
from service.workshop.lots.checks.queries import E
from service.workshop.stock.queries import Lot


def correctable(session: WriteSession, kind: type[E], lot: Lot, number: int) -> E:
    """The entry that is to be corrected. Raises UnknownEntry, AlreadyCorrected; ScopeNeeded where
    the lot is released and the key may not release."""
    row = entry(session, kind, number, col(kind.lot) == lot.row_id)
    check_correctable(session, row)
    if lot.quality == "released" and "release" not in session.actor.scopes:
        detail = f"{lot.number} is released; correcting it needs the scope release."
        raise ScopeNeeded(detail, more={"needs": "release"})
    return row


def changed(wanted: Any) -> dict[str, Any]:
    """The values that replace those of the entry; what was sent as null stays as it was."""
    given = wanted.replaces.changed() if wanted.replaces else {}
    return {name: value for name, value in given.items() if value is not None}


def corrected(session: WriteSession, old: E, wanted: CorrectionIn, changes: dict[str, Any]) -> E:
    """The entry that takes the place of another."""
    by = doer(session, wanted.by)
    return amend(session, old, Amends(wanted.reason, by, void=wanted.void), changes)
