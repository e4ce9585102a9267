"""The lines as they are weighed: targets, the lots they come from, and what must be bought."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from service.errors import Remedy, at
from service.office.equipment.queries import LISTING
from service.science.rounding import decimal_of, plain, round_half_even, round_significant
from service.store.lists import MOST, Ask, page
from service.web.fields import Amount, Figure
from service.workshop.recipes.figures import absent, binder
from service.workshop.recipes.queries import recipes_of_material
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.bodies import Compared, Rounding, Shopping, Take, TargetOut
from service.workshop.scalings.costs import pack_parts
from service.workshop.scalings.makes import Outcome
from service.workshop.scalings.plan import Plan
from service.workshop.scalings.rules import MG, Target, TooSmallToWeigh, split, weighed
from service.workshop.stock.queries import open_lots

RATIO_DIGITS = 5
FINER = Decimal("0.01")  # of the balance's step: how finely the exact figure is told


def weighable(plan: Plan, aims: Sequence[Target]) -> None:
    """Raises TooSmallToWeigh for a line that the balance would read as nothing."""
    small = min(aims, key=lambda aim: aim.exact_g)
    if small.rounded_g:
        return
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
        if reads is not None and round_half_even(smallest_g * MG, Decimal(reads)):
            yield Remedy(f"{row.code} weighs it", {"balance": row.code})


def lines(plan: Plan, aims: Sequence[Target]) -> list[TargetOut]:
    """Every line with its target, taken from the open lots in their order."""
    held = {
        code: {open_lot.lot.number: open_lot.left for open_lot in lots}
        for code, lots in plan.open.items()
    }
    stages = {line.line: line.stage for line in plan.lines}
    return [_line(plan, aim, held[aim.material], stages[aim.line]) for aim in aims]


def _line(plan: Plan, aim: Target, held: dict[str, int], stage: str) -> TargetOut:
    taken, short = split(aim.rounded_mg, held)
    for lot, amount in taken.items():
        held[lot] -= amount  # another line of the same material finds what this one leaves
    exact = round_half_even(aim.exact_g, plan.balance.step_g * FINER)
    return TargetOut(
        line=aim.line,
        material=aim.material,
        stage=stage,
        target=Figure(value=plain(aim.rounded_g), unit="g", basis="calculated"),
        exact=plain(exact),
        from_=[Take(lot=lot, take=_grams(amount)) for lot, amount in taken.items()],
        short=_grams(short) if short else None,
    )


def _grams(mg: int) -> Amount:
    """Grams, also of a large mass: a bench writes one unit down the page."""
    value = plain(Decimal(mg) / MG)
    return Amount(value=value, unit="g")


def rounding(plan: Plan, aims: Sequence[Target]) -> Rounding:
    """What rounding did to the whole and to the oil length."""
    step = plan.balance.step_g
    off = sum((Fraction(aim.rounded_g) - aim.exact_g for aim in aims), Fraction(0))
    exact, rounded = (
        _ratio(plan, charge) for charge in (plan.charges, weighed(aims, plan.charges))
    )
    return Rounding(
        to=f"{plain(step)} g",
        total=Figure(value=plain(round_half_even(off, step / 10)), unit="g", basis="calculated"),
        oil_to_resin=Compared(exact=exact, rounded=rounded) if exact and rounded else None,
    )


def _ratio(plan: Plan, charge: Sequence[Charge]) -> str | None:
    found = binder(plan.of, charge)
    if isinstance(found, list) or absent(found):
        return None
    return plain(round_significant(decimal_of(found.ratio), RATIO_DIGITS))


def shopping(plan: Plan, found: Outcome, rows: Sequence[TargetOut]) -> list[Shopping]:
    """What no open lot holds, each material once; packs by count."""
    missing: dict[str, Decimal] = {}
    for row in rows:
        if row.short is not None:
            missing[row.material] = missing.get(row.material, Decimal(0)) + Decimal(row.short.value)
    weighed_out = [
        Shopping(
            material=code,
            amount=_grams(int(grams * MG)),
            made_by=_made_by(plan, code),
        )
        for code, grams in missing.items()
    ]
    return [*weighed_out, *_packs(plan, found)]


def _made_by(plan: Plan, material: str) -> str | None:
    return next((row.code for row in recipes_of_material(plan.session, material)), None)


def _packs(plan: Plan, found: Outcome) -> Iterator[Shopping]:
    for part in pack_parts(found):
        there = sum(held.left for held in open_lots(plan.session, part))
        if there < found.jars:
            yield Shopping(material=part, amount=found.jars - there, made_by=None)
