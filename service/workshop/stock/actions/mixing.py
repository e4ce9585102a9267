"""What is poured together: read, checked as a plan, and what follows for the lot it makes."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from service.errors import Fault, Invalid, Remedy, at
from service.office.workshop_card.queries import zone
from service.science.units import Quantity
from service.store.session import ReadSession
from service.workshop.materials import queries as materials
from service.workshop.materials.queries import Material
from service.workshop.materials.rules import COUNTED
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot
from service.workshop.stock.actions.amounts import kept
from service.workshop.stock.bodies import Entered, PartIn, TopUpIn

_KEPT_AS_POURED = "Kept as it happened; opens a deviation that its release must conclude."
_LONGEST_CONDITION = 300


@dataclass(frozen=True, slots=True)
class Part:
    """A lot that goes into a mixture, in mg, and where the body names it."""

    lot: Lot
    amount: int
    what: str
    on_ledger: bool
    pointer: str
    entered: Quantity | None = None
    density: Decimal | None = None
    said: str | None = None  # which density a volume was converted with


@dataclass(frozen=True, slots=True)
class Follows:
    """What follows for a mixture from the lots in it."""

    quality: str
    condition: str | None
    product: str | None
    expires_on: date | None
    retest_on: date | None
    ready_on: date | None


def part_of(session: ReadSession, lot: Lot, wanted: PartIn, pointer: str) -> Part:
    """Raises Invalid, DensityNeeded."""
    part = Part(lot, 0, wanted.what, wanted.on_ledger, pointer)
    return weighed(session, part, wanted.amount, f"{pointer}/amount")


def weighed(session: ReadSession, part: Part, entered: Entered, pointer: str) -> Part:
    """A part with its amount in mg. Raises Invalid, DensityNeeded."""
    lot = part.lot
    if lot.measure == "count":
        wrong = f"{lot.number} is kept by count and cannot be poured together with anything."
        raise Invalid(wrong, at(part.pointer, wrong, "lot-counted"))
    found = kept(session, entered, queries.subject_chain(lot), measure="mass", pointer=pointer)
    return Part(
        lot,
        found.amount,
        part.what,
        part.on_ledger,
        part.pointer,
        entered.quantity,
        found.density,
        found.said,
    )


def parts_named(session: ReadSession, wanted: Sequence[PartIn], pointer: str) -> list[Part]:
    """The parts beside the heel. Raises Invalid, DensityNeeded."""
    found = []
    for place, each in enumerate(wanted):
        here = f"{pointer}/{place}"
        lot = queries.lot_in_body(session, each.lot, pointer=f"{here}/lot")
        found.append(part_of(session, lot, each, here))
    return found


def check_each_once(parts: Sequence[Part]) -> None:
    """Raises Invalid for a lot that is poured in twice."""
    seen: set[int] = set()
    for part in parts:
        if part.lot.row_id in seen:
            wrong = f"{part.lot.number} stands here twice."
            hint = "Add its amounts up; what was left of the lot at this address is the heel."
            faults = at(part.pointer, wrong, "lot-twice", hint=hint, remedies=_merged(parts))
            raise Invalid(wrong, faults)
        seen.add(part.lot.row_id)


def _merged(parts: Sequence[Part]) -> tuple[Remedy, ...]:
    """The amounts of each lot added up; those of the heel stand apart in the body."""
    heel, *others = parts
    sums: dict[int, tuple[Part, int]] = {}
    for part in others:
        if part.lot.row_id != heel.lot.row_id:
            sums[part.lot.row_id] = (part, sums.get(part.lot.row_id, (part, 0))[1] + part.amount)
    if not sums:
        return ()
    patch = [again(part, amount) for part, amount in sums.values()]
    return (Remedy("each is one lot, its amounts together", {"with": patch}),)


def again(part: Part, amount: int) -> dict[str, Any]:
    """A part as a body may name it, with another amount."""
    named: dict[str, Any] = {"lot": part.lot.number, "amount": queries.said(part.lot, amount)}
    if part.what != "stock":
        named["what"] = part.what
    return named if part.on_ledger else {**named, "on_ledger": False}


def material_of(session: ReadSession, parts: Sequence[Part], wanted: str | None) -> Material:
    """What the mixture is: as stated, else what all its parts are. Raises Invalid."""
    if wanted is not None:
        found = materials.named_in_body(session, wanted, pointer="#/material")
        if found.kind in COUNTED:
            wrong = f"{found.code} is kept by count; nothing poured together is that."
            raise Invalid(wrong, at("#/material", wrong, "material-counted"))
        return found
    codes = list(dict.fromkeys(part.lot.material for part in parts))
    if len(codes) > 1:
        wrong = f"{' and '.join(codes)} are poured together; it is not said what that is."
        ways = tuple(Remedy(f"it is {code}", {"material": code}) for code in codes)
        raise Invalid(wrong, at("#/material", wrong, "material-needed", remedies=ways))
    return materials.material(session, codes[0])


def check_plan(session: ReadSession, parts: Sequence[Part], on: date, wanted: TopUpIn) -> None:
    """Raises Invalid for a lot that is rejected or has expired, StockShort beyond what is left;
    one in quarantine may be poured, and what it goes into is in quarantine too."""
    faults: list[Fault] = []
    for part in parts:
        lot = part.lot
        why = rules.blocked(lot, on)
        if why is not None and lot.quality != "quarantine":
            text = f"{lot.number} is not poured in: {why}."
            faults += at(part.pointer, text, "lot-not-open", remedies=_ways(parts, part, wanted))
    if faults:
        raise Invalid(faults[0].detail, tuple(faults))
    remains = queries.left(session, [part.lot.row_id for part in parts])
    for part in parts:
        left = remains[part.lot.row_id]
        if part.on_ledger and part.amount > left:
            raise _short(parts, part, left, wanted)


def _ways(parts: Sequence[Part], bad: Part, wanted: TopUpIn) -> tuple[Remedy, ...]:
    happened = Remedy("it is poured already", {"poured": True}, _KEPT_AS_POURED)
    others = [part for part in parts[1:] if part is not bad]
    if bad is parts[0] or not others:
        return (happened,)
    without = {"with": _sent_again(wanted, {parts.index(bad) - 1: None})}
    return (happened, Remedy(f"{bad.lot.number} is left out", without))


def _sent_again(wanted: TopUpIn, changes: dict[int, str | None]) -> list[Any]:
    """The parts as they were sent, but for other amounts by place; None leaves one out."""
    rows = wanted.model_dump(mode="json", by_alias=True, exclude_unset=True)["with"]
    return [
        {**row, "amount": changes[place]} if place in changes else row
        for place, row in enumerate(rows)
        if changes.get(place, "") is not None
    ]


def _short(parts: Sequence[Part], part: Part, left: int, wanted: TopUpIn) -> rules.StockShort:
    lot, there = part.lot, queries.said(part.lot, left)
    asked = queries.said(lot, part.amount)
    wrong = f"{asked} of {lot.number} ({lot.material}) is asked for; {there} is left."
    ways = [Remedy("it is poured already", {"poured": True}, _KEPT_AS_POURED)]
    if left > 0:
        less: Any = {"heel": there}
        if part is not parts[0]:
            less = {"with": _sent_again(wanted, {parts.index(part) - 1: there})}
        ways.append(Remedy(f"only what is left is poured: {there}", less))
    faults = at(f"{part.pointer}", wrong, "stock-short", remedies=tuple(ways))
    return rules.StockShort(wrong, faults, more={"lot": lot.number, "left": there})


def follows(material: Material, lots: Sequence[Lot]) -> Follows:
    """Released only where all of it is and the material's lots start so; the earliest day by which
    any of it expires or is looked at again; ready when the last of it is."""
    all_released = all(lot.quality == "released" for lot in lots)
    quality = material.lots_start_as if all_released else "quarantine"
    conditions = [f"{lot.number}: {lot.condition}" for lot in lots if lot.condition]
    products = {lot.product for lot in lots}
    same = len(products) == 1 and all(lot.material == material.code for lot in lots)
    return Follows(
        quality=quality,
        condition="; ".join(conditions)[:_LONGEST_CONDITION] or None,
        product=products.pop() if same else None,
        expires_on=rules.earliest(*(lot.expires_on for lot in lots)),
        retest_on=rules.earliest(*(lot.retest_on for lot in lots)),
        ready_on=max((lot.ready_on for lot in lots if lot.ready_on), default=None),
    )


def check_day(name: str, wanted: date | None, earliest: date | None) -> date | None:
    """The day stated, else that of the lot that comes first. Raises Invalid for a later one."""
    if wanted is None or earliest is None or wanted <= earliest:
        return wanted or earliest
    wrong = f"Part of it has {earliest.isoformat()}; mixing makes nothing keep longer."
    remedies = (Remedy(f"{earliest.isoformat()} stands", {name: None}),)
    raise Invalid(wrong, at(f"#/{name}", wrong, "later-than-its-parts", remedies=remedies))


def day_of(session: ReadSession, happened_at: Any) -> date:
    """The day in the workshop on which it was poured."""
    found: date = (happened_at or session.now).astimezone(zone(session)).date()
    return found
