"""The cautions that a planned batch calls for, stage by stage, the most dangerous first."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.bench_plan import Fill, Plan, Stage
from service.science.bench_plan import PlannedLine as PlannedLine
from service.science.bench_plan import PlannedStep as PlannedStep
from service.science.bench_plan import StageFill as StageFill
from service.science.bench_plan import families as families
from service.science.bench_plan import planned_work as planned_work
from service.science.bench_rules import RULES, Fact
from service.science.errors import OutOfRange
from service.science.formulas import formula_parts
from service.science.ranges import count, one_of, positive, within
from service.science.results import Standing
from service.science.rounding import plain, round_significant
from service.science.tables import rows

SHOWN = 3  # a sheet that cautions everywhere is read nowhere
_FACTS_TOLD = 3
_MOST_STAGES = 24
_WHY = "common practice of the trade: local codes and licensed practice go before it"
_NO_PROOF = "a plan without a caution is not shown to be safe: read the safety data sheets"
_LINE_FIGURES = ("flash_point_c", "boiling_point_c", "autoignition_c")


class BenchCaution(NamedTuple):
    """A caution, how dangerous its case is (1 the most), the lines that made it, and why."""

    rule: str
    text: str
    danger: int
    group: str
    lines: tuple[int, ...]
    why: str


class StageCautions(NamedTuple):
    """The cautions of a stage, most dangerous first: three to show, and the rest."""

    stage: str
    shown: tuple[BenchCaution, ...]
    folded: tuple[BenchCaution, ...]

    @property
    def cautions(self) -> tuple[BenchCaution, ...]:
        """All of them."""
        return self.shown + self.folded


class BenchCautions(NamedTuple):
    """The cautions of each stage, the most dangerous rule of all, and how many there are."""

    stages: tuple[StageCautions, ...]
    most_dangerous: str | None
    called_for: int
    standing: Standing
    why: str
    notes: tuple[str, ...]


def bench_cautions(
    lines: Sequence[PlannedLine],
    steps: Sequence[PlannedStep] = (),
    *,
    fullest_hot_percent: Decimal | None = None,
    fullest_cold_percent: Decimal | None = None,
    fills: Sequence[StageFill] = (),
) -> BenchCautions:
    """Say what a planned batch must be handled with, where a fact is not known as if it were so.

    Parameters: lines [list of `PlannedLine`; one or more]; steps [list of `PlannedStep`; in the
    order of the work, with the lines 24 stages at most], none where only the stages are known;
    fullest_hot_percent [%, 0-1000; how full the kettle stands when hot], None if not known;
    fullest_cold_percent [%, 0-1000; how full it stands at 20 °C, thinned], None if not known;
    fills [list of `StageFill`; each goes before the fullest in its own stage], none where only the
    fullest is known.
    Returns: the cautions of each stage, three to show and the rest, most dangerous first.
    Raises: NotApplicable without a line; OutOfRange for a number, a word or too many stages;
    NumberMalformed for a formula.
    Source: common practice of the trade, tables/caution_rules.csv and tables/cautions.csv;
    flammable up to a flash point of 60 °C by Regulation (EC) 1272/2008, annex I, 2.6.1.

    >>> turpentine = PlannedLine(2, "thin", "turpentine", Decimal(500), family="solvent",
    ...                          boiling_point_c=Decimal(150), autoignition_c=Decimal(253))
    >>> cook = PlannedStep(1, "cook", "heat", Decimal(240))
    >>> found = bench_cautions([turpentine], [cook])
    >>> found.most_dangerous, found.stages[1].shown[0].text.partition("; ")[2]
    ('solvent-into-hot-varnish', 'pour no hotter than 120 °C.')
    """
    _check_lines(lines)
    _check_steps(steps)
    _check_stages(lines, steps)
    fill = Fill(
        _percent(fullest_hot_percent, "fullest_hot_percent"),
        _percent(fullest_cold_percent, "fullest_cold_percent"),
    )
    own = _fills(fills)
    found = tuple(
        _of_stage(stage, own.get(stage.name, fill)) for stage in Plan(lines, steps).stages()
    )
    every = [each for stage in found for each in stage.cautions]
    worst = min(every, key=lambda each: each.danger, default=None)
    return BenchCautions(
        found,
        worst.rule if worst else None,
        len(every),
        Standing.CONVENTION,
        _WHY,
        (_NO_PROOF,),
    )


def _of_stage(stage: Stage, fill: Fill) -> StageCautions:
    found: list[BenchCaution] = []
    for rule in _ranked():
        if facts := list(RULES[rule](stage, fill)):
            found.append(_caution(rule, facts))
    return StageCautions(stage.name, tuple(found[:SHOWN]), tuple(found[SHOWN:]))


def _caution(rule: str, facts: Sequence[Fact]) -> BenchCaution:
    row = _ranked()[rule]
    numbers = {line for fact in facts for line in fact.lines}
    return BenchCaution(
        rule,
        _text(rule, facts),
        int(row["danger"]),
        row["group"],
        tuple(sorted(numbers)),
        _why(facts),
    )


def _text(rule: str, facts: Sequence[Fact]) -> str:
    """With the strictest figure where all have one; undecided where one that counts has none."""
    row = _wordings()[rule]
    limits = [fact.limit for fact in facts if fact.limit is not None]
    if row["text_with_limit"] and len(limits) == len(facts):
        return row["text_with_limit"].replace("{limit}", _figure(min(limits), rule))
    unknown = [fact for fact in facts if not fact.known]
    undecided = len(unknown) == len(facts) or (unknown and row["text_with_limit"])
    return row["text_not_known"] if undecided and row["text_not_known"] else row["text"]


def _figure(limit: Decimal, rule: str) -> str:
    return f"{plain(round_significant(limit, 4).normalize())} {_ranked()[rule]['unit']}"


def _why(facts: Sequence[Fact]) -> str:
    """One sentence of the first facts; those not known stand first, since they can be mended."""
    told = dict.fromkeys(fact.why for fact in sorted(facts, key=lambda fact: fact.known))
    more = len(told) - _FACTS_TOLD
    words = list(told)[:_FACTS_TOLD] + ([f"{more} more like this"] if more > 0 else [])
    return "; ".join(words)


def _check_lines(lines: Sequence[PlannedLine]) -> None:
    count(lines, 1, name="lines")
    for place, each in enumerate(lines):
        at = f"lines/{place}"
        within(Decimal(each.line), 1, high=9999, name=f"{at}/line")
        if each.mass_g is not None:
            positive(each.mass_g, f"{at}/mass_g")
        if each.family is not None:
            one_of(each.family, families(), name=f"{at}/family")
        if each.formula is not None:
            formula_parts(each.formula, name=f"{at}/formula")
        for name in _LINE_FIGURES:
            _celsius(getattr(each, name), f"{at}/{name}")
        if each.water_percent is not None:
            within(each.water_percent, 0, high=100, name=f"{at}/water_percent")


def _check_steps(steps: Sequence[PlannedStep]) -> None:
    count(steps, 0, name="steps")
    for place, each in enumerate(steps):
        at = f"steps/{place}"
        within(Decimal(each.line), 1, high=9999, name=f"{at}/line")
        one_of(each.do, planned_work(), name=f"{at}/do")
        _celsius(each.to_c, f"{at}/to_c")


def _check_stages(lines: Sequence[PlannedLine], steps: Sequence[PlannedStep]) -> None:
    """Every stage is looked through for all that is in the kettle by then: it has an end."""
    of_lines = {each.stage for each in lines}
    found = len(of_lines | {each.stage for each in steps})
    if found > _MOST_STAGES:
        raise OutOfRange(
            f"the plan has {found} stages",
            f"send at most {_MOST_STAGES}: a stage is a piece of work such as cook or thin",
            field="lines" if len(of_lines) > _MOST_STAGES else "steps",
        )


def _celsius(value: Decimal | None, name: str) -> None:
    if value is not None:
        within(value, -100, high=1000, name=name)


def _fills(fills: Sequence[StageFill]) -> dict[str, Fill]:
    return {
        each.stage: Fill(
            _percent(each.hot_percent, f"fills/{place}/hot_percent"),
            _percent(each.cold_percent, f"fills/{place}/cold_percent"),
            own=True,
        )
        for place, each in enumerate(fills)
    }


def _percent(value: Decimal | None, name: str) -> Decimal | None:
    return None if value is None else within(value, 0, high=1000, name=name)


@functools.cache
def _ranked() -> dict[str, dict[str, str]]:
    """The rules with their rank, the most dangerous first."""
    ranked = sorted(rows("caution_rules.csv"), key=lambda row: int(row["danger"]))
    return {row["rule"]: row for row in ranked}


@functools.cache
def _wordings() -> dict[str, dict[str, str]]:
    return {row["rule"]: row for row in rows("cautions.csv")}
