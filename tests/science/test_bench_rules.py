"""Each caution has a plan that calls for it and one, a single fact away, that does not."""

from decimal import Decimal
from typing import Any

import chemicals
import pytest

from service.science.bench_cautions import (
    BenchCaution,
    PlannedLine,
    PlannedStep,
    StageFill,
    bench_cautions,
)
from service.science.bench_rules import RULES
from service.science.cook_plans import damp_addition
from service.science.errors import OutOfRange
from tests.science.benches import HEAT, MIXED, OIL, ROSIN, SPIRIT, TURPENTINE, line, named, step

ZERO_C_K = Decimal("273.15")
Sent = tuple[list[PlannedLine], list[PlannedStep]]

# rule; a plan that calls for it; the facts that take it away, put into the last line or last step
ON_AND_OFF: list[tuple[str, list[Any], list[Any], str, dict[str, Any]]] = [
    ("open-cook", [line("wax", stage="mix")], [step(101, stage="mix")], "step", {"to_c": 100}),
    ("open-cook", [OIL], [], "line", {"stage": "mix"}),
    ("solvent-into-hot-varnish", [OIL, line("solvent", boiling_point_c=Decimal(150))], [HEAT],
     "line", {"family": "other-oil"}),
    ("solvent-into-hot-varnish", [OIL, TURPENTINE], [HEAT, step(41, "cool")], "step", {"to_c": 40}),
    ("cook-above-flash", [SPIRIT], [step(12, stage="dissolve")], "step", {"to_c": 11}),
    ("cook-above-flash", [SPIRIT], [step(30, stage="dissolve")], "step", {"do": "wait"}),
    ("cook-above-flash", [SPIRIT], [step(30, stage="dissolve")], "line", {"flash_point_c": 31}),
    ("cook-above-flash", [line("solvent", flash_point_c=Decimal(12))], [HEAT],
     "line", {"family": "pigment", "flash_point_c": 61}),
    ("hot-oil-water", [OIL, line("resinate", water_percent=Decimal("1.1"))], [HEAT],
     "line", {"water_percent": 1}),
    ("hot-oil-water", [OIL, line("salt", formula="Zn(CH3COO)2.2H2O")], [HEAT],
     "line", {"formula": "Zn(CH3COO)2"}),
    ("hot-oil-water", [OIL, line("water")], [step(101)], "step", {"to_c": 100}),
    ("hot-oil-water", [OIL, line("water", stage="thin")], [HEAT, step(101, "cool")],
     "step", {"to_c": 100}),
    ("hot-oil-water", [line("water"), OIL], [HEAT], "line", {"family": "pigment"}),
    ("near-autoignition", [OIL], [step(294)], "step", {"to_c": 293}),
    ("near-autoignition", [OIL], [step(294)], "line", {"autoignition_c": 344}),
    ("ethanol-flame", [SPIRIT], [], "line", {"is_ethanol": False}),
    ("caustic", [line("base", formula="NaOH")], [], "line", {"formula": "Na2CO3"}),
    ("caustic", [line("base", formula="KOH")], [], "line", {"formula": "Ca(OH)2"}),
    ("carbonate-foam", [ROSIN, line("base", formula="K2CO3")], [], "line", {"formula": "KOH"}),
    ("carbonate-foam", [line("base", formula="Na2CO3.10H2O"), ROSIN], [],
     "line", {"family": "water"}),
    ("copal-running", [line("resin", "copal")], [step(330)], "step", {"to_c": 329}),
    ("copal-running", [line("resin", "copal")], [step(330)], "line", {"family": "wax"}),
    ("unknown-material", [line(None)], [], "line", {"family": "pigment"}),
    ("wax-melting", [line("wax", stage="mix")], [MIXED], "line", {"family": "resin"}),
    ("wax-melting", [line("wax", stage="mix")], [MIXED], "step", {"do": "check"}),
    ("oily-rags", [ROSIN, OIL], [], "line", {"autoxidising": False}),
    ("solvent-in-use", [line("solvent")], [], "line", {"family": "wax"}),
    ("solvent-in-use", [line("drier", flash_point_c=Decimal(60))], [],
     "line", {"flash_point_c": 61}),
    ("settling-with-solvent", [TURPENTINE], [step(do="wait", stage="thin")],
     "step", {"do": "strain"}),
    ("rosin-fumes", [ROSIN], [step(201)], "step", {"to_c": 200}),
    ("rosin-fumes", [ROSIN], [HEAT], "line", {"family": "wax"}),
    ("lead", [line("pigment", formula="PbO")], [], "line", {"formula": "ZnO"}),
    ("acetate-fumes", [line("salt", formula="Co(CH3COO)2.4H2O")], [HEAT],
     "line", {"formula": "CoSO4.7H2O"}),
    ("acetate-fumes", [line("salt", formula="Zn(CH3COO)2", stage="mix")], [MIXED],
     "step", {"do": "check"}),
    ("lime-dust", [line("oxide", formula="CaO")], [], "line", {"formula": "ZnO"}),
    ("lime-dust", [line("base", formula="Ca(OH)2")], [], "line", {"formula": "NaOH"}),
    ("cobalt-drier", [line("drier", formula="CoO")], [], "line", {"formula": "MnO"}),
    ("oxide-dust", [line("oxide", formula="ZnO")], [], "line", {"family": "salt"}),
    ("metal-salt", [line("salt", formula="ZnCl2")], [], "line", {"family": "oxide"}),
    ("metal-salt", [line("salt", formula="MnSO4.H2O")], [], "line", {"formula": "NaCl"}),
    ("metal-salt", [line("salt", formula="Fe2(SO4)3")], [], "line", {"formula": "K3PO4"}),
]  # fmt: skip

# rule; a plan with a fact left out; that fact as it must be to take the caution away
LEFT_OUT: list[tuple[str, list[Any], list[Any], str, dict[str, Any]]] = [
    ("open-cook", [line("wax", stage="melt")], [step(None, stage="melt")], "step", {"to_c": 90}),
    ("solvent-into-hot-varnish", [OIL, TURPENTINE], [HEAT, step(None, "cool")],
     "step", {"to_c": 40}),
    ("solvent-into-hot-varnish", [TURPENTINE], [], "line", {"stage": "mix"}),
    ("open-cook", [OIL._replace(stage="melt")], [], "line", {"stage": "mix"}),
    ("solvent-into-hot-varnish", [OIL, line(None, stage="thin")], [HEAT],
     "line", {"family": "wax"}),
    ("cook-above-flash", [SPIRIT._replace(flash_point_c=None)], [step(30, stage="dissolve")],
     "line", {"flash_point_c": 31}),
    ("cook-above-flash", [TURPENTINE], [step(None, stage="thin")], "step", {"to_c": 34}),
    ("cook-above-flash", [line("balsam")], [HEAT], "line", {"flash_point_c": 61}),
    ("hot-oil-water", [OIL, line("resinate")], [HEAT], "line", {"water_percent": 0}),
    ("hot-oil-water", [OIL, line("water")], [step(None)], "step", {"to_c": 100}),
    ("hot-oil-water", [line("water"), line(None)], [HEAT], "line", {"family": "solvent"}),
    ("near-autoignition", [line("drying-oil")], [step(294)], "line", {"autoignition_c": 344}),
    ("near-autoignition", [OIL], [step(None)], "step", {"to_c": 200}),
    ("near-autoignition", [line("wax")], [step(161)], "step", {"to_c": 160}),
    ("caustic", [line("base")], [], "line", {"formula": "K2CO3"}),
    ("carbonate-foam", [ROSIN, line("base")], [], "line", {"formula": "KOH"}),
    ("carbonate-foam", [line("base", formula="K2CO3"), line(None)], [], "line", {"family": "wax"}),
    ("copal-running", [ROSIN], [step(None)], "step", {"to_c": 240}),
    ("oily-rags", [line("drying-oil")], [], "line", {"autoxidising": False}),
    ("solvent-in-use", [line("drier")], [], "line", {"flash_point_c": 61}),
    ("settling-with-solvent", [line("balsam")], [step(do="wait")], "line", {"flash_point_c": 61}),
    ("rosin-fumes", [ROSIN], [], "line", {"stage": "mix"}),
    ("rosin-fumes", [ROSIN], [step(None, "hold")], "step", {"to_c": 180}),
    ("rosin-fumes", [ROSIN._replace(stage="mix")], [step(None, "hold", "mix")],
     "step", {"to_c": 180}),
    ("lead", [line("drier")], [], "line", {"formula": "MnO"}),
    ("acetate-fumes", [line("salt")], [HEAT], "line", {"formula": "ZnCl2"}),
    ("lime-dust", [line("oxide")], [], "line", {"formula": "ZnO"}),
    ("cobalt-drier", [line("drier")], [], "line", {"formula": "ZnO"}),
    ("metal-salt", [line("salt")], [], "line", {"formula": "CaCl2"}),
    ("solvent-in-use", [line("other")], [], "line", {"formula": "C6H9N3O2.HCl.H2O"}),
]  # fmt: skip


def changed(
    lines: list[PlannedLine], steps: list[PlannedStep], where: str, facts: dict[str, Any]
) -> Sent:
    """The plan with facts put into its last line or its last step."""
    typed = {name: Decimal(value) if type(value) is int else value for name, value in facts.items()}
    if where == "line":
        return [*lines[:-1], lines[-1]._replace(**typed)], steps
    return lines, [*steps[:-1], steps[-1]._replace(**typed)]


@pytest.mark.parametrize(("rule", "lines", "steps", "where", "facts"), ON_AND_OFF)
def test_one_fact_switches_a_caution_on_and_off(
    rule: str,
    lines: list[PlannedLine],
    steps: list[PlannedStep],
    where: str,
    facts: dict[str, Any],
) -> None:
    on = named(bench_cautions(lines, steps), rule)
    assert on
    assert all(each.lines and "not known" not in each.why for each in on if lines[-1].family)
    assert not named(bench_cautions(*changed(lines, steps, where, facts)), rule)


@pytest.mark.parametrize(("rule", "lines", "steps", "where", "facts"), LEFT_OUT)
def test_a_fact_left_out_switches_nothing_off_in_silence(
    rule: str,
    lines: list[PlannedLine],
    steps: list[PlannedStep],
    where: str,
    facts: dict[str, Any],
) -> None:
    found = named(bench_cautions(lines, steps), rule)
    assert found
    assert all("not known" in each.why for each in found)
    assert not named(bench_cautions(*changed(lines, steps, where, facts)), rule)


def test_every_rule_has_its_pair() -> None:
    assert {case[0] for case in ON_AND_OFF} | {"kettle-headroom", "thinned-headroom"} == set(RULES)


@pytest.mark.parametrize(
    ("lines", "hot", "cold", "text", "why"),
    [
        ([ROSIN], None, None, "is not known", "not known"),
        ([ROSIN], None, 45, "is not known", "not known"),
        ([ROSIN], 50, 45, None, ""),
        ([ROSIN], 51, 45, "too full", "51 % full when hot, 50 %"),
        ([ROSIN], 50, 52, "stands 52 % full before", "52 % full when cold"),
        ([OIL], 66, None, None, ""),
        ([OIL], 67, None, "too full", "67 % full when hot, 66 %"),
        ([OIL, ROSIN], 66, None, "too full", "66 % full when hot, 50 %"),
    ],
)
def test_a_kettle_keeps_half_of_it_empty_where_it_foams_and_a_third_for_oil(
    lines: list[PlannedLine], hot: int | None, cold: int | None, text: str | None, why: str
) -> None:
    found = bench_cautions(
        lines,
        [HEAT],
        fullest_hot_percent=None if hot is None else Decimal(hot),
        fullest_cold_percent=None if cold is None else Decimal(cold),
    )
    headroom = named(found, "kettle-headroom")
    assert bool(headroom) == (text is not None)
    assert all((text or "") in each.text and why in each.why for each in headroom)


def test_each_stage_is_measured_by_how_full_the_kettle_stands_in_it() -> None:
    # 50 % where a charge can foam: common practice, service/science/kettle.py.
    lines, steps = [ROSIN, TURPENTINE], [HEAT, step(100, "cool", "thin")]
    fills = [StageFill("cook", Decimal(45), Decimal(40)), StageFill("thin", Decimal(72))]
    found = bench_cautions(lines, steps, fills=fills)
    assert not named(found, "kettle-headroom")
    (thinned,) = named(found, "thinned-headroom")
    assert thinned.text.startswith("Once thinned the kettle stands 72 % full")
    assert (thinned in found.stages[1].cautions, thinned.lines) == (True, (TURPENTINE.line,))
    emptier = [fills[0], StageFill("thin", Decimal(50), Decimal(48))]
    assert not named(bench_cautions(lines, steps, fills=emptier), "thinned-headroom")


def test_a_full_cook_is_cautioned_at_the_cook() -> None:
    fills = [StageFill("cook", Decimal(60), Decimal(45)), StageFill("thin", Decimal(50))]
    found = bench_cautions([ROSIN, TURPENTINE], [HEAT], fills=fills)
    (headroom,) = named(found, "kettle-headroom")
    assert headroom.why == "the kettle stands 60 % full when hot, 50 % is the most"
    assert headroom in found.stages[0].cautions
    assert not named(found, "thinned-headroom")


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ([step(75)], "75"),
        ([step(75), step(55, "cool", "thin")], "55"),
        ([step(240), step(110, "cool", "thin")], "110"),
        ([step(240), step(125, "cool", "thin")], "120"),
        ([step(240)], "120"),
    ],
)
def test_a_pour_is_told_as_it_is_planned_where_that_is_below_its_limit(
    steps: list[PlannedStep], told: str
) -> None:
    (pour,) = named(bench_cautions([OIL, TURPENTINE], steps), "solvent-into-hot-varnish")
    assert pour.text.endswith(f"pour no hotter than {told} °C.")
    assert ("by the plan and 120 °C at most" in pour.why) is (told != "120")


def test_what_is_added_as_it_needs_is_cautioned_without_its_mass() -> None:
    alkali = line("base", "lye", formula="NaOH", stage="mix")._replace(mass_g=None)
    assert named(bench_cautions([alkali]), "caustic")
    damp = line("resinate", "zinc resinate", water_percent=Decimal(4))._replace(mass_g=None)
    (found,) = named(bench_cautions([OIL, damp], [HEAT]), "hot-oil-water")
    assert found.why == "zinc resinate brings water"


@pytest.mark.parametrize(
    ("facts", "text", "why"),
    [
        ({}, "no hotter than 120 °C", "goes into a charge that was at 240 °C"),
        ({"autoignition_c": Decimal(160)}, "no hotter than 110 °C", "240 °C"),
        ({"boiling_point_c": None}, "undecided", "boiling point of turpentine is not known"),
        ({"is_ethanol": True}, "no hotter than 40 °C", "240 °C"),
        ({"is_ethanol": True, "boiling_point_c": None}, "undecided", "40 °C at most"),
        ({"boiling_point_c": Decimal(180), "autoignition_c": None}, "undecided", "not known"),
        ({"boiling_point_c": Decimal(10)}, "undecided", "not known from its figures"),
    ],
)
def test_the_pour_has_its_limit_or_is_undecided(facts: dict[str, Any], text: str, why: str) -> None:
    found = bench_cautions([OIL, TURPENTINE._replace(**facts)], [HEAT])
    (pour,) = named(found, "solvent-into-hot-varnish")
    assert text in pour.text
    assert why in pour.why


def test_of_two_solvents_the_stricter_counts_and_an_unknown_one_more() -> None:
    heavy = TURPENTINE._replace(line=3, boiling_point_c=Decimal(160))
    (pour,) = named(bench_cautions([heavy, TURPENTINE], [HEAT]), "solvent-into-hot-varnish")
    assert "120 °C" in pour.text
    assert pour.lines == (1, 3)
    open_ = [TURPENTINE, heavy._replace(boiling_point_c=None)]
    (pour,) = named(bench_cautions(open_, [HEAT]), "solvent-into-hot-varnish")
    assert "undecided" in pour.text


@pytest.mark.parametrize("material", ["64-17-5", "8006-64-2", "138-86-3", "67-64-1"])
def test_flash_and_autoignition_of_the_standards_switch_where_they_stand(material: str) -> None:
    # chemicals 1.5.2: IEC 60079-20-1:2010 table B.1, for ethanol, turpentine, dipentene, acetone
    method = "IEC 60079-20-1 (2010)"
    flash = Decimal(str(chemicals.T_flash(material, method=method))) - ZERO_C_K
    ignites = Decimal(str(chemicals.T_autoignition(material, method=method))) - ZERO_C_K
    solvent = line("solvent", flash_point_c=flash, autoignition_c=ignites)
    for rule, first in (("cook-above-flash", flash), ("near-autoignition", ignites - 49)):
        below = first - 1 if rule == "near-autoignition" else first - Decimal("0.1")
        for to_c, expected in ((first, True), (below, False)):
            found = bench_cautions([solvent], [HEAT._replace(to_c=to_c)])
            assert bool(named(found, rule)) == expected, (rule, to_c)


@pytest.mark.parametrize(("water", "refused"), [("1", False), ("1.1", True)])
def test_damp_is_what_a_plan_of_a_damp_addition_refuses(water: str, refused: bool) -> None:
    damp = line("resinate", water_percent=Decimal(water))
    assert bool(named(bench_cautions([OIL, damp], [step(101)]), "hot-oil-water")) == refused
    if refused:
        with pytest.raises(OutOfRange):
            damp_addition(Decimal(water), Decimal(101), resinate_g=Decimal(500))
    else:
        assert damp_addition(Decimal(water), Decimal(101), resinate_g=Decimal(500)).steam_l


def test_the_steam_of_damp_resinate_is_told() -> None:
    damp = line("resinate", "zinc resinate", water_percent=Decimal(4))
    (found,) = named(bench_cautions([OIL, damp], [HEAT]), "hot-oil-water")
    # 500 g x 4 % x 1.700 l/g = 34 l, ideal gas at 100 °C
    assert found.why == "zinc resinate brings water, up to 34 l of steam"


def test_water_that_was_boiled_off_before_is_not_cautioned_of_again() -> None:
    steps = [step(150, stage="melt"), HEAT]
    found = bench_cautions([line("water", stage="melt"), OIL._replace(stage="melt")], steps)
    cautioned = [stage.stage for stage in found.stages if named_in(stage.cautions)]
    assert cautioned == ["melt"]


def named_in(found: tuple[BenchCaution, ...]) -> bool:
    return any(each.rule == "hot-oil-water" for each in found)
