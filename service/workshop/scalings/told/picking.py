"""The lines as they are weighed: targets, the lots they come from, and what must be bought."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from service.errors import Remedy, at
from service.office.equipment.queries import LISTING
from service.science.exact import added
from service.science.pots import Left
from service.science.rounding import decimal_of, plain, round_half_even, round_significant
from service.store.lists import MOST, Ask, page
from service.web.fields import Amount, Figure
from service.workshop.recipes.figures import absent, binder
from service.workshop.recipes.queries import Line
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.bodies import (
    Compared,
    LossOut,
    OtherLot,
    Rounding,
    Take,
    TargetOut,
)
from service.workshop.scalings.charge.bench import fallen
from service.workshop.scalings.charge.kettles import grams_per_unit
from service.workshop.scalings.charge.losses import lost
from service.workshop.scalings.charge.makes import Outcome
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.rules import MG, Target, TooSmallToWeigh, split, weighed

RATIO_DIGITS = 5
_BY_BATCHES = ("more, by the last batches", "less, by the last batches")
_NOT_FOUND, _FOUND_MORE = "not found on weighing", "found more on weighing"
FINER = Decimal("0.01")  # of the balance's step: how finely the exact figure is told


def no_more_than_named(found: Outcome, aims: Sequence[Target], *, step_g: Decimal) -> list[Target]:
    """Of an ingredient that was named there is no more than that: its lines are rounded down."""
    return [
        aim._replace(rounded_g=aim.exact_g // Fraction(step_g) * step_g)
        if aim.material == found.named
        else aim
        for aim in aims
    ]


def weighable(plan: Plan, aims: Sequence[Target]) -> None:
    """Raises TooSmallToWeigh for a line that the balance would read as nothing."""
    nothing = [aim for aim in aims if not aim.rounded_g]
    if not nothing:
        return
    small = min(nothing, key=lambda aim: aim.exact_g)
    exact = plain(round_significant(decimal_of(small.exact_g), 2))
    step = plain(plan.balance.step_g)
    wrong = f"Line {small.line} needs {exact} g of {small.material}; the balance reads {step} g."
    hint = "Name a finer balance, make more, or weigh it in as a solution."
    ways = tuple(_finer(plan, small.exact_g))
    fault = at("#/balance", wrong, "too-small-to-weigh", hint=hint, remedies=ways)
    raise TooSmallToWeigh(wrong, fault)


def _finer(plan: Plan, smallest_g: Fraction) -> Iterator[Remedy]:
    """The balances on which the smallest line would read as something."""
    for row in page(plan.session, LISTING, Ask(limit=MOST, equal={"kind": "balance"})).rows:
        reads = row.reads_to_mg
        if reads and round_half_even(smallest_g * MG, Decimal(reads)):
            yield Remedy(f"{row.code} weighs it", {"balance": row.code})


def lines(plan: Plan, aims: Sequence[Target]) -> list[TargetOut]:
    """Every line with its target, taken from the open lots in their order."""
    held = {
        code: {open_lot.lot.number: open_lot.left for open_lot in lots}
        for code, lots in plan.open.items()
    }
    by_line = {aim.line: aim for aim in aims}
    told = {each.line: each.how for each in plan.done.charged}
    return [
        _line(plan, row, by_line.get(row.line), held[row.material], how=told[row.line])
        for row in plan.lines
    ]


def _line(
    plan: Plan, row: Line, aim: Target | None, held: dict[str, int], *, how: str
) -> TargetOut:
    taken, short = split(aim.rounded_mg if aim else 0, held)
    others = {lot: left for lot, left in held.items() if lot not in taken and left > 0}
    for lot, amount in taken.items():
        held[lot] -= amount  # another line of the same material finds what this one leaves
    expiry = {each.lot.number: each.lot.expires_on for each in plan.open[row.material]}
    return TargetOut(
        line=row.line,
        material=row.material,
        stage=row.stage,
        target=aim and _target(plan, aim),
        exact=aim and plain(_exact(plan, aim)),
        how="as it was weighed" if aim and aim.weighed else how,
        tolerance=_tolerance(plan, row, aim),
        condition=row.condition,
        from_=[Take(lot=lot, take=grams(amount)) for lot, amount in taken.items()],
        others=[
            OtherLot(lot=lot, left=grams(left), expires_on=_day(expiry[lot]))
            for lot, left in others.items()
        ],
        short=grams(short) if short else None,
    )


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _target(plan: Plan, aim: Target) -> Figure:
    if not aim.weighed:
        return Figure(value=plain(aim.rounded_g), unit="g", basis="calculated")
    how = {"basis": "measured", "method": "weighed at the bench"}
    note = plan.notes.add("weighed", how)
    return Figure(value=plain(aim.rounded_g), unit="g", basis="measured", note=note)


def _exact(plan: Plan, aim: Target) -> Decimal:
    return round_half_even(aim.exact_g, plan.balance.step_g * FINER)


def _tolerance(plan: Plan, row: Line, aim: Target | None) -> Amount | None:
    """The line's own tolerance in whole steps of the balance, one at least."""
    if row.tolerance is None or aim is None:
        return None
    step = plan.balance.step_mg
    share = Fraction(row.tolerance) / 100 * aim.rounded_mg / step
    return grams(step * max(1, round(share)))


def grams(mg: int) -> Amount:
    """Grams, also of a large mass: a bench writes one unit down the page."""
    value = plain(Decimal(mg) / MG)
    return Amount(value=value, unit="g")


def shown_losses(plan: Plan, found: Outcome) -> list[LossOut]:
    """What leaves at each stage, in g to three digits; what comes to it is negative."""
    each = grams_per_unit(plan, found.mass_g)
    return [_loss(left, grams=left.mass * each) for left in (*plan.done.left, *_by_batches(plan))]


def _loss(left: Left, *, grams: Fraction) -> LossOut:
    found_more = left.what == _NOT_FOUND and grams < 0
    size = plain(round_significant(decimal_of(grams), 3))
    return LossOut(
        stage=left.stage,
        what=_FOUND_MORE if found_more else left.what,
        mass=Figure(value=size, unit="g", basis=left.basis),
    )


def _by_batches(plan: Plan) -> Iterator[Left]:
    """What the last batches lost beyond all that was worked out, or less than that."""
    if "loss" not in plan.assumed:
        return
    worked_out = added(left.mass for left in plan.done.left)
    charged = added(each.mass or Fraction(0) for each in plan.done.charged)
    if more := lost(plan.charges) * charged - worked_out:
        yield Left(plan.stages[-1], _BY_BATCHES[more < 0], more, "measured")


def rounding(plan: Plan, aims: Sequence[Target]) -> Rounding:
    """What rounding did to the whole and to the oil length."""
    step = plan.balance.step_g
    off = added(Fraction(aim.rounded_g) - aim.exact_g for aim in aims)
    exact, rounded = (
        _ratio(plan, charge) for charge in (fallen(plan, aims), weighed(aims, plan.charges))
    )
    return Rounding(
        to=f"{plain(step)} g",
        total=Figure(value=plain(round_half_even(off, step / 10)), unit="g", basis="calculated"),
        oil_to_resin=Compared(exact=exact, rounded=rounded) if exact and rounded else None,
    )


def oil_to_resin(plan: Plan, charge: Sequence[Charge]) -> Fraction | None:
    """Of a charge; None where it has not both, or of something is not known what it is."""
    found = binder(plan.of, charge)
    return None if isinstance(found, list) or absent(found) else found.ratio


def _ratio(plan: Plan, charge: Sequence[Charge]) -> str | None:
    found = oil_to_resin(plan, charge)
    return None if found is None else plain(round_significant(decimal_of(found), RATIO_DIGITS))


def short_of(rows: Sequence[TargetOut]) -> dict[str, int]:
    """What no open lot holds, by material in mg."""
    missing: dict[str, int] = {}
    for row in rows:
        if row.short is not None:
            mg = int(Decimal(row.short.value) * MG)
            missing[row.material] = missing.get(row.material, 0) + mg
    return missing
