"""What a scaling is: refusals, targets as a balance reads them, and the lots they come from."""

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.errors import Invalid, NotFound
from service.science.exact import added
from service.science.formulation import HOT
from service.science.rounding import decimal_of, round_half_even
from service.workshop.recipes.rules import Charge
from service.workshop.recipes.rules import TooDeep as TooDeep
from service.workshop.recipes.written.work_order import with_stages
from service.workshop.stock.rules import DensityNeeded as DensityNeeded

MG = 1000
THIN = "thin"
STRAIN = "strain"
TOLERANCE_PERCENT = Decimal("0.25")
TOLERANCE_RULE = (
    "0.25 % of the target in whole steps of the balance, at least one step (common practice)"
)
POUR_MARGIN_K = Decimal(5)  # a planned pour keeps so far below the hottest that is allowed
FULLEST = Fraction(1, 2)  # of a kettle in which something can foam (science.kettle)


class UnknownScaling(NotFound):
    slug = "scaling-unknown"
    title = "There is no such scaling of this recipe"


class KettleTooSmall(Invalid):
    slug = "kettle-too-small"
    title = "The kettle does not hold the charge"
    about = "The cold charge, thinner included, is more than the kettle holds to the brim."


class ValueNeeded(Invalid):
    slug = "value-needed"
    title = "A derived line waits for a value"
    about = (
        "A line that follows from others by a rule needs figures of the materials that it looks "
        "at: an acid value, an assay, a metal content. None is ever made up. Record the figure of "
        "the material, or better of the lot, with its basis, and scale again."
    )


class PlanRefused(Invalid):
    slug = "plan-refused"
    title = "The plan cannot be carried out"
    about = (
        "By its lines, its losses or its heat this charge cannot be made, or not without harm. "
        "Make a version of the recipe that can. What happened at the stove is recorded whatever "
        "it was."
    )


class CookTooHot(Invalid):
    slug = "cook-too-hot"
    title = "The plan cooks hotter than it can be answered for"
    about = (
        "Oils stay below 350 °C, running copal below 370 °C, everything below its autoignition; "
        "solvent in a heated charge 30 K below its initial boiling point and 50 K below its "
        "autoignition; "
        "resinate with more than 1 % water does not go into oil above 100 °C. Make a version of "
        "the recipe that keeps to it. What happened at the stove is recorded whatever it was."
    )


class PourTooHot(Invalid):
    slug = "pour-too-hot"
    title = "The plan pours solvent into something too hot"
    about = (
        "A planned pour keeps 30 K below the solvent's initial boiling point and 50 K below its "
        "autoignition; ethanol goes in at 40 °C at most. Make a new version of the recipe whose "
        "cool step goes lower. What happened at the stove is recorded whatever it was."
    )


class TooSmallToWeigh(Invalid):
    slug = "too-small-to-weigh"
    title = "A line is smaller than the balance can read"
    about = (
        "Rounded to what the balance reads, a line would be nothing. Take a finer balance, make "
        "more, or make a stock solution of that material first."
    )


class Target(NamedTuple):
    """What to weigh for a line, in g: exactly, and as the balance reads it."""

    line: int
    material: str
    exact_g: Fraction
    rounded_g: Decimal
    weighed: bool = False  # as it fell on the bench, so never rounded

    @property
    def rounded_mg(self) -> int:
        return int(self.rounded_g * MG)


def targets(
    charges: Sequence[Charge],
    makes_g: Fraction,
    *,
    step_g: Decimal,
    weighed: Mapping[int, Fraction] | None = None,
) -> list[Target]:
    """The lines of a charge that makes so many g, each rounded once from the exact figure; what
    was weighed already stands as it fell. A line that is added as it needs has no target."""
    found = []
    for charge in charges:
        if not charge.charged:
            continue
        exact = charge.charged * makes_g
        fell = (weighed or {}).get(charge.line)
        if fell is not None:
            found.append(Target(charge.line, charge.material, fell, _as_read(fell, step_g), True))
            continue
        rounded = round_half_even(exact, step_g)
        found.append(Target(charge.line, charge.material, exact, rounded))
    return found


def _as_read(fell: Fraction, step_g: Decimal) -> Decimal:
    """A weight with the digits of the balance, and all of its own where it was read finer."""
    shown = round_half_even(fell, step_g)
    return shown if shown == fell else decimal_of(fell)


def weighed(found: Sequence[Target], charges: Sequence[Charge]) -> list[Charge]:
    """The charge as it will be weighed: the masses of the balance in place of exact shares."""
    aims = {target.line: Fraction(target.rounded_g) for target in found}
    return [
        Charge(
            line=charge.line,
            material=charge.material,
            charged=aims[charge.line],
            kept=aims[charge.line] * charge.kept / charge.charged,
        )
        for charge in charges
        if charge.line in aims
    ]


def makes_of(charges: Sequence[Charge], material: str, amount_g: Fraction) -> Fraction | None:
    """What comes out, in g, when all lines of a material together take an amount; None without."""
    share = added(line.charged for line in charges if line.material == material)
    return amount_g / share if share else None


@dataclass(frozen=True, slots=True)
class Most:
    """How much can be made at most, in g, and the material that is used up first."""

    makes_g: Fraction
    material: str


def most_of(charges: Sequence[Charge], held: Mapping[str, int], *, step_mg: int) -> Most | None:
    """What can be made of what is held (mg), so that no rounding calls for more than there is.

    Every line of a material may be rounded up by half a step of the balance.
    """
    each: dict[str, Fraction] = {}
    lines: dict[str, int] = {}
    for charge in charges:
        if charge.charged:
            each[charge.material] = each.get(charge.material, Fraction(0)) + charge.charged
            lines[charge.material] = lines.get(charge.material, 0) + 1
    found = [
        Most((held[code] - Fraction(lines[code] * step_mg, 2)) / (share * MG), code)
        for code, share in each.items()
    ]
    return min(found, key=lambda most: most.makes_g, default=None)


def split(wanted_mg: int, left: Mapping[str, int]) -> tuple[dict[str, int], int]:
    """How much to take from each lot, in the order given, and what is then still short."""
    taken: dict[str, int] = {}
    for lot, held in left.items():
        part = min(wanted_mg, held)
        if part > 0:
            taken[lot] = part
            wanted_mg -= part
    return taken, wanted_mg


def tolerance(target_mg: int, step_mg: int | None) -> int:
    """How far a weighing may lie from its target, in mg; the rule is TOLERANCE_RULE."""
    share = Fraction(TOLERANCE_PERCENT) * target_mg / 100
    step = step_mg or 1
    return max(step, step * round(share / step))


def sheet_order(listed: Sequence[str], used: Iterable[str]) -> list[str]:
    """The stages of a sheet: those of the version in its order, with those that it does not list
    where the work usually has them."""
    return with_stages(listed, used)


def yield_stage(listed: Sequence[str]) -> str:
    """Where what came out is weighed: after straining, else at the end of the work."""
    return STRAIN if STRAIN in listed or not listed else listed[-1]


def pour_stage(
    order: Sequence[str], *, hot: Container[str], solvents: Container[str]
) -> str | None:
    """The first stage in which solvent goes into what was heated in a stage before, or None."""
    heated = False
    for stage in order:
        if heated and stage in solvents and stage not in HOT:
            return stage
        heated = heated or stage in hot
    return None


def bench_rank(do: str, *, pours: bool) -> int:
    """In a stage what is weighed comes before what is done, but cooling before a solvent, and
    what came out last of all."""
    if do == "yield":
        return 3
    if pours:
        return {"cool": 0, "weigh": 1}.get(do, 2)
    return 0 if do == "weigh" else 2


def natural_time(seconds: int) -> tuple[int, str]:
    """A duration in whole units, the largest of which there are at least two: 45 min, 24 h, 3 d."""
    for size, unit in ((604800, "week"), (86400, "d"), (3600, "h"), (60, "min")):
        if seconds % size == 0 and seconds >= (1 if unit == "min" else 2) * size:
            return seconds // size, unit
    return seconds, "s"
