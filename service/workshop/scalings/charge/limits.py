"""Plans that no one should carry out: too hot a cook or pour, damp resinate into hot oil."""

from collections.abc import Iterator
from decimal import Decimal

from service.errors import at
from service.science.cook_plans import damp_addition, planned_cook
from service.science.errors import ScienceError
from service.science.fire import BELOW_AUTOIGNITION_K, BELOW_BOILING_K
from service.science.formulation import HOT
from service.science.rounding import decimal_of, plain
from service.workshop.recipes.queries import Line, Step
from service.workshop.scalings.charge.plan import Plan, sentence
from service.workshop.scalings.charge.warmth import (
    ROOM_C,
    heats,
    limit_of,
    solvents,
    steps_of,
)
from service.workshop.scalings.rules import POUR_MARGIN_K, CookTooHot, PourTooHot

_OILS = frozenset({"drying-oil", "other-oil"})
_OIL_CEILING_C = Decimal(350)


def check_heat(plan: Plan) -> None:
    """Raises CookTooHot, PourTooHot for a plan beyond the limits of the trade."""
    for stage in plan.stages:
        lines = [line for line in plan.lines if plan.stages.index(line.stage) <= _at(plan, stage)]
        for step in _heats(plan, stage):
            _check_cook(plan, step, lines)
    _check_damp(plan)
    _check_solvents(plan)
    _check_pour(plan)


def _at(plan: Plan, stage: str) -> int:
    return plan.stages.index(stage)


def _heats(plan: Plan, stage: str) -> Iterator[Step]:
    return (step for step in plan.steps if step.stage == stage and step.do == "heat")


def _check_cook(plan: Plan, step: Step, lines: list[Line]) -> None:
    """Oil and running copal below their ceilings, everything below autoignition."""
    to_c = max(step.to_c or ROOM_C, ROOM_C)
    oily = any(plan.of.family(line.material) in _OILS for line in lines)
    if oily or step.stage == "run":
        ceiling_c = planned_cook("oil" if oily else "hard copal", ROOM_C).ceiling_c
        if to_c > ceiling_c:
            what = "oil" if oily else "running copal"
            wrong = f"{plain(to_c)} °C is planned, {plain(ceiling_c)} °C is the most for {what}"
            raise _refused(plan, step.line, wrong, f"plan {plain(ceiling_c)} °C or less")
    known = [plan.of.figure_row("autoignition", line.material) for line in lines]
    rows = [row for row in known if row is not None]
    lowest = min(rows, key=lambda row: row.value, default=None)
    if lowest is not None and to_c >= lowest.value:
        ignites = plain(lowest.value)
        wrong = (
            f"{plain(to_c)} °C is planned, {lowest.subject} takes fire by itself at {ignites} °C"
        )
        raise _refused(plan, step.line, wrong, f"plan well below {ignites} °C")


def _refused(plan: Plan, line: int, wrong: str, hint: str) -> CookTooHot:
    name = f"{plan.recipe.code} version {plan.version.number}"
    said = f"Line {line} of {name}: {wrong}."
    return CookTooHot(said, at("#/version", said, "cook-too-hot", hint=sentence(hint)))


def _check_damp(plan: Plan) -> None:
    """Damp resinate into oil above 100 °C, unless a drying stage stands before."""
    for line in plan.lines:
        water = plan.of.figure_row("water", line.material)
        if plan.of.family(line.material) != "resinate" or water is None:
            continue
        dried = "dry" in plan.stages[: _at(plan, line.stage)]
        warm = min(max(_warm_at(plan, line.stage), Decimal(0)), _OIL_CEILING_C)
        try:
            damp_addition(water.value, warm, resinate_g=Decimal(1), dried_before=dried)
        except ScienceError as error:
            raise _refused(plan, line.line, error.message, error.hint) from None


def _warm_at(plan: Plan, stage: str) -> Decimal:
    """How warm the pot comes to a stage: as the last step before heats or cools it."""
    before = [
        step.to_c
        for each in plan.stages[: _at(plan, stage)]
        for step in plan.steps
        if step.stage == each and step.to_c is not None
    ]
    return before[-1] if before else ROOM_C


def _check_solvents(plan: Plan) -> None:
    """Nothing that holds solvent hotter than 30 K below its boiling, 50 K below autoignition."""
    for stage in plan.stages:
        held = [line for line in solvents(plan) if _at(plan, line.stage) <= _at(plan, stage)]
        for line in held:
            limit_c = _holds_to_c(plan, line.material)
            for step in steps_of(plan, stage, "heat"):
                if limit_c is not None and step.to_c is not None and step.to_c > limit_c:
                    wrong = (
                        f"{plain(step.to_c)} °C is planned, {plain(limit_c)} °C is the most with "
                        f"{line.material} in the charge"
                    )
                    raise _refused(plan, step.line, wrong, f"plan {plain(limit_c)} °C or less")


def _holds_to_c(plan: Plan, material: str) -> Decimal | None:
    """How hot a solvent may be in a charge, by what is known of it."""
    boils = plan.of.value("boiling_point", material)
    ignites = plan.of.value("autoignition", material)
    known = [(boils, BELOW_BOILING_K), (ignites, BELOW_AUTOIGNITION_K)]
    limits = [decimal_of(row.value) - margin for row, margin in known if row is not None]
    return min(limits, default=None)


def _check_pour(plan: Plan) -> None:
    """No solvent is planned into what is hotter than it may be poured into."""
    for stage in plan.stages:
        before = plan.stages[: _at(plan, stage)]
        own = [line for line in solvents(plan) if line.stage == stage]
        limits = [limit.limit_c for line in own if (limit := limit_of(plan, line.material))]
        if not limits or not any(heats(plan, each) for each in before):
            continue
        steps = [(step.line, step.to_c) for step in plan.steps if step.stage == stage]
        if stage in HOT and all(
            to_c is None for _, to_c in steps
        ):  # a sheet cools nothing before a stage that is hot
            steps = [(own[0].line, _warm_at(plan, stage))]
        for number, to_c in steps:
            if to_c is not None and to_c > min(limits):
                raise _too_hot(plan, number, to_c, limit_c=min(limits))


def _too_hot(plan: Plan, line: int, to_c: Decimal, *, limit_c: Decimal) -> PourTooHot:
    name = f"{plan.recipe.code} version {plan.version.number}"
    wrong = (
        f"Line {line} of {name} plans the pour at {plain(to_c)} °C; "
        f"{plain(limit_c)} °C is the most for this solvent."
    )
    hint = f"Make a version whose step cools to {plain(limit_c - POUR_MARGIN_K)} °C or less."
    return PourTooHot(wrong, at("#/version", wrong, "pour-too-hot", hint=hint))
