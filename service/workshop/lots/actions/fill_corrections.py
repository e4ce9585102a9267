"""Correcting a fill: the entry and its weights, the ledger, the origins and the check with it."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.errors import Invalid, at, below
from service.office.keys.rules import ScopeNeeded
from service.office.people.queries import doer
from service.science.units import Quantity
from service.store.records import Amends, amend
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.lots import queries
from service.workshop.lots._tables import Fill
from service.workshop.lots.actions.fills import (
    early,
    expired,
    off_plan,
    off_reference,
    write_weights,
)
from service.workshop.lots.actions.plans import Plan, choose
from service.workshop.lots.bodies import FillCorrection, FillIn, FillReplacement
from service.workshop.lots.rules import DensityNeeded, UnknownFill, check
from service.workshop.panels.actions.days import day_stamp
from service.workshop.stock import queries as stock
from service.workshop.stock.actions import Move, link, move, set_amount_in
from service.workshop.stock.queries import Lot


@dataclass(frozen=True, slots=True)
class Refilled:
    """A fill as it was corrected."""

    old: Fill
    row: Fill
    packed: Lot
    flags: list[Flag]


def correct_fill(session: WriteSession, number: str, wanted: FillCorrection) -> Refilled:
    """Raises UnknownLot, MistypedLot, UnknownFill, ScopeNeeded, DensityNeeded, Invalid."""
    packed = stock.lot(session, number)
    if (old := queries.fill_of(session, packed)) is None:
        raise UnknownFill(f"No fill of {packed.number} stands.")
    if packed.quality != "quarantine" and "release" not in session.actor.scopes:
        wrong = f"{packed.number} is {packed.quality}; correcting its fill needs the scope release."
        raise ScopeNeeded(wrong, more={"needs": "release"})
    amends = Amends(wanted.reason, doer(session, wanted.by), wanted.void)
    if wanted.replaces is None:
        row = amend(session, old, amends)
        return Refilled(old, row, packed, _settle(session, packed, old, row=row))
    plan = _plan(session, packed, old, wanted=wanted.replaces, by=amends.by)
    row, flags = _refill(session, packed, old, plan=plan, amends=amends, wanted=wanted.replaces)
    return Refilled(old, row, packed, flags)


def _refill(
    session: WriteSession,
    packed: Lot,
    old: Fill,
    *,
    plan: Plan,
    amends: Amends,
    wanted: FillReplacement,
) -> tuple[Fill, list[Flag]]:
    """The fill as it really was, judged anew."""
    found = check(
        plan.pack.nominal_ul, plan.nets_mg, count=plan.count, density_kg_l=plan.density.kg_l
    )
    changes = {
        **_columns(plan),
        **_when(session, wanted),
        "verdict": found.verdict,
    }
    row = amend(session, old, amends, changes)
    write_weights(session, row, plan.gross_mg, lot=packed.number)
    flags = _settle(session, packed, old, row=row)
    facts = [*off_plan(plan, found), *early(plan, wanted.on)]
    facts += [] if wanted.on is None else expired(plan, wanted.on)
    by = amends.by
    flags += [open_deviation(session, Fact("lot", packed.number, *fact), by=by) for fact in facts]
    return row, flags + off_reference(plan)


def _columns(plan: Plan) -> dict[str, Any]:
    return {
        "container_lot": plan.container.row_id,
        "closure_lot": plan.closure.row_id if plan.closure else None,
        "count": plan.count,
        "tare_mg": plan.tare_mg,
        "nominal_mg": plan.nominal_mg,
        "filled_mg": plan.filled_mg,
        "density": plan.density.kg_l,
        "density_from": plan.density.figure,
    }


def _when(session: WriteSession, wanted: FillReplacement) -> dict[str, Any]:
    if wanted.on is None:
        return {}
    then = day_stamp(session, by=None, on=wanted.on)
    return {"happened_at": then["happened_at"], "about_seconds": then.get("about_seconds")}


def _plan(
    session: WriteSession, packed: Lot, old: Fill, *, wanted: FillReplacement, by: str | None
) -> Plan:
    """The fill again with what is put right. Raises DensityNeeded, Invalid."""
    body = _again(session, packed, old, wanted=wanted)
    try:
        return choose(session, stock.lot_by_id(session, old.bulk), body, by=by)
    except DensityNeeded as missing:
        raise DensityNeeded(missing.detail, below(missing.faults, "replaces")) from None
    except Invalid as wrong:
        raise Invalid(wrong.detail, below(wrong.faults, "replaces")) from None


def _again(session: WriteSession, packed: Lot, old: Fill, *, wanted: FillReplacement) -> FillIn:
    """The body that would have been right in the first place."""
    sent = wanted.model_fields_set
    lots = stock.lots_by_id(session, [i for i in (old.container_lot, old.closure_lot) if i])
    gross = [Decimal(weight.gross_mg) / 1000 for weight in queries.weights_of(session, old)]
    count = _count(old, len(gross), wanted)
    tare = Quantity(Decimal(old.tare_mg) / 1000, "g", "mass") if old.tare_mg else None
    closure = lots[old.closure_lot].number if old.closure_lot else None
    return FillIn(
        pack=old.pack,
        product=packed.product,
        count=count,
        gross_g=(wanted.gross_g or []) if "gross_g" in sent else gross,
        tare=wanted.tare if "tare" in sent else tare,
        density=wanted.density,
        container_lot=wanted.container_lot or lots[old.container_lot].number,
        closure_lot=wanted.closure_lot or closure,
    )


def _count(old: Fill, weighed: int, wanted: FillReplacement) -> int:
    """How many packs it really were. Raises Invalid where more were weighed than that."""
    whole = weighed == old.count  # then the weights count the packs
    resent = "gross_g" in wanted.model_fields_set
    now = len(wanted.gross_g or ()) if resent else weighed
    count = wanted.count or (now if whole and resent and now else old.count)
    if now > count:
        name = "gross_g" if resent else "count"
        wrong = f"{now} weights stand for {count} packs."
        hint = 'Send both "count" and "gross_g".'
        raise Invalid(wrong, at(f"#/replaces/{name}", wrong, "more-weights-than-packs", hint=hint))
    return count


def _taken(fill: Fill) -> dict[int, int]:
    """What a fill took, by lot, as it is told."""
    if fill.void:
        return {}
    found = {fill.bulk: fill.filled_mg, fill.container_lot: fill.count}
    if fill.closure_lot is not None:
        found[fill.closure_lot] = fill.count
    return found


def _settle(session: WriteSession, packed: Lot, old: Fill, *, row: Fill) -> list[Flag]:
    """The compensating movements, and the origins as they are now."""
    before, after = _taken(old), _taken(row)
    flags = []
    for key in {**before, **after}:
        change = before.get(key, 0) - after.get(key, 0)
        if change:
            lot = stock.lot_by_id(session, key)
            flags.append(move(session, lot, _line(packed, row, change), plan=False))
            link(session, lot, packed, -change)
    count = 0 if row.void else row.count
    if change := count - old.count:
        flags.append(move(session, packed, _line(packed, row, change), plan=False))
        set_amount_in(session, packed, count)
    return [flag for flag in flags if flag is not None]


def _line(packed: Lot, row: Fill, change: int) -> Move:
    return Move(
        change,
        "correction",
        packed.number,
        row.by,
        row.happened_at,
        reason=row.reason,
        about_seconds=row.about_seconds,
    )
