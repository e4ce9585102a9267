"""Samples: what was taken of a lot, and its line in the ledger."""

from dataclasses import dataclass
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.science import units
from service.science.rounding import plain
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.deviations.bodies import Flag
from service.workshop.lots.checks.bodies import SampleCorrection, SampleIn
from service.workshop.lots.checks.corrections import changed, correctable, corrected
from service.workshop.lots.checks.queries import Sample
from service.workshop.stock import queries as stock
from service.workshop.stock.actions import Move, correct, enter
from service.workshop.stock.actions.amounts import Kept, kept
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.bodies import Entered
from service.workshop.stock.queries import Lot


@dataclass(frozen=True, slots=True)
class Taken:
    """A sample as it was kept, and the density that a volume was converted with."""

    row: Sample
    flags: list[Flag]
    density: str | None = None


def record_sample(session: WriteSession, lot: Lot, wanted: SampleIn) -> Taken:
    """A sample that was taken is a fact: one beyond what is left is kept and flagged.

    Raises Invalid, DensityNeeded where the amount does not fit how the lot is kept.
    """
    check_past(session, wanted.happened_at)
    found = _kept(session, lot, wanted.amount, "#/amount")
    entry = stamp(session, by=doer(session, wanted.by), happened_at=wanted.happened_at)
    line = Move(
        -found.amount,
        "sample",
        by=entry["by"],
        happened_at=entry["happened_at"],
        entered=wanted.amount.quantity,
        density=found.density,
    )
    movement, flag = enter(session, lot, line, plan=False)
    row = Sample(
        lot=lot.row_id,
        kind=wanted.kind,
        kept_at=wanted.kept_at,
        keep_until=wanted.keep_until,
        text=wanted.text,
        movement=movement.row_id,
        **_amount(wanted.amount, found),
        **entry,
    )
    session.add(row)
    session.flush()  # the answer shows its key
    return Taken(row, [flag] if flag else [], found.said)


def correct_sample(session: WriteSession, lot: Lot, number: int, wanted: SampleCorrection) -> Taken:
    """As corrected, with the ledger made good. Raises UnknownEntry, AlreadyCorrected,
    ScopeNeeded, Invalid, DensityNeeded."""
    old = correctable(session, Sample, lot, number)
    changes = changed(wanted)
    _check_place(old, changes)
    amount: Entered | None = changes.pop("amount", None)
    said, flag = None, None
    if wanted.void or amount is not None:
        found = None if amount is None else _kept(session, lot, amount, "#/replaces/amount")
        by = doer(session, wanted.by)
        new = None
        if amount is not None and found is not None:
            new = Move(
                -found.amount,
                "sample",
                by=by,
                happened_at=old.happened_at,
                entered=amount.quantity,
                density=found.density,
            )
            changes |= _amount(amount, found)
            said = found.said
        before = stock.movement(session, f"M-{old.movement}")
        line, flag = correct(session, before, new, reason=wanted.reason, by=by)
        changes["movement"] = line.row_id
    return Taken(corrected(session, old, wanted, changes), [flag] if flag else [], said)


def _kept(session: WriteSession, lot: Lot, entered: Entered, pointer: str) -> Kept:
    chain = stock.subject_chain(lot)
    return kept(session, entered, chain, measure=lot.measure, pointer=pointer)


def _amount(entered: Entered, found: Kept) -> dict[str, Any]:
    quantity = entered.quantity
    counted = quantity.dimension == "count"
    value = plain(units.canonical(quantity) if counted else quantity.value)
    unit = "pcs" if counted else quantity.unit
    return {"amount": found.amount, "entered_value": value, "entered_unit": unit}


def _check_place(old: Sample, changes: dict[str, Any]) -> None:
    """What is kept is kept somewhere. Raises Invalid."""
    if changes.get("kind", old.kind) == "retained" and not changes.get("kept_at", old.kept_at):
        wrong = "It is not said where the sample is kept."
        remedy = Remedy("it stands with the others", {"replaces": {"kept_at": "the sample shelf"}})
        faults = at("#/replaces/kept_at", wrong, "place-missing", remedies=(remedy,))
        raise Invalid(wrong, faults)
