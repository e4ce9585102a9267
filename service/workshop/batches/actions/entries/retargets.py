"""Bench mode: resin falls in lumps, and the lines still open follow what was weighed."""

from dataclasses import dataclass, field
from typing import Any

from sqlmodel import col

from service.errors import Invalid, Refused, at
from service.store.records import Amends, amend, entry
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables_entries import Retarget
from service.workshop.batches.actions.amending.allowed import check_may_correct
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.bodies.retargets import RetargetCorrectionIn, RetargetIn
from service.workshop.batches.queries.plan import targets
from service.workshop.batches.rules import ENDED, BatchState
from service.workshop.scalings import actions as scaling_actions
from service.workshop.scalings.bodies import ScalingIn

_CANNOT = "The open lines cannot follow what was weighed"


@dataclass(frozen=True)
class Retargeted:
    """The open lines before and after."""

    desk: Desk
    row: Retarget
    before: dict[int, targets.Aim]
    after: dict[int, targets.Aim]
    assumed: dict[str, Any] = field(default_factory=dict)


def retarget(session: WriteSession, code: str, wanted: RetargetIn) -> Retargeted:
    """Work the open lines out anew from what was weighed. Raises UnknownBatch, BatchState,
    Invalid, and whatever the scaling refuses."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    if desk.batch.state in ENDED:
        raise BatchState(f"{desk.batch.code} is {desk.batch.state}; no line of it is open.")
    fell = targets.weighed(session, desk.batch)
    if not fell:
        wrong = f"Nothing is weighed in at a line of {desk.batch.code} that has a target."
        hint = "Weigh the first line, then ask again; or plan it with `bench_mode`."
        raise Invalid(wrong, at("#", wrong, "nothing-weighed", hint=hint))
    lines = queries.lines(session, desk.batch)
    before = targets.aims(session, desk.batch, lines)
    if wanted.bench_mode is not None:
        desk.batch.bench_mode = wanted.bench_mode
        session.add(desk.batch)
    try:
        row = _work_out(desk, fell)
    except Refused as refusal:
        # Its places and remedies are of the body of a scaling, which nobody sent here.
        raise type(refusal)(f"{_CANNOT}: {refusal.detail}") from None
    after = targets.aims(session, desk.batch, lines)
    assumed = {"lines": [str(line) for line in fell]}
    return Retargeted(desk, row, before, after, assumed)


def follow_weights(desk: Desk) -> None:
    """In bench mode, after each weighing and each correction of one. What went in is a fact: where
    the lines cannot follow, they stay as they were and that is flagged."""
    if not desk.batch.bench_mode or desk.batch.state in ENDED:
        return
    fell = targets.weighed(desk.session, desk.batch)
    newest = next(iter(targets.retargets(desk.session, desk.batch)), None)
    if not fell and newest is None:
        return
    try:
        _work_out(desk, fell)
    except Refused as refusal:
        desk.deviate("retarget-refused", f"{_CANNOT}: {refusal.detail}")


def _work_out(desk: Desk, fell: dict[int, int]) -> Retarget:
    """The scaling that follows from what fell, frozen; the plan again where nothing stands."""
    session, batch = desk.session, desk.batch
    number = batch.scaling
    if fell:
        amounts = {str(line): f"{queries.grams(mg).value} g" for line, mg in fell.items()}
        lots = targets.lots_weighed(session, batch)
        asked = {"bench": {"scaling": batch.scaling, "weighed": amounts, "lots": lots}}
        made = scaling_actions.scale(session, batch.recipe, ScalingIn.model_validate(asked))
        number = made.scaling
    row = Retarget(
        batch=batch.row_id,
        scaling=number,
        weighed=tuple(str(line) for line in fell),
        **desk.stamp(),
    )
    session.add(row)
    session.flush()  # the targets of the same request are read from it
    return row


def correct_retarget(
    session: WriteSession, code: str, number: int, wanted: RetargetCorrectionIn
) -> Retargeted:
    """Void one: the open lines are aimed at what they were before it. Raises UnknownBatch,
    UnknownEntry, AlreadyCorrected, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    check_may_correct(desk)
    old = entry(session, Retarget, number, col(Retarget.batch) == desk.batch.row_id)
    lines = queries.lines(session, desk.batch)
    before = targets.aims(session, desk.batch, lines)
    row = amend(session, old, Amends(wanted.reason, desk.by, void=True))
    return Retargeted(desk, row, before, targets.aims(session, desk.batch, lines))
