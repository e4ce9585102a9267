"""The cautions that a charge calls for, and the kettle that cannot hold it."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science.bench_cautions import BenchCaution, bench_cautions
from service.science.bench_plan import PlannedLine, PlannedStep
from service.science.exact import added
from service.science.fire import BELOW_AUTOIGNITION_K, BELOW_BOILING_K
from service.science.rounding import plain, round_significant
from service.workshop.recipes.inside.inputs import Known
from service.workshop.recipes.queries import Line
from service.workshop.scalings.bodies import CautionOut, FillOut
from service.workshop.scalings.charge.kettles import fills
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.charge.warmth import ETHANOL_CAS, limit_of
from service.workshop.scalings.rules import Target

HOTTEST_TOLD_C = Decimal(1000)  # no rule looks at anything hotter
_POUR = "solvent-into-hot-varnish"
_BY_FIGURE = {
    "flash_point_c": "flash_point",
    "boiling_point_c": "boiling_point",
    "autoignition_c": "autoignition",
    "water_percent": "water",
}
_LABELS = {"boiling_point": "initial boiling point", "autoignition": "autoignition temperature"}


def cautions(plan: Plan, aims: Sequence[Target], fill: FillOut | None) -> list[CautionOut]:
    """By stage in the order of the work, the most dangerous first."""
    masses = {aim.line: aim.rounded_g for aim in aims if aim.rounded_g > 0}
    found = bench_cautions(
        [_line(plan, line, masses.get(line.line)) for line in _in_order(plan)],
        [PlannedStep(step.line, step.stage, step.do, _told(step.to_c)) for step in _steps(plan)],
        fills=fills(plan, _makes_g(plan, aims)) if fill else (),
    )
    return [
        _said(plan, one, stage=stage.stage, shown=one in stage.shown)
        for stage in found.stages
        for one in (*stage.shown, *stage.folded)
    ]


def _in_order(plan: Plan) -> list[Line]:
    return sorted(plan.lines, key=lambda line: plan.stages.index(line.stage))


def _steps(plan: Plan) -> list[Any]:
    return sorted(plan.steps, key=lambda step: plan.stages.index(step.stage))


def _told(to_c: Decimal | None) -> Decimal | None:
    return None if to_c is None else min(to_c, HOTTEST_TOLD_C)


def _makes_g(plan: Plan, aims: Sequence[Target]) -> Fraction:
    """What comes out, by the first line that was not weighed before, else by all of them."""
    shares = {charge.line: charge.charged for charge in plan.charges}
    free = [aim for aim in aims if not aim.weighed]
    told = free[:1] or aims
    return added(aim.exact_g for aim in told) / added(shares[aim.line] for aim in told)


def _line(plan: Plan, line: Line, mass_g: Decimal | None) -> PlannedLine:
    row = plan.of.material(line.material)
    known: dict[str, Any] = {}
    for name, held in _BY_FIGURE.items():
        figure = plan.of.figure_row(held, line.material)
        known[name] = None if figure is None else figure.value
    return PlannedLine(
        line.line,
        line.stage,
        row.name,
        mass_g,
        family=plan.of.family(line.material),
        formula=row.formula,
        autoxidising=plan.of.autoxidising_or_unknown(line.material),
        is_ethanol=row.cas == ETHANOL_CAS,
        **known,
    )


def _said(plan: Plan, one: BenchCaution, *, stage: str, shown: bool) -> CautionOut:
    line = one.lines[0] if one.lines else None
    return CautionOut(
        stage=stage,
        line=line,
        text=one.text,
        rule=one.rule,
        danger=one.danger,
        why=one.why,
        shown=shown,
        note=_pour_note(plan, one),
    )


def _pour_note(plan: Plan, one: BenchCaution) -> str | None:
    """Where the limit comes from; nothing where it is unknown, or where the plan stays below."""
    if one.rule != _POUR:
        return None
    limits = {
        line.material: limit.limit_c
        for line in plan.lines
        if line.line in one.lines and (limit := limit_of(plan, line.material)) is not None
    }
    strictest = min(limits, key=lambda code: limits[code], default=None)
    if strictest is None or f" {_shown_c(limits[strictest])} °C" not in one.text:
        return None
    boils = _known(plan, "boiling_point", strictest)
    ignites = _known(plan, "autoignition", strictest)
    inputs = [known.as_json() for known in (boils, ignites) if known is not None]
    how = f"initial boiling point {boils.shown if boils else ''} °C less {BELOW_BOILING_K} K"
    if ignites is not None:
        how += f", autoignition {ignites.shown} °C less {BELOW_AUTOIGNITION_K} K, the lower of both"
    if plan.of.material(strictest).cas == ETHANOL_CAS:
        how += "; ethanol at most 40 °C"
    note = {"basis": "calculated", "how": how, "from": inputs, "source": "common practice"}
    return plan.notes.add("pour", note)


def _shown_c(limit_c: Decimal) -> str:
    """As the caution has it."""
    return plain(round_significant(limit_c, 4).normalize())


def _known(plan: Plan, name: str, material: str) -> Known | None:
    return plan.of.labelled(name, material, _LABELS[name])
