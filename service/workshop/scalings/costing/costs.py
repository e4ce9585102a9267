"""What a charge costs by the lots that it takes, and what of it has no price."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.office.workshop_card.queries import card
from service.science.rounding import plain, round_half_even
from service.web.fields import Amount
from service.workshop.recipes.bodies import Undecided
from service.workshop.scalings.bodies import CostFigure, TargetOut
from service.workshop.scalings.charge.makes import Outcome
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.costing.prices import Cost, Prices, weighed
from service.workshop.scalings.rules import MG
from service.workshop.stock.queries import unit_prices

CENT = Decimal("0.01")
_PER_JAR = "Materials and packs, per jar"
_WHOLE = "Materials, the whole charge"
_SOURCES = {
    "taken": "prices of the lots taken",
    "receipt": "latest receipt prices",
    "lot": "lots at hand",
    "recipe": "recipes of what is made first, by their declared losses",
    "list": "list prices",
}
Spent = tuple[Cost, str | None]  # money, and which of the sources it is from


def cost(plan: Plan, found: Outcome, rows: Sequence[TargetOut]) -> CostFigure | Undecided:
    """The cost of the charge as weighed: per jar where jars are asked for, else of all of it."""
    label = _PER_JAR if found.jars else _WHOLE
    currency = card(plan.session).currency
    if currency is None:
        missing = ["currency of the workshop"]
        return Undecided(name="cost", label=label, missing=missing)
    spent = list(_spent(plan, found, rows))
    summed = sum((each for each, _ in spent), Cost())
    if not summed.priced:
        return Undecided(name="cost", label=label, missing=list(summed.missing))
    used = {source for _, source in spent}
    how = "; ".join(text for source, text in _SOURCES.items() if source in used)
    note: dict[str, Any] = {"basis": "calculated", "how": how}
    if summed.missing:
        note["missing"] = [text.removeprefix("price of ") for text in summed.missing]
    return CostFigure(
        name="cost",
        label=label,
        value=plain(round_half_even(summed.known / (found.jars or 1), CENT)),
        unit=currency,
        at_least=bool(summed.missing),
        basis="calculated",
        note=plan.notes.add("cost", note),
    )


def _spent(plan: Plan, found: Outcome, rows: Sequence[TargetOut]) -> Iterator[Spent]:
    """What each lot that is taken cost; what is short, and the parts of the jars, as such goods
    cost otherwise."""
    parts = pack_parts(found)
    prices = Prices(plan.session, plan.of, [*(row.material for row in rows), *parts])
    paid = _paid(plan, rows)
    for row in rows:
        price = prices.price(row.material)
        for each in row.from_:
            if (per := paid[each.lot]) is not None:
                yield Cost(per * _mg(each.take), True), "taken"
            else:
                yield weighed(price, row.material, _mg(each.take)), price.kind
        if row.short is not None:
            yield weighed(price, row.material, _mg(row.short)), price.kind
    for part in parts:
        price = prices.price(part)
        yield weighed(price, part, Fraction(found.jars)), price.kind


def _paid(plan: Plan, rows: Sequence[TargetOut]) -> dict[str, Fraction | None]:
    """By the lots that are taken, what a milligram of each cost, where that is known."""
    taken = {each.lot for row in rows for each in row.from_}
    lots = {held.lot.number: held.lot for every in plan.open.values() for held in every}
    per = unit_prices(plan.session, [lots[number] for number in taken])
    return {number: per[lots[number].row_id] for number in taken}


def _mg(size: Amount) -> Fraction:
    return Fraction(size.value) * MG


def pack_parts(found: Outcome) -> list[str]:
    """The container, the closure and the label that each jar takes."""
    if found.pack is None:
        return []
    parts = (found.pack.container, found.pack.closure, found.pack.label)
    return [part for part in parts if part is not None]
