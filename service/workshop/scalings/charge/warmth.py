"""How warm a charge is by its plan, stage by stage, and how hot it may be for its solvents."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science.errors import ScienceError
from service.science.fire import PourLimit, pour_limit
from service.science.formulation import HOT
from service.science.rounding import decimal_of
from service.workshop.recipes.queries import Line, Step
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.rules import pour_stage

ETHANOL_CAS = "64-17-5"
ROOM_C = Decimal(20)


@dataclass(frozen=True, slots=True)
class Warmth:
    """How hot a stage gets; None where the plan does not say it, with what that lacks."""

    to_c: Decimal | None
    lacks: tuple[str, ...] = ()


def solvents(plan: Plan) -> list[Line]:
    return [line for line in plan.lines if plan.of.family(line.material) == "solvent"]


def limit_of(plan: Plan, material: str) -> PourLimit | None:
    """How hot the charge may be that a solvent goes into; None where too little is known."""
    boils = plan.of.value("boiling_point", material)
    ignites = plan.of.value("autoignition", material)
    if boils is None:
        return None
    try:
        return pour_limit(
            decimal_of(boils.value),
            ethanol=plan.of.material(material).cas == ETHANOL_CAS,
            autoignition_c=None if ignites is None else decimal_of(ignites.value),
        )
    except ScienceError:  # a figure outside what the rule holds for
        return None


def poured_in(plan: Plan) -> str | None:
    """The stage in which the first solvent goes into what was heated before."""
    heated = {stage for stage in plan.stages if heats(plan, stage)}
    return pour_stage(plan.stages, hot=heated, solvents={line.stage for line in solvents(plan)})


def steps_of(plan: Plan, stage: str, *kinds: str) -> list[Step]:
    return [step for step in plan.steps if step.stage == stage and step.do in kinds]


def warmths(plan: Plan) -> dict[str, Warmth]:
    """How hot each stage gets from the first that is heated on: what is not cooled stays warm."""
    found: dict[str, Warmth] = {}
    carried: Decimal | None = ROOM_C
    pour = poured_in(plan)
    for stage in plan.stages:
        came_c, lacks = _poured(plan, stage, carried) if stage == pour else (carried, ())
        met = [came_c, *(step.to_c for step in steps_of(plan, stage, "heat"))]
        if stage in HOT and len(met) == 1:
            met.append(None)  # it is hot, and nothing says how hot
        known = [each for each in met if each is not None]
        whole = len(known) == len(met)
        if found or heats(plan, stage):
            unsaid = lacks or (f"how hot the stage {stage} is",)
            found[stage] = Warmth(max(known)) if whole else Warmth(None, unsaid)
        carried = _left(steps_of(plan, stage, "heat", "cool"), max(known) if whole else None)
    return found


def heats(plan: Plan, stage: str) -> bool:
    """Whether a stage leaves the kettle hot."""
    return stage in HOT or bool(steps_of(plan, stage, "heat"))


def _poured(
    plan: Plan, stage: str, carried: Decimal | None
) -> tuple[Decimal | None, tuple[str, ...]]:
    """How warm the charge is when solvent goes in: as its cool step says, else at the most that
    its solvents allow."""
    cooled = [step.to_c for step in steps_of(plan, stage, "cool") if step.to_c is not None]
    if cooled:
        return cooled[0], ()
    materials = [line.material for line in solvents(plan) if line.stage == stage]
    limits = {code: limit_of(plan, code) for code in materials}
    known = [limit.limit_c for limit in limits.values() if limit is not None]
    if len(known) < len(limits):
        return None, tuple(f"boiling point of {code}" for code, at in limits.items() if at is None)
    return min([*known, *([] if carried is None else [carried])]), ()


def _left(steps: Sequence[Step], hottest_c: Decimal | None) -> Decimal | None:
    """How warm a stage leaves the charge."""
    known = [step.to_c for step in steps if step.to_c is not None]
    return known[-1] if known else hottest_c
