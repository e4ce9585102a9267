"""Cautions come stage by stage, the most dangerous first, and none is lost."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.bench_cautions import (
    SHOWN,
    BenchCautions,
    PlannedLine,
    PlannedStep,
    StageFill,
    bench_cautions,
    families,
    planned_work,
)
from service.science.bench_rules import RULES
from service.science.cautions import cautions
from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.results import Standing
from service.science.tables import rows
from tests.science.benches import HEAT, OIL, ROSIN, SPIRIT, TURPENTINE, line, named, step


def test_a_figure_of_the_tables_stands_in_the_wording() -> None:
    found = bench_cautions([TURPENTINE._replace(stage="cook")], [step(204)])
    assert "flashes at 35 °C" in named(found, "cook-above-flash")[0].text
    assert "Within 50 K of 253 °C" in named(found, "near-autoignition")[0].text


def test_stages_follow_the_work_and_lines_without_a_step_follow_their_neighbours() -> None:
    lines = [OIL._replace(stage="melt"), ROSIN, TURPENTINE, line("water", stage="wash")]
    found = bench_cautions(lines, [step(200, stage="melt"), HEAT, step(do="strain", stage="fine")])
    assert [each.stage for each in found.stages] == ["melt", "cook", "thin", "wash", "fine"]


@pytest.mark.parametrize(("number", "expected"), [(1, ["thin", "cook"]), (10, ["cook", "thin"])])
def test_a_first_line_without_a_step_stands_by_its_number(number: int, expected: list[str]) -> None:
    found = bench_cautions([TURPENTINE._replace(line=number)], [HEAT])
    assert [each.stage for each in found.stages] == expected


def test_what_is_held_keeps_its_warmth() -> None:
    kept = [step(60, stage="mix"), step(None, "hold", "mix"), step(None, "hold", "warm")]
    found = bench_cautions([SPIRIT._replace(stage="mix")], kept)
    assert [each.stage for each in found.stages] == ["mix", "warm"]
    assert len(named(found, "cook-above-flash")) == 2


def test_more_reasons_than_can_be_read_are_counted() -> None:
    lines = [OIL._replace(line=each, material=f"oil {each}") for each in range(1, 6)]
    (rags,) = named(bench_cautions(lines), "oily-rags")
    assert rags.why.endswith("; 2 more like this")
    assert rags.lines == (1, 2, 3, 4, 5)


def test_every_rule_has_a_rank_of_its_own_and_a_wording() -> None:
    ranked = rows("caution_rules.csv")
    assert [row["rule"] for row in ranked] == list(RULES)
    assert [int(row["danger"]) for row in ranked] == list(range(1, len(ranked) + 1))
    assert set(RULES) <= set(cautions())


def test_a_figure_in_a_wording_has_its_unit() -> None:
    units = {row["rule"]: row["unit"] for row in rows("caution_rules.csv")}
    for row in rows("cautions.csv"):
        assert bool(row["text_with_limit"]) == bool(units.get(row["rule"])), row["rule"]
        for text in (row["text"], row["text_with_limit"], row["text_not_known"]):
            assert text == "" or text.endswith(".")


@pytest.mark.parametrize(
    ("facts", "refusal", "field"),
    [
        ({"line": 0}, OutOfRange, "lines/0/line"),
        ({"mass_g": Decimal(0)}, OutOfRange, "lines/0/mass_g"),
        ({"family": "potion"}, OutOfRange, "lines/0/family"),
        ({"formula": "zno"}, NumberMalformed, "lines/0/formula"),
        ({"flash_point_c": Decimal(1001)}, OutOfRange, "lines/0/flash_point_c"),
        ({"water_percent": Decimal(101)}, OutOfRange, "lines/0/water_percent"),
    ],
)
def test_a_fault_is_laid_to_its_field(
    facts: dict[str, Any], refusal: type[Exception], field: str
) -> None:
    with pytest.raises(refusal) as refused:
        bench_cautions([OIL._replace(**facts)])
    assert getattr(refused.value, "field", "") == field


def test_a_fill_beyond_any_kettle_is_laid_to_its_field() -> None:
    with pytest.raises(OutOfRange) as refused:
        bench_cautions([OIL], fills=[StageFill("cook"), StageFill("thin", Decimal(1001))])
    assert refused.value.field == "fills/1/hot_percent"


def test_a_step_of_no_known_work_and_a_plan_without_a_line_are_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        bench_cautions([OIL], [step(do="boil")])
    assert refused.value.field == "steps/0/do"
    with pytest.raises(NotApplicable):
        bench_cautions([])


@pytest.mark.parametrize(("of_lines", "field"), [(25, "lines"), (1, "steps")])
def test_a_plan_of_more_stages_than_work_has_is_refused(of_lines: int, field: str) -> None:
    lines = [OIL._replace(stage=f"stage {each}") for each in range(of_lines)]
    steps = [step(20, stage=f"stage {each}") for each in range(25)]
    with pytest.raises(OutOfRange) as refused:
        bench_cautions(lines, steps)
    assert refused.value.field == field
    assert bench_cautions(lines[:24], steps[:24]).called_for


def test_a_plan_without_a_caution_is_not_called_safe() -> None:
    found = bench_cautions([line("wax", stage="mix")])
    assert (found.most_dangerous, found.called_for) == (None, 0)
    assert found.standing is Standing.CONVENTION
    assert "not shown to be safe" in found.notes[0]
    assert "licensed practice" in found.why


STAGES = st.sampled_from(["melt", "cook", "dissolve", "thin", "strain"])
CELSIUS = st.none() | st.integers(-20, 400).map(Decimal)
FORMULAS = st.none() | st.sampled_from(["NaOH", "K2CO3", "CaO", "PbO", "Co(CH3COO)2.4H2O", "ZnO"])
LINES = st.builds(
    PlannedLine,
    st.integers(1, 20),
    STAGES,
    st.text(max_size=9),
    st.none() | st.integers(1, 5000).map(Decimal),
    st.none() | st.sampled_from(families()),
    FORMULAS,
    st.none() | st.booleans(),
    st.booleans(),
    CELSIUS,
    CELSIUS,
    CELSIUS,
    st.none() | st.integers(0, 100).map(Decimal),
)
STEPS = st.builds(PlannedStep, st.integers(1, 20), STAGES, st.sampled_from(planned_work()), CELSIUS)
SEVERAL = st.lists(LINES, min_size=1, max_size=5)


@given(SEVERAL, st.lists(STEPS, max_size=6))
def test_cautions_stand_by_danger_three_to_a_stage_and_the_rest_folded(
    lines: list[PlannedLine], steps: list[PlannedStep]
) -> None:
    found = bench_cautions(lines, steps)
    for stage in found.stages:
        dangers = [each.danger for each in stage.cautions]
        assert dangers == sorted(set(dangers))
        assert len(stage.shown) == min(SHOWN, len(dangers))
        assert stage.shown + stage.folded == stage.cautions
    every = [each for stage in found.stages for each in stage.cautions]
    assert found.called_for == len(every)
    assert all(each.text and each.why and each.lines for each in every)
    assert "{" not in "".join(each.text for each in every)
    assert found == bench_cautions(tuple(lines), tuple(steps))


@given(SEVERAL, st.lists(STEPS, max_size=6), LINES)
def test_one_more_line_takes_no_caution_away(
    lines: list[PlannedLine], steps: list[PlannedStep], more: PlannedLine
) -> None:
    before, after = bench_cautions(lines, steps), bench_cautions([*lines, more], steps)
    assert pairs(before) <= pairs(after)


def pairs(found: BenchCautions) -> set[tuple[str, str]]:
    return {(stage.stage, each.rule) for stage in found.stages for each in stage.cautions}
