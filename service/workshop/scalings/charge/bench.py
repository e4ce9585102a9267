"""At the bench: resin falls in lumps, and all other lines follow what was weighed first."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from service.errors import Invalid, at
from service.science import units
from service.science.errors import ScienceError
from service.science.exact import added
from service.science.formulation import worked
from service.science.rounding import decimal_of, plain
from service.store.session import ReadSession
from service.workshop.recipes.inside.working import Work
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.bodies import ALL_OF_IT, BenchIn, ScalingIn
from service.workshop.scalings.charge.density import density
from service.workshop.scalings.charge.makes import Outcome, without_overage
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.queries import shown
from service.workshop.scalings.rules import Target

_KEPT = ("balance", "kettle")
_BY = ", by "


def resumed(session: ReadSession, code: str, wanted: ScalingIn, bench: BenchIn) -> ScalingIn:
    """The scaling followed, as it was asked; what is sent now stands before it. Raises
    UnknownScaling, UnknownRecipe."""
    before = shown(session, code, bench.scaling)
    told: dict[str, Any] = {**before["sent"], "version": before["version"]}
    told.update({name: before[name] for name in _KEPT if before[name] is not None})
    earlier = ScalingIn.model_validate({"for": ALL_OF_IT, **told})
    kept = told.keys() - wanted.model_fields_set
    return wanted.model_copy(update={name: getattr(earlier, name) for name in kept})


def of_bench(plan: Plan, wanted: ScalingIn, bench: BenchIn) -> Outcome:
    """What the weighed lines make together. Raises Invalid for a line that is not weighed in."""
    without_overage(wanted, "What was weighed")
    shares = {line.line: line.charged for line in plan.charges}
    weighed: dict[int, Fraction] = {}
    for number, amount in bench.weighed.items():
        if not shares.get(int(number)):
            wrong = f"Line {number} of {plan.recipe.code} is not weighed to a target."
            there = ", ".join(str(line) for line, share in shares.items() if share)
            hint = f"Weighed to a target: {there}."
            raise Invalid(wrong, at(f"#/bench/weighed/{number}", wrong, "no-such-line", hint=hint))
        weighed[int(number)] = Fraction(units.canonical(amount)) / 1000
    total = added(weighed.values())
    text = ", ".join(f"line {line}: {_grams(mass)} g" for line, mass in weighed.items())
    return Outcome(
        asked=_asked(plan, bench, text),
        mass_g=total / added(shares[line] for line in weighed),
        density=density(plan, wanted.density, None),
        note="bench",
        how=f"what {text} makes, as it was weighed, by the lines and the losses",
        weighed=weighed,
    )


def fallen(plan: Plan, aims: Sequence[Target]) -> Sequence[Charge]:
    """The lines for a gram of what comes out, in the proportions in which they fell; where nothing
    was weighed yet, as the recipe has them."""
    if not any(aim.weighed for aim in aims):
        return plan.charges
    grams = {aim.line: aim.exact_g for aim in aims}
    whole = added(grams.values())
    per_gram = added(line.charged for line in plan.charges) / whole
    found = []
    for line in plan.charges:
        charged = grams.get(line.line, Fraction(0)) * per_gram
        stays = line.kept / line.charged if line.charged else Fraction(0)
        found.append(line._replace(charged=charged, kept=charged * stays))
    return found


def work_of_fallen(plan: Plan, aims: Sequence[Target]) -> Work | None:
    """The version worked through with the lines as they fell; None where by the sums it cannot
    be, such as with more metal than there is acid."""
    if sum(aim.weighed for aim in aims) < 2:  # one line alone changes no proportion
        return plan.work
    kept, left = dict[str, Fraction](), Fraction(1)
    for stage in reversed(plan.work.formula.stages):
        left *= stage.kept
        kept[stage.stage] = left
    grams = {line.line: line.charged for line in fallen(plan, aims) if line.charged}
    lines = [
        line._replace(
            basis="parts", amount=decimal_of(grams[line.line] * kept[line.stage]), rule=None
        )
        for line in plan.work.formula.lines
        if line.line in grams
    ]
    formula = plan.work.formula._replace(lines=tuple(lines))
    try:
        return replace(plan.work, formula=formula, done=worked(formula))
    except ScienceError:
        return None


def _asked(plan: Plan, bench: BenchIn, text: str) -> dict[str, Any]:
    """What was asked in the first place goes on, with what the bench made of it."""
    before: Mapping[str, Any] = shown(plan.session, plan.recipe.code, bench.scaling)["asked"]
    kept = {name: before[name] for name in ("product", "pack") if name in before}
    first = before["text"].partition(_BY)[0]  # of a scaling at the bench, what came before it
    return {**kept, "bench": bench.scaling, "text": f"{first}{_BY}{text}"[:80]}


def _grams(mass: Fraction) -> str:
    return plain(decimal_of(mass))
