"""A recipe scaled to what it shall make: what to weigh, what rounding did to it, what leaves."""

import functools
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulation import Worked
from service.science.ranges import above, count, one_of, positive, within
from service.science.ratios import check_percents, line_bases
from service.science.rounding import (
    multiple,
    nearest,
    plain,
    quotient,
    round_significant,
)
from service.science.weighing import minimum_net_mass

_ONE_PERCENT = Decimal(1)
_LARGEST_GAIN = -50
_BASES = line_bases()


class ScalingLine(NamedTuple):
    """A line of a recipe.

    Fields: name [text, of the material]; amount [1, above 0; parts by mass or percent of what
    comes out]; basis [one of `line_bases()`]; stage [text, in which it is weighed in].
    """

    name: str
    amount: Decimal
    basis: str = "parts"
    stage: str = "cook"


class ScalingStage(NamedTuple):
    """A stage of the work and what it takes of all that is in the pot.

    Fields: stage [text]; loss_percent [%, -50 to 99; below 0 it gives].
    """

    stage: str
    loss_percent: Decimal = Decimal(0)


class ScaledLine(NamedTuple):
    """One line: what to weigh, the figure before rounding, its share of what comes out."""

    name: str
    stage: str
    weighed_g: Decimal
    exact_g: Decimal
    share_percent: Decimal
    below_minimum: bool


class StageLoss(NamedTuple):
    """What leaves the pot at a stage; below 0, what comes to it."""

    stage: str
    left_g: Decimal


class Scaling(NamedTuple):
    """What to weigh in all, line after line, and how each figure came about."""

    total_weighed_g: Decimal
    total_exact_g: Decimal
    rounding_g: Decimal
    makes_g: Decimal
    minimum_net_mass_g: Decimal
    lines: tuple[ScaledLine, ...]
    losses: tuple[StageLoss, ...]
    notes: tuple[str, ...]


class _Whole(NamedTuple):
    """The recipe in whole numbers, since a fraction for each line would cost more than all else:
    masses weighed in and shares of what comes out, each over one number for all lines."""

    masses: list[int]
    mass_unit: int
    ends: list[int]
    end_unit: int


class _Taken(NamedTuple):
    """What a gram that comes out takes at each stage, over one number for all stages."""

    by_stage: dict[str, int]
    unit: int


def scaling(
    lines: Sequence[ScalingLine],
    makes_g: Decimal,
    *,
    readability_g: Decimal,
    stages: Sequence[ScalingStage] = (),
    tolerance_percent: Decimal = _ONE_PERCENT,
) -> Scaling:
    """Scale a recipe to what it shall make, each line rounded once to what the balance shows.

    Parameters: lines [list of `ScalingLine`; percent lines take their percent of what comes out,
    parts lines share what remains]; makes_g [g, above 0; what shall come out]; readability_g [g,
    above 0; the smallest step the balance shows]; stages [list of `ScalingStage`; in the order of
    the work], left out where nothing is lost; tolerance_percent [%, above 0 up to 100; how
    closely a line shall be weighed].
    Returns: what to weigh of each line, what all come to and what rounding did to that, and what
    leaves at each stage.
    Raises: NotApplicable without lines, or for a line whose stage is not listed; OutOfRange for a
    number, percents of 100 or more beside parts, or percents alone that are not exactly 100.
    Source: common practice; ISO 80000-1 Annex B rule A (from memory) for rounding.

    >>> recipe = [ScalingLine("OIL", Decimal(3)), ScalingLine("SPIRIT", Decimal(2), stage="thin")]
    >>> work = [ScalingStage("cook", Decimal(4)), ScalingStage("thin")]
    >>> found = scaling(recipe, Decimal(1000), readability_g=Decimal(1), stages=work)
    >>> [line.weighed_g for line in found.lines], found.total_weighed_g
    ([Decimal('625'), Decimal('400')], Decimal('1025'))
    """
    count(lines, 1, name="lines")
    makes, step = positive(makes_g, "makes_g"), positive(readability_g, "readability_g")
    minimum = _least(step, above(tolerance_percent, 0, high=100, name="tolerance_percent"))
    work = _work(lines, stages)
    taken = _taken(work)
    whole = _whole(lines, taken, makes)
    scaled = tuple(_scaled(lines, whole, step=step, minimum=minimum))
    weighed = sum((line.weighed_g for line in scaled), Decimal(0))
    charged = sum(whole.masses)
    over, under = weighed.as_integer_ratio()
    rounding = quotient(over * whole.mass_unit - charged * under, under * whole.mass_unit)
    losses = _losses(lines, work, whole=whole, makes=makes, taken=taken)
    return Scaling(
        total_weighed_g=weighed,
        total_exact_g=quotient(charged, whole.mass_unit),
        rounding_g=rounding,
        makes_g=makes,
        minimum_net_mass_g=minimum,
        lines=scaled,
        losses=tuple(losses),
        notes=tuple(_notes(scaled, minimum, tolerance_percent)),
    )


def exact_masses(done: Worked, makes_g: Decimal | Fraction) -> dict[int, Fraction]:
    """Say what each line of a recipe weighs for what it shall make, before any rounding.

    Parameters: done [a recipe worked through]; makes_g [g, above 0; what shall come out].
    Returns: masses in g by line number, lines that are added as needed left out.
    Raises: nothing.
    Source: mass balance.

    >>> from service.science.formulation import Formula, FormulaLine, FormulaStage, worked
    >>> from service.science.pots import Substance
    >>> oil = Formula((FormulaLine(1, "OIL", "parts", Decimal(3), "cook"),),
    ...               (FormulaStage("cook"),), {"OIL": Substance("OIL")})
    >>> exact_masses(worked(oil), Decimal(500))
    {1: Fraction(500, 1)}
    """
    unit = Fraction(makes_g) / done.makes
    return {each.line: each.mass * unit for each in done.charged if each.mass is not None}


@functools.lru_cache(maxsize=64)
def _least(step: Decimal, tolerance_percent: Decimal) -> Decimal:
    """A workshop has few balances and fewer tolerances."""
    return minimum_net_mass(step, tolerance_percent).minimum_net_mass_g


def _work(lines: Sequence[ScalingLine], stages: Sequence[ScalingStage]) -> Sequence[ScalingStage]:
    """The stages in their order, each number and each word checked at its place."""
    count(stages, 0, name="stages")
    names: set[str] = set()
    for n, stage in enumerate(stages):
        within(stage.loss_percent, _LARGEST_GAIN, high=99, name=f"stages/{n}/loss_percent")
        if stage.stage in names:
            said = f"“{stage.stage[:40]}” is listed twice"
            raise OutOfRange(said, "list it once", field=f"stages/{n}/stage")
        names.add(stage.stage)
    for n, line in enumerate(lines):
        one_of(line.basis, _BASES, name=f"lines/{n}/basis")
        positive(line.amount, f"lines/{n}/amount")
        if stages and line.stage not in names:
            raise NotApplicable(
                f"“{line.stage[:40]}” is not among the stages",
                f"use one of: {', '.join(stage.stage for stage in stages)}",
                field=f"lines/{n}/stage",
            )
    # Without losses it does not matter which comes first.
    return stages or [ScalingStage(name) for name in dict.fromkeys(line.stage for line in lines)]


def _taken(work: Sequence[ScalingStage]) -> _Taken:
    after: dict[str, tuple[int, int]] = {}
    left, charged = 1, 1
    for stage in reversed(work):
        over, under = stage.loss_percent.as_integer_ratio()
        left *= 100 * under - over
        charged *= 100 * under
        after[stage.stage] = charged, left
    return _Taken({stage: each[0] * (left // each[1]) for stage, each in after.items()}, left)


def _whole(lines: Sequence[ScalingLine], taken: _Taken, makes: Decimal) -> _Whole:
    ratios = [line.amount.as_integer_ratio() for line in lines]
    unit = lcm(*(under for _, under in ratios))
    sums = dict.fromkeys(_BASES, 0)
    amounts = []
    for line, (over, under) in zip(lines, ratios, strict=True):
        amount = over * (unit // under)
        sums[line.basis] += amount
        amounts.append(amount)
    percent, parts = sums["percent"], sums["parts"]
    check_percents(Fraction(percent, unit), Fraction(parts, unit))
    # Parts share what the percents leave.
    each = {"percent": parts or 1, "parts": 100 * unit - percent}
    ends = [amount * each[line.basis] for line, amount in zip(lines, amounts, strict=True)]
    end_unit = 100 * unit * (parts or 1)
    over, under = makes.as_integer_ratio()
    charges = {stage: over * one for stage, one in taken.by_stage.items()}
    masses = [end * charges[line.stage] for line, end in zip(lines, ends, strict=True)]
    return _Whole(masses, end_unit * under * taken.unit, ends, end_unit)


def _scaled(
    lines: Sequence[ScalingLine], whole: _Whole, *, step: Decimal, minimum: Decimal
) -> Iterator[ScaledLine]:
    across, along = step.as_integer_ratio()
    under, unit = across * whole.mass_unit, whole.mass_unit
    top, bottom = minimum.as_integer_ratio()
    least = top * unit
    for line, mass, end in zip(lines, whole.masses, whole.ends, strict=True):
        yield ScaledLine(
            line.name,
            line.stage,
            multiple(nearest(mass * along, under), step),
            quotient(mass, unit),
            quotient(100 * end, whole.end_unit),
            mass * bottom < least,
        )


def _losses(
    lines: Sequence[ScalingLine],
    work: Sequence[ScalingStage],
    *,
    whole: _Whole,
    makes: Decimal,
    taken: _Taken,
) -> Iterator[StageLoss]:
    """What leaves at each stage: its percentage of all that went in up to there."""
    ends = dict.fromkeys(taken.by_stage, 0)
    for line, end in zip(lines, whole.ends, strict=True):
        ends[line.stage] += end
    grams, inside = makes.as_integer_ratio()[0], 0
    for stage in work:
        inside += ends[stage.stage]
        over, under = stage.loss_percent.as_integer_ratio()
        if over and inside:
            lost = inside * grams * taken.by_stage[stage.stage] * over
            yield StageLoss(stage.stage, quotient(lost, whole.mass_unit * 100 * under))


def _notes(
    lines: Sequence[ScaledLine], minimum: Decimal, tolerance_percent: Decimal
) -> Iterator[str]:
    if small := [line.name for line in lines if line.below_minimum]:
        least = plain(round_significant(minimum, 2))
        yield (
            f"{_listed(small)}: below {least} g, the least that this balance weighs to "
            f"{plain(tolerance_percent)} % by its readability alone: use a finer one, or make more"
        )
    if lost := [line.name for line in lines if not line.weighed_g]:
        yield f"{_listed(lost)}: less than half a step of the balance, so nothing is weighed"


def _listed(names: Sequence[str]) -> str:
    return ", ".join(dict.fromkeys(names))
