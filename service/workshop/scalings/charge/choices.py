"""A lot that was chosen for a line: an open one, or one that is overridden with a reason."""

from collections.abc import Mapping, Sequence

from service.errors import Invalid, Remedy, at
from service.office.workshop_card.queries import today
from service.store.session import ReadSession
from service.workshop.scalings.bodies import ScalingIn
from service.workshop.scalings.queries import scaling
from service.workshop.stock.queries import Lot, OpenLot, left, lot_in_body
from service.workshop.stock.rules import DEAD, blocked, looked_at_again

_MOST_REMEDIES = 3
OVERRIDE = "looked at, and fit for use"


def chosen(
    session: ReadSession,
    wanted: ScalingIn,
    material: str,
    *,
    lots: Sequence[OpenLot],
    reserved: Mapping[int, int],
) -> list[OpenLot]:
    """The lot chosen before the other open ones. One that is in quarantine or expired is taken
    only with a reason and a key with the scope release; raises Invalid."""
    pointer = f"#/choose/{material}/lot"
    lot = lot_in_body(session, wanted.choose[material].lot or "", pointer=pointer)
    others = [held for held in lots if held.lot.row_id != lot.row_id]
    open_ones = [held for held in lots if held.lot.row_id == lot.row_id]
    if open_ones:
        return [*open_ones, *others]
    free = left(session, [lot.row_id])[lot.row_id] - reserved.get(lot.row_id, 0)
    if lot.material == material and _carried_on(session, wanted, material):
        return [OpenLot(lot, max(free, 0)), *others]
    wrong, may = _why_not(session, lot, material, free=free)
    if may and wanted.override_reason is not None and "release" in session.actor.scopes:
        return [OpenLot(lot, free), *others]
    there = ", ".join(held.lot.number for held in others) or "none"
    ways = [*_others(material, others)]
    if may and "release" in session.actor.scopes:
        then = "The plan says that it was overridden, and why."
        ways.append(Remedy("it may be used all the same", {"override_reason": OVERRIDE}, then))
    hint = f"Open lots: {there}."
    if may and "release" not in session.actor.scopes:
        hint += " A key with the scope release may override it with override_reason."
    hint += looked_at_again(lot, today(session)) if may else ""
    raise Invalid(wrong, at(pointer, wrong, "lot-not-open", hint=hint, remedies=tuple(ways)))


def in_the_pot(
    session: ReadSession, material: str, number: str, lots: Sequence[OpenLot]
) -> list[OpenLot]:
    """The lot that was weighed in, before the open ones: its figures count, though nothing of it
    may be left. Raises Invalid for a lot of something else."""
    pointer = f"#/bench/lots/{material}"
    lot = lot_in_body(session, number, pointer=pointer)
    if lot.material != material:
        wrong = f"{lot.number} is a lot of {lot.material}, not of {material}."
        raise Invalid(wrong, at(pointer, wrong, "lot-of-another"))
    free = next((held.left for held in lots if held.lot.row_id == lot.row_id), 0)
    others = [held for held in lots if held.lot.row_id != lot.row_id]
    return [OpenLot(lot, free), *others]


def _carried_on(session: ReadSession, wanted: ScalingIn, material: str) -> bool:
    """Whether a scaling at the bench goes on with the lot that was chosen before: it is in the pot
    by now, so that nothing of it may be left."""
    if wanted.bench is None:
        return False
    before = scaling(session, wanted.bench.scaling)["sent"].get("choose", {})
    return bool(before.get(material) == wanted.told()["choose"][material])


def _others(material: str, others: Sequence[OpenLot]) -> list[Remedy]:
    named = [
        Remedy(f"{held.lot.number} is taken", {"choose": {material: {"lot": held.lot.number}}})
        for held in others[:_MOST_REMEDIES]
    ]
    first = Remedy("the lots are taken in their usual order", {"choose": {material: None}})
    return [*named, first] if named else []


def _why_not(session: ReadSession, lot: Lot, material: str, *, free: int) -> tuple[str, bool]:
    """Why a lot feeds no line, and whether that may be overridden."""
    if lot.material != material:
        return f"{lot.number} is a lot of {lot.material}, not of {material}.", False
    if lot.quality in DEAD:
        return f"{lot.number} is {lot.quality}.", False
    if free <= 0:
        return f"Nothing of {lot.number} is free: it is used up, or reserved for batches.", False
    why = blocked(lot, today(session))
    return f"{lot.number} is no open lot of {material}: {why}.", True
