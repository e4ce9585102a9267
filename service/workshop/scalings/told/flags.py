"""What to look at before the work: lines too small for the balance, values older than a cook, lots
unlike those a version was proved with."""

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from service.science.exact import added
from service.science.rounding import decimal_of, plain, round_significant
from service.science.weighing import minimum_net_mass
from service.workshop.scalings.bodies import FlagOut, TargetOut
from service.workshop.scalings.charge.bench import fallen
from service.workshop.scalings.charge.measured import unfollowed
from service.workshop.scalings.charge.plan import Plan, sentence
from service.workshop.scalings.rules import MG, Target
from service.workshop.scalings.told.lot_flags import lot_flags
from service.workshop.scalings.told.picking import oil_to_resin

MOST_OFF = Fraction(1, 100)  # from what a ratio should be, by what was weighed
_OF_LINE = re.compile(r"line (\d+): ")
USUAL_TOLERANCE = Decimal(1)  # percent of a line that a weighing may be unsure by


def flags(plan: Plan, aims: Sequence[Target], rows: Sequence[TargetOut]) -> list[FlagOut]:
    """In the order of the lines."""
    found = [
        *_small(plan, aims),
        *_heavy(plan, aims),
        *_older(plan),
        *lot_flags(plan, aims, rows),
        *_undecided(plan),
        *_unfollowed(plan),
        *_changed(plan, aims),
        *_notes(plan),
    ]
    return sorted(found, key=lambda flag: flag.line or 0)


def _small(plan: Plan, aims: Sequence[Target]) -> Iterator[FlagOut]:
    """Lines below what the balance can weigh to their tolerance."""
    own = {line.line: line.tolerance for line in plan.lines}
    for aim in aims:
        tolerance = own[aim.line] or USUAL_TOLERANCE
        least = minimum_net_mass(plan.balance.step_g, tolerance).minimum_net_mass_g
        if aim.rounded_g < least:
            text = (
                f"{plain(aim.rounded_g)} g of {aim.material} is less than the "
                f"{plain(round_significant(least, 2))} g that this balance can weigh to "
                f"{plain(tolerance)} %: take a finer one, or weigh it in as a solution."
            )
            yield FlagOut(code="below-minimum-mass", line=aim.line, text=text)


def _heavy(plan: Plan, aims: Sequence[Target]) -> Iterator[FlagOut]:
    """Lines that the balance cannot carry at once."""
    most = plan.balance.capacity_mg
    for aim in aims:
        if most is not None and aim.rounded_mg > most:
            text = (
                f"{plain(aim.rounded_g)} g of {aim.material} is more than the "
                f"{plain(Decimal(most) / MG)} g that {plan.balance.code} takes: weigh it in parts, "
                "or on another."
            )
            yield FlagOut(code="over-capacity", line=aim.line, text=text)


def _older(plan: Plan) -> Iterator[FlagOut]:
    for line in plan.done.before_reading:
        text = (
            "The acid value it follows from is older than the cook before it: measure acid value "
            "and mass at that stage, and send them as `measured`."
        )
        yield FlagOut(code="acid-before-cook", line=line, text=text)


def _undecided(plan: Plan) -> Iterator[FlagOut]:
    for name, what in plan.done.undecided:
        text = f"What reacts is not reckoned without the {what} of {name}."
        yield FlagOut(code="reaction-unknown", line=None, text=text)


def _unfollowed(plan: Plan) -> Iterator[FlagOut]:
    """An acid value that was measured for nothing."""
    for stage in unfollowed(plan.sent, plan.rows):
        text = f"No line after {stage} follows from its acid value: the charge is the same by it."
        yield FlagOut(code="nothing-follows", line=None, text=text)


def _notes(plan: Plan) -> Iterator[FlagOut]:
    """What the sums say of themselves, at the line where it is of one."""
    for note in plan.done.notes:
        of_line = _OF_LINE.match(note)
        number = None if of_line is None else int(of_line[1])
        text = note if of_line is None else note[of_line.end() :]
        yield FlagOut(code="note", line=number, text=sentence(text))


def _changed(plan: Plan, aims: Sequence[Target]) -> Iterator[FlagOut]:
    """What was weighed in other proportions than the recipe has them."""
    weighed_in = {aim.line: aim for aim in aims if aim.weighed}
    planned = {line.line: line.charged for line in plan.charges if line.line in weighed_in}
    if not planned:
        return
    fell = added(aim.exact_g for aim in weighed_in.values())
    per_share = fell / added(planned.values())
    for number, share in planned.items():
        off = weighed_in[number].exact_g / (share * per_share) - 1
        if abs(off) > MOST_OFF:
            text = (
                f"Of what was weighed together, {weighed_in[number].material} is "
                f"{_percent(abs(off))} {'more' if off > 0 else 'less'} than the recipe has."
            )
            yield FlagOut(code="ratio-changed", line=number, text=text)
    yield from _oil_to_resin(plan, aims)


def _oil_to_resin(plan: Plan, aims: Sequence[Target]) -> Iterator[FlagOut]:
    was, now = (oil_to_resin(plan, charge) for charge in (plan.charges, fallen(plan, aims)))
    if was and now is not None and abs(now / was - 1) > MOST_OFF:
        as_told = [plain(round_significant(decimal_of(ratio), 3)) for ratio in (now, was)]
        text = f"Oil to resin is {as_told[0]} as it was weighed, {as_told[1]} by the recipe."
        yield FlagOut(code="ratio-changed", line=None, text=text)


def _percent(share: Fraction) -> str:
    return f"{plain(round_significant(decimal_of(100 * share), 2))} %"
