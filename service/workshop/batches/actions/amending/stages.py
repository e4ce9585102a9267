"""Corrections of stages and their entries: the lots they gave and the days they set follow."""

from typing import Any

from sqlmodel import col, select

from service.errors import Invalid, at
from service.office.equipment.queries import in_body, of_kind
from service.office.people.queries import doer
from service.store.records import entry, standing
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables_stages import StageBegun, StageEntry
from service.workshop.batches.actions.amending.allowed import amended
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.actions.stages.by_products import restate
from service.workshop.batches.actions.stages.ripening import settle_ready_on
from service.workshop.batches.actions.stages.stages import (
    Working,
    entered,
    follow_stage,
    percent_of,
)
from service.workshop.batches.bodies.stages import (
    StageCorrection,
    StageEntryCorrection,
    StageEntryReplacement,
    StageReplacement,
)
from service.workshop.batches.queries.stages.stages import MATURE


def correct_stage(
    session: WriteSession, code: str, number: int, wanted: StageCorrection
) -> Working:
    """Correct what was said as a stage began, or void it with all its entries.

    Raises UnknownBatch, UnknownBatchStage, AlreadyCorrected, ScopeNeeded, Invalid.
    """
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = queries.begun(session, desk.batch, number)
    changes = {} if wanted.replaces is None else _of_stage(desk, old, wanted.replaces)
    if wanted.void:
        for each in _entries(desk, number):
            restate(desk, each, amended(desk, each, wanted, {}))
    row = amended(desk, old, wanted, changes)
    follow_stage(desk, row)
    if old.stage == MATURE:
        settle_ready_on(desk)
    return Working(desk, row)


def _entries(desk: Desk, number: int) -> list[StageEntry]:
    found = select(StageEntry).where(
        StageEntry.batch == desk.batch.row_id, StageEntry.number == number, standing(StageEntry)
    )
    return list(desk.session.exec(found.order_by(col(StageEntry.happened_at))))


def _of_stage(desk: Desk, old: StageBegun, wanted: StageReplacement) -> dict[str, Any]:
    changes = wanted.changed()
    _check_named(desk, changes)
    if "in_" in changes:
        amount = changes.pop("in_")
        changes |= {"in_mg": whole(amount), **entered(amount)}
    if "started_at" in changes:
        changes |= {"happened_at": changes.pop("started_at"), "about_seconds": None}
        _check_begun(desk, old, changes["happened_at"])
    if "constant_within" in changes:
        changes["constant_percent"] = percent_of(changes.pop("constant_within"))
    if "equipment" in changes:
        changes["equipment"] = tuple(changes["equipment"])
    if changes.get("ready_on", old.ready_on) and changes.get("stage", old.stage) != MATURE:
        wrong = "Only what matures becomes ready."
        hint = 'Send "ready_on": null with it.'
        raise Invalid(wrong, at("#/replaces/stage", wrong, "ready-without-maturing", hint=hint))
    return changes


def _check_named(desk: Desk, changes: dict[str, Any]) -> None:
    for place, name in enumerate(changes.get("equipment") or ()):
        in_body(desk.session, name, pointer=f"#/replaces/equipment/{place}")
    if changes.get("balance") is not None:
        of_kind(desk.session, changes["balance"], "balance", pointer="#/replaces/balance")
    if changes.get("checked_by") is not None:
        doer(desk.session, changes["checked_by"], pointer="#/replaces/checked_by")


def _check_begun(desk: Desk, old: StageBegun, when: Any) -> None:
    first = min((each.happened_at for each in _entries(desk, old.number)), default=when)
    if first < when:
        wrong = f"{when.isoformat()} lies after the first entry, of {first.isoformat()}."
        raise Invalid(wrong, at("#/replaces/started_at", wrong, "time-backwards"))


def correct_stage_entry(
    session: WriteSession, code: str, number: int, *, key: int, wanted: StageEntryCorrection
) -> tuple[Working, StageEntry]:
    """Correct or void a weigh-in, a part that came out, or an end.

    Raises UnknownBatch, UnknownBatchStage, UnknownEntry, AlreadyCorrected, ScopeNeeded, Invalid.
    """
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    begun = queries.begun(session, desk.batch, number)
    mine = (col(StageEntry.batch) == desk.batch.row_id, col(StageEntry.number) == number)
    old = entry(session, StageEntry, key, *mine)
    changes = {} if wanted.replaces is None else _of_entry(desk, begun, old, wanted.replaces)
    row = amended(desk, old, wanted, changes)
    restate(desk, old, row)
    follow_stage(desk, begun)
    return Working(desk, begun), row


def _of_entry(
    desk: Desk, begun: StageBegun, old: StageEntry, wanted: StageEntryReplacement
) -> dict[str, Any]:
    changes = wanted.changed()
    _check_named(desk, changes)
    if "amount" in changes:
        amount = changes.pop("amount")
        if old.kind == "end":
            wrong = "An end has no mass; correct what came out."
            raise Invalid(wrong, at("#/replaces/amount", wrong, "end-without-mass"))
        changes |= {"amount_mg": whole(amount), **entered(amount)}
    if "happened_at" in changes:
        changes["about_seconds"] = None
        if changes["happened_at"] < begun.happened_at:
            wrong = f"The stage began at {begun.happened_at.isoformat()}, later than this."
            raise Invalid(wrong, at("#/replaces/happened_at", wrong, "time-backwards"))
    return changes
