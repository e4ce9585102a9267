"""Which lots the lines of a plan are to be weighed from; what is not there is no plan."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from typing import Any

from service.errors import Fault, Invalid, Refused, Remedy, at
from service.office.workshop_card.queries import today
from service.science import units
from service.store.session import ReadSession
from service.web.amounts import mass, whole
from service.workshop.batches import queries
from service.workshop.batches.bodies.plans import BatchIn
from service.workshop.batches.queries.plan.targets import mg
from service.workshop.deviations.bodies import Flag
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.rules import most_of, split
from service.workshop.stock import queries as stock
from service.workshop.stock.rules import DEAD, StockShort, blocked, looked_at_again

Frozen = dict[str, Any]
_WILL_BE_THERE = "It will be there on the day."
_LOOKED_AT = "Looked at, and fit for use."
_MAY_OVERRIDE = "A key with the scope release may override it with override_reason."


@dataclass
class Allotment:
    """The lots of every line, what none of them holds (mg, by material), what to look at, and
    what the plan is refused for, once nothing more dangerous was found."""

    lots: dict[int, tuple[str, ...]] = field(default_factory=dict)
    short: dict[str, int] = field(default_factory=dict)
    flags: list[Flag] = field(default_factory=list)
    refusal: Refused | None = None


@dataclass(frozen=True)
class Asking:
    """A plan that is asked for: the body as it was sent, and the scaling it goes by."""

    session: ReadSession
    wanted: BatchIn
    plan: Frozen
    reserved: queries.Reserved
    coming: Mapping[str, int]

    @property
    def pointer(self) -> str:
        return "#/scaling" if self.wanted.scaling else "#/for"

    @property
    def may_override(self) -> bool:
        return "release" in self.session.actor.scopes

    @property
    def overrides(self) -> bool:
        return self.may_override and self.wanted.override_reason is not None

    def anew(self, wanted: str) -> dict[str, Any]:
        """The merge patch that asks for another mass, of the recipe where a scaling was named."""
        named = {"scaling": None, "recipe": self.plan["recipe"]} if self.wanted.scaling else {}
        return {**named, "for": wanted}


def allot(asking: Asking) -> Allotment:
    """Lots for every line: those of the scaling as far as they are still free, then other open
    ones. Refused is a lot that is not open, and what is not there; with a reason and a key with
    the scope release both are flagged instead."""
    session, lines = asking.session, asking.plan["lines"]
    named = dict.fromkeys(taken["lot"] for line in lines for taken in line["from"])
    rows = [stock.lot(session, number) for number in named]
    found = Allotment()
    not_open = _not_open(asking, rows, found)
    shelf = stock.open_lots_of(session, {line["material"] for line in lines})
    held = [each.lot for lots in shelf.values() for each in lots]
    free = _free(asking, [*rows, *held])
    for line in lines:
        others = [each.lot.number for each in shelf[line["material"]]]
        own = [taken["lot"] for taken in line["from"]]
        order = dict.fromkeys([*own, *others])
        taken, short = split(mg(line["target"]), {number: free[number] for number in order})
        for number, amount in taken.items():
            free[number] -= amount
        found.lots[line["line"]] = tuple(taken)
        if short:
            found.short[line["material"]] = found.short.get(line["material"], 0) + short
    found.refusal = not_open or _short(asking, found)
    return found


def _free(asking: Asking, lots: Iterable[stock.Lot]) -> dict[str, int]:
    keys = {lot.number: lot.row_id for lot in lots}
    left = stock.left(asking.session, keys.values())
    return {number: left[key] - asking.reserved.lots.get(key, 0) for number, key in keys.items()}


def _not_open(asking: Asking, rows: Iterable[stock.Lot], found: Allotment) -> Invalid | None:
    """The refusal for lots that are in quarantine, rejected or past their days."""
    now, day = today(asking.session), asking.wanted.on
    faults: list[Fault] = []
    for lot in rows:
        why = blocked(lot, now)
        if why is None:
            found.flags += _past_by_then(lot, day)
            continue
        if lot.quality not in DEAD and asking.overrides:
            text = f"{lot.number} is taken though {why}."
            found.flags.append(Flag(code="lot-overridden", text=text))
        else:
            text = f"{lot.number} feeds no line: {why}."
            faults += at(asking.pointer, text, "lot-not-open", **_ways(asking, lot))
    if not faults:
        return None
    return Invalid(" ".join(fault.detail for fault in faults), tuple(faults))


def _past_by_then(lot: stock.Lot, day: date | None) -> Iterator[Flag]:
    """What of an open lot's days lies before the day for which the batch is planned."""
    if day is None:
        return
    before = "before the day of the batch"
    if lot.expires_on is not None and lot.expires_on < day:
        text = f"{lot.number} expires on {lot.expires_on}, {before}."
        yield Flag(code="lot-expires-before", text=text)
    if lot.retest_on is not None and lot.retest_on < day:
        text = f"{lot.number} is to be looked at again by {lot.retest_on}, {before}."
        yield Flag(code="lot-retest-before", text=text)


def _ways(asking: Asking, lot: stock.Lot) -> dict[str, Any]:
    """How to plan without a lot that is not open: scaled anew, or overridden."""
    makes = asking.plan["makes"]["mass"]
    there = [held.lot.number for held in stock.open_lots(asking.session, lot.material)]
    ways = []
    if there:
        anew = {**asking.anew(f"{makes['value']} {makes['unit']}"), "choose": {lot.material: None}}
        ways.append(Remedy("it is scaled anew, with the lots that are open", anew))
    hint = f"Open lots of {lot.material}: {', '.join(there) or 'none'}."
    if lot.quality not in DEAD:
        if asking.may_override:
            ways.append(_override("it may be used all the same", _LOOKED_AT))
        else:
            hint = f"{hint} {_MAY_OVERRIDE}"
    hint += looked_at_again(lot, today(asking.session))
    return {"hint": hint, "remedies": tuple(ways)}


def _override(if_: str, reason: str) -> Remedy:
    then = "The batch says that it was overridden, and why."
    return Remedy(if_, {"override_reason": reason}, then)


def _short(asking: Asking, found: Allotment) -> StockShort | None:
    """The refusal for what is not there. What is still to be made counts as there, and is told."""
    coming = _coming(asking)
    need = _needed(asking.plan)
    faults: list[Fault] = []
    for code, missing in found.short.items():
        free = _said(need[code] - missing)
        text = f"{_said(need[code])} of {code} is planned; {free} is free."
        if coming.get(code, 0) >= missing:
            told = f"{text} What batches under way make of it will do."
            found.flags.append(Flag(code="stock-to-come", text=told))
        elif asking.overrides:
            found.flags.append(Flag(code="stock-short", text=text))
        else:
            faults += at(asking.pointer, text, "stock-short")
    return _refusal(asking, faults, found) if faults else None


def _coming(asking: Asking) -> dict[str, int]:
    """What is being made, less what other batches wait for."""
    found = dict(asking.coming)
    for need, short in asking.reserved.uncovered:
        found[need.material] = found.get(need.material, 0) - short
    return found


def _needed(plan: Frozen) -> dict[str, int]:
    need: dict[str, int] = {}
    for line in plan["lines"]:
        need[line["material"]] = need.get(line["material"], 0) + mg(line["target"])
    return need


def _refusal(asking: Asking, faults: Sequence[Fault], found: Allotment) -> StockShort:
    ways = _less(asking, found)
    hint = "Take in what is missing, or plan less."
    if asking.may_override:
        ways.append(_override("it will be there", _WILL_BE_THERE))
    else:
        hint = f"{hint} {_MAY_OVERRIDE}"
    first = replace(faults[0], hint=hint, remedies=tuple(ways))
    detail = " ".join(fault.detail for fault in faults)
    short = {code: _said(missing) for code, missing in found.short.items()}
    return StockShort(detail, (first, *faults[1:]), more={"short": short})


def _less(asking: Asking, found: Allotment) -> list[Remedy]:
    """As much as what is free makes, in whole grams; the weights of a bench are what they are."""
    plan = asking.plan
    makes, need = mg(plan["makes"]["mass"]), _needed(plan)
    charges = [
        Charge(line["line"], line["material"], Fraction(part, makes), Fraction(0))
        for line in plan["lines"]
        if (part := mg(line["target"]))
    ]
    held = {code: amount - found.short.get(code, 0) for code, amount in need.items()}
    # Twice the step: these shares come from targets that were rounded once already.
    step = 2 * (whole(units.parse(plan["rounding"]["to"], "mass")) or 1)
    most = most_of(charges, held, step_mg=step)
    grams = 0 if most is None else int(most.makes_g)
    if grams < 1 or asking.wanted.bench is not None:
        return []
    return [Remedy(f"{grams} g will do", asking.anew(f"{grams} g"))]


def _said(mg: int) -> str:
    shown = mass(mg)
    return "" if shown is None else f"{shown.value} {shown.unit}"
