"""What a charge costs by the latest receipts, and what of it has no price."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from service.office.workshop_card.queries import card
from service.science.rounding import plain, round_half_even
from service.workshop.recipes.bodies import Undecided
from service.workshop.scalings.bodies import CostFigure
from service.workshop.scalings.makes import Outcome
from service.workshop.scalings.plan import Plan
from service.workshop.scalings.rules import Target
from service.workshop.stock.queries import latest_price, unit_price

CENT = Decimal("0.01")
_PER_JAR = "Materials and packs, per jar"
_WHOLE = "Materials, the whole charge"


@dataclass
class Sum:
    """Money added up, and the materials that have no price."""

    total: Fraction = Fraction(0)
    missing: list[str] = field(default_factory=list)
    priced: bool = False

    def add(self, material: str, amount: Fraction, per: Fraction | None) -> None:
        if per is None:
            self.missing.append(material)
        else:
            self.total += amount * per
            self.priced = True


def cost(plan: Plan, found: Outcome, targets: Sequence[Target]) -> CostFigure | Undecided:
    """The cost of the charge as weighed: per jar where jars are asked for, else of all of it."""
    label = _PER_JAR if found.jars else _WHOLE
    currency = card(plan.session).currency
    if currency is None:
        missing = ["currency of the workshop"]
        return Undecided(name="cost", label=label, missing=missing)
    summed = Sum()
    for target in targets:
        _add(plan, summed, target.material, amount=Fraction(target.rounded_mg))
    for part in pack_parts(found):
        price = latest_price(plan.session, part)
        summed.add(part, Fraction(found.jars), None if price is None else price.per)
    missing = list(dict.fromkeys(summed.missing))
    if not summed.priced:
        return Undecided(name="cost", label=label, missing=[f"price of {code}" for code in missing])
    note = {"basis": "calculated", "how": "latest receipt prices"}
    return CostFigure(
        name="cost",
        label=label,
        value=plain(round_half_even(summed.total / (found.jars or 1), CENT)),
        unit=currency,
        at_least=bool(missing),
        basis="calculated",
        note=plan.notes.add("cost", {**note, "missing": missing} if missing else note),
    )


def pack_parts(found: Outcome) -> list[str]:
    """The container, the closure and the label that each jar takes."""
    if found.pack is None:
        return []
    parts = (found.pack.container, found.pack.closure, found.pack.label)
    return [part for part in parts if part is not None]


def _add(
    plan: Plan, summed: Sum, material: str, *, amount: Fraction, above: tuple[str, ...] = ()
) -> None:
    """Add a material by its latest receipt, else by its lot's cost, else through its recipe."""
    price = latest_price(plan.session, material)
    per = None if price is None else price.per
    if per is None and (held := plan.open.get(material)):
        per = unit_price(plan.session, held[0].lot)
    inner = plan.of.made_of(material, above) if per is None else []
    if not inner:
        summed.add(material, amount, per)
    for line in inner:
        part = amount * line.charged
        _add(plan, summed, line.material, amount=part, above=(*above, material))
