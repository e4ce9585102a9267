"""What must be made or bought first: intermediates taken apart level by level, stock used once."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from service.errors import at
from service.science.rounding import round_half_even
from service.web.fields import Amount
from service.workshop.recipes.rules import MOST_LEVELS, TooDeep
from service.workshop.scalings.bodies import Shopping, TargetOut, ToMake, ToWeigh
from service.workshop.scalings.charge.losses import LastLoss, by_last, last_losses
from service.workshop.scalings.charge.makes import Outcome
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.costing.costs import pack_parts
from service.workshop.scalings.rules import MG
from service.workshop.scalings.told.picking import grams, short_of
from service.workshop.stock.queries import open_lots_of

_DECLARED = "as its recipe declares it, and what reactions take"


@dataclass(frozen=True, slots=True)
class Wanted:
    """So much of a material, in mg, for what, at which level, by which way."""

    material: str
    amount_mg: int
    for_: str
    way: tuple[str, ...]


@dataclass
class Needs:
    """What is to be made, and what is to be bought, each material once."""

    to_make: list[ToMake] = field(default_factory=list)
    to_buy: dict[str, int] = field(default_factory=dict)
    made_by: dict[str, str] = field(default_factory=dict)
    lost: dict[str, LastLoss | None] = field(default_factory=dict)  # by material, asked once


def needs(plan: Plan, rows: Sequence[TargetOut]) -> Needs:
    """Take apart what the shelf lacks. Raises TooDeep."""
    found, start = Needs(), plan.recipe.makes
    held = {code: sum(lot.left for lot in lots) for code, lots in plan.open.items()}
    for row in rows:
        held[row.material] -= sum(int(Decimal(each.take.value) * MG) for each in row.from_)
    short = short_of(rows)
    level = [Wanted(code, amount, start, (start,)) for code, amount in short.items()]
    while level:
        _ask_for_losses(plan, level, found)
        level = [below for one in level for below in _taken_apart(plan, one, found)]
        level = _from_stock(plan, level, held)
    return found


def _ask_for_losses(plan: Plan, level: Sequence[Wanted], found: Needs) -> None:
    """What the last batches of everything made at a level lost, in one query."""
    made = {
        one.material: (made.recipe, made.version)
        for one in level
        if one.material not in found.lost
        and (made := plan.of.made(one.material, one.way)) is not None
    }
    lost = last_losses(plan.session, made.values())
    found.lost.update({material: lost[version] for material, version in made.items()})


def _taken_apart(plan: Plan, one: Wanted, found: Needs) -> list[Wanted]:
    """What a short intermediate needs, or nothing for what must be bought."""
    way = (*one.way, one.material)
    made = plan.of.made(one.material, one.way)
    if made is not None:
        _check_depth(way)
        found.made_by[one.material] = made.recipe
    if made is None or not made.work.charges:  # also where a value for its lines is missing
        found.to_buy[one.material] = found.to_buy.get(one.material, 0) + one.amount_mg
        return []
    last = found.lost[one.material]
    charges = made.work.charges if last is None else by_last(made.work.charges, last)
    below = [
        Wanted(line.material, _rounded(plan, line.charged * one.amount_mg), one.material, way)
        for line in charges
        if line.charged
    ]
    found.to_make.append(
        ToMake(
            material=one.material,
            recipe=made.recipe,
            version=made.version,
            amount=grams(one.amount_mg),
            for_=one.for_,
            level=len(way) - 1,
            lines=[ToWeigh(material=each.material, amount=grams(each.amount_mg)) for each in below],
            loss=_DECLARED if last is None else last.told,
        )
    )
    return below


def _check_depth(way: Sequence[str]) -> None:
    """Raises TooDeep. No recipe may be written so, but what is deeper would be reckoned long."""
    if len(way) - 1 > MOST_LEVELS:
        wrong = f"More than {MOST_LEVELS} levels: {' needs '.join(way)}."
        hint = "Make one of them from what it is made of, in one recipe."
        raise TooDeep(wrong, at("#", wrong, "too-deep", hint=hint))


def _rounded(plan: Plan, mg: Fraction) -> int:
    return int(round_half_even(mg, Decimal(plan.balance.step_mg)))


def _from_stock(plan: Plan, level: Sequence[Wanted], held: dict[str, int]) -> list[Wanted]:
    """What of a level the shelf does not hold, each gram on it taken once."""
    new = dict.fromkeys(one.material for one in level if one.material not in held)
    for code, lots in open_lots_of(plan.session, new).items() if new else ():
        held[code] = sum(each.left for each in lots if each.lot.measure == "mass")
    short = []
    for one in level:
        taken = min(held[one.material], one.amount_mg)
        held[one.material] -= taken
        if one.amount_mg > taken:
            short.append(Wanted(one.material, one.amount_mg - taken, one.for_, one.way))
    return short


def shopping(plan: Plan, found: Outcome, missing: Needs) -> list[Shopping]:
    """What is to be bought, each material once; what is to be made is named with its recipe."""
    first = {one.material: one.amount for one in missing.to_make if one.level == 1}
    made = [
        Shopping(material=code, amount=amount, made_by=missing.made_by[code])
        for code, amount in first.items()
    ]
    bought = [
        Shopping(material=code, amount=_bought(amount), made_by=missing.made_by.get(code))
        for code, amount in missing.to_buy.items()
    ]
    return [*made, *bought, *_packs(plan, found)]


def _bought(amount_mg: int) -> Amount:
    return grams(int(round_half_even(Decimal(amount_mg), Decimal(MG) / 100)))


def _packs(plan: Plan, found: Outcome) -> list[Shopping]:
    parts = pack_parts(found)
    there = open_lots_of(plan.session, parts) if parts else {}
    return [
        Shopping(material=part, amount=found.jars - held, made_by=None)
        for part in parts
        if (held := sum(each.left for each in there[part])) < found.jars
    ]
