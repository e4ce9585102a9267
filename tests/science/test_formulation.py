"""Whole recipes worked through: every gram accounted for, losses, reactions, readings, refusals."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.science.derived_lines import Derivation
from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.formulation import (
    STAGES,
    Formula,
    FormulaLine,
    Reading,
    Worked,
    fixed_masses,
    worked,
)
from service.science.pots import Lacking, total
from service.science.ratios import shares
from service.science.resinates import fused_resinate, precipitated_resinate
from tests.science.pots_made import (
    OIL,
    POTASH,
    ROSIN,
    SALT,
    SHELF,
    SHELLAC,
    SPIRIT,
    WATER,
    ZINC_OXIDE,
    acid_value,
    charged_in,
    formula,
    part,
    rule,
    stage,
    varnish,
)

NEAR = 1e-9
LOSSES = st.decimals(-20, 60, places=1)
AMOUNTS = st.decimals("0.01", 1000, places=2)


def percent(line: int, amount: Any, name: str = "OIL", stage: str = "cook") -> FormulaLine:
    return FormulaLine(line, name, "percent", Decimal(amount), stage)


def left(done: Worked) -> Fraction:
    return sum((each.mass for each in done.left), Fraction(0))


@given(LOSSES, LOSSES, st.decimals(0, 120), st.fractions(Fraction(1, 2), Fraction(3, 2)))
def test_what_goes_in_is_what_comes_out_and_what_leaves(
    cook: Decimal, strain: Decimal, acid: Decimal, share: Fraction
) -> None:
    done = varnish(Reading("cook", acid, share), cook=cook, strain=strain)
    assert charged_in(done) == done.makes + left(done)
    assert done.makes == total(done.contents)


@given(
    st.lists(st.tuples(AMOUNTS, st.sampled_from(STAGES)), min_size=1, max_size=8),
    st.dictionaries(st.sampled_from(STAGES), LOSSES, max_size=6),
)
def test_lines_in_parts_are_their_shares_of_what_comes_out(
    lines: list[tuple[Decimal, str]], losses: dict[str, Decimal]
) -> None:
    stages = [stage(name, residue=losses.get(name, 0)) for name in STAGES]
    parts = [part(n, OIL, amount, name) for n, (amount, name) in enumerate(lines, 1)]
    done = worked(formula(parts, SHELF, *stages))
    ends = {one.lines[0]: one.mass for one in done.contents}
    assert done.makes == 1
    assert [ends[n] for n in sorted(ends)] == shares([("parts", each) for each, _ in lines])
    assert charged_in(done) == 1 + left(done)


@given(st.lists(AMOUNTS, min_size=1, max_size=6), LOSSES, LOSSES)
def test_the_order_of_lines_is_nothing_to_their_masses(
    amounts: list[Decimal], cook: Decimal, thin: Decimal
) -> None:
    stages = stage("cook", fumes=cook), stage("thin", evaporation=thin)
    lines = [part(n, OIL, amount, ("cook", "thin")[n % 2]) for n, amount in enumerate(amounts, 1)]
    forth, back = (fixed_masses(formula(order, SHELF, *stages)) for order in (lines, lines[::-1]))
    assert forth == back


def test_percent_lines_and_a_rest_share_the_whole() -> None:
    lines = [percent(1, "12.5"), rule(2, SPIRIT, "rest", stage="thin"), percent(3, 40)]
    done = worked(formula(lines, SHELF, stage("cook"), stage("thin")))
    assert [each.mass for each in done.charged] == [
        Fraction(1, 8),
        Fraction(19, 40),
        Fraction(2, 5),
    ]
    assert done.charged[1].how == "the rest"
    alone = worked(formula([rule(1, OIL, "rest")], SHELF))
    assert alone.makes == 1


def test_what_is_added_as_needed_has_no_mass() -> None:
    lines = [part(1, OIL, 1), rule(2, SPIRIT, "as-needed")]
    done = worked(formula(lines, SHELF))
    assert done.charged[1].mass is None
    assert done.charged[1].how == "as much as it needs"
    assert done.makes == 1


def test_lines_are_told_in_their_order_though_a_later_one_goes_in_first() -> None:
    lines = [part(1, SPIRIT, 1, "thin"), part(2, OIL, 1)]
    done = worked(formula(lines, SHELF, stage("cook"), stage("thin")))
    assert [each.line for each in done.charged] == [1, 2]
    assert [pot.stage for pot in done.pots] == ["cook", "thin"]
    assert [len(pot.contents) for pot in done.pots] == [1, 2]


def test_oil_that_takes_up_oxygen_weighs_more_and_says_why() -> None:
    lines = [part(1, OIL, 1, "sun-thicken")]
    done = worked(formula(lines, SHELF, stage("sun-thicken", oxygen=-10)))
    assert [(one.family, one.mass) for one in done.contents] == [
        ("drying-oil", Fraction(10, 11)),
        ("oxygen", Fraction(1, 11)),
    ]
    assert [(each.what, each.basis) for each in done.left] == [("oxygen", "declared")]
    assert done.makes == 1


def test_water_that_a_wet_cake_takes_up_leaves_again_when_it_is_dried() -> None:
    wet = worked(formula([part(1, OIL, 1, "wash")], SHELF, stage("wash", water=-25)))
    assert [(one.name, one.mass) for one in wet.contents] == [
        ("OIL", 1),
        ("water taken up", Fraction(1, 4)),
    ]
    stages = (stage("wash", water=-25), stage("dry"))
    dry = worked(formula([part(1, OIL, 1, "wash")], SHELF, *stages))
    assert [(one.name, one.mass) for one in dry.contents] == [("OIL", 1)]
    assert left(dry) == 0


def test_a_loss_of_an_empty_pot_is_none() -> None:
    lines = [part(1, OIL, 1, "thin")]
    done = worked(formula(lines, SHELF, stage("cook", fumes=5), stage("thin")))
    assert done.left == ()


WET = (
    part(1, ROSIN, 1000, "saponify"),
    part(2, WATER, 4000, "saponify"),
    rule(3, POTASH, "neutralise", 100, "saponify"),
    rule(4, SALT, "precipitate", 100, "precipitate"),
)
WET_STAGES = tuple(stage(name) for name in ("saponify", "precipitate", "wash", "dry"))


def test_a_precipitated_resinate_is_that_of_the_single_sum() -> None:
    done = worked(formula(WET, SHELF, *WET_STAGES))
    alone = precipitated_resinate(Decimal(1000), Decimal(165), salt="ZnSO4.7H2O")
    rosin, _, potash, salt = (each.mass or Fraction(0) for each in done.charged)
    assert float(1000 * done.makes / rosin) == pytest.approx(float(alone.product_g), rel=NEAR)
    # finish-science c: 205.276 g of K2CO3 and 427.095 g of ZnSO4.7H2O, both of 99 %.
    assert float(1000 * potash / rosin) == pytest.approx(205.276, rel=5e-4)
    assert float(1000 * salt / rosin) == pytest.approx(427.095, rel=1e-3)
    metal = sum((mass for one in done.contents for _, mass in one.metals), Fraction(0))
    assert float(100 * metal / done.makes) == pytest.approx(float(alone.metal_percent), rel=NEAR)
    assert [(each.stage, each.what) for each in done.left] == [
        ("saponify", "carbon dioxide"),
        ("wash", "spent salts and alkali"),
        ("dry", "WATER"),
    ]
    assert charged_in(done) == done.makes + left(done)
    assert f"precipitate: {alone.why}" in done.notes


@given(st.decimals("0.1", 20, places=1), st.decimals(0, 60, places=1))
def test_a_wet_resinate_is_lost_in_part_alike(loss: Decimal, later: Decimal) -> None:
    stages = (*WET_STAGES[:3], stage("dry", transfer=loss), stage("other", residue=later))
    done, whole = (worked(formula(WET, SHELF, *each)) for each in (stages, WET_STAGES))
    kept = (1 - Fraction(loss) / 100) * (1 - Fraction(later) / 100)
    first, second = (one.makes / (one.charged[0].mass or 1) for one in (done, whole))
    assert first == second * kept


@given(st.decimals(5, 99, places=1))
def test_a_fused_resinate_is_that_of_the_single_sum(part_taken: Decimal) -> None:
    lines = [part(1, ROSIN, 1000), rule(2, ZINC_OXIDE, "neutralise", part_taken)]
    done = worked(formula(lines, SHELF))
    rosin, zinc = (each.mass or Fraction(0) for each in done.charged)
    grams = Decimal(str(float(1000 * zinc / rosin)))
    alone = fused_resinate(
        Decimal(1000),
        Decimal(165),
        reagent="ZnO",
        reagent_g=grams,
        purity_percent=Decimal(99),
    )
    assert float(1000 * done.makes / rosin) == pytest.approx(float(alone.product_g), rel=NEAR)
    assert acid_value(done) == pytest.approx(float(alone.residual_acid_number), rel=1e-6)
    assert {f"cook: {note}" for note in alone.notes} <= set(done.notes)


def test_notes_name_the_line_or_the_stage_they_belong_to() -> None:
    notes = varnish().notes
    assert any(note.startswith("line 4: ") for note in notes)
    assert any(note.startswith("cook: a reaction carried to its end") for note in notes)
    assert len(set(notes)) == len(notes)


def test_a_reaction_that_was_not_reckoned_says_what_it_wants() -> None:
    unknown = ROSIN._replace(acid_value=None)
    lines = [part(1, unknown, 10), part(2, ZINC_OXIDE, 1)]
    done = worked(formula(lines, (unknown, ZINC_OXIDE), stage("melt"), stage("cook")))
    assert done.undecided == (("ROSIN", "acid value"),)
    assert done.makes == 1


@given(st.decimals("0.7", "1.1", places=2), st.decimals(0, 40, places=1))
def test_a_volume_is_to_the_parts_of_the_others_in_grams(density: Decimal, lost: Decimal) -> None:
    lines = [part(1, SHELLAC, 200, "dissolve"), rule(2, SPIRIT, "volume", 1000, "dissolve")]
    stages = stage("dissolve", evaporation=lost), stage("strain", straining=2)
    done = worked(formula(lines, SHELF, *stages, density=density))
    shellac = next(one.mass for one in done.contents if one.name == "SHELLAC")
    # 200 g of shellac are in the litre that comes out.
    assert done.makes / shellac * 200 == 1000 * Fraction(density)


def test_a_volume_beside_percents_is_to_a_hundred_grams_of_them() -> None:
    lines = [percent(1, 75), percent(2, 25), rule(3, SPIRIT, "volume", 200)]
    done = worked(formula(lines, SHELF, density=Decimal(1)))
    assert done.makes == 2
    rest = [rule(1, OIL, "rest"), rule(2, SPIRIT, "volume", 200)]
    assert worked(formula(rest, SHELF, density=Decimal(1))).makes == 2


def test_a_line_that_cannot_be_worked_out_names_what_it_lacks() -> None:
    unknown = ROSIN._replace(acid_value=None)
    lines = [part(1, unknown, 10), rule(2, ZINC_OXIDE, "neutralise", 50)]
    with pytest.raises(Lacking) as refused:
        worked(formula(lines, (unknown, ZINC_OXIDE)))
    assert (refused.value.line, refused.value.missing) == (2, (("ROSIN", "acid value"),))


@pytest.mark.parametrize(
    ("lines", "stages", "refusal", "field"),
    [
        ([part(1, OIL, 1, "thin")], (stage("cook"),), NotApplicable, "lines/1"),
        ([part(1, OIL, 1)], (stage("cook", fumes=100),), OutOfRange, "stages/cook"),
        ([rule(1, OIL, "per-binder", 5)], (), NotApplicable, "lines"),
        ([part(1, WATER, 1, "dry")], (stage("dry"),), NotApplicable, "lines"),
        ([part(1, ROSIN, 10), part(2, ZINC_OXIDE, 5)], (), OutOfRange, "lines/2"),
        ([percent(1, 60), rule(2, OIL, "rest"), rule(3, OIL, "rest")], (), OutOfRange, "lines/2"),
        ([part(1, OIL, 60), rule(2, OIL, "rest")], (), OutOfRange, "lines/2"),
        ([percent(1, 100), rule(2, OIL, "rest")], (), OutOfRange, "lines/2"),
        ([percent(1, 99)], (), OutOfRange, "lines"),
        ([percent(1, 100), part(2, OIL, 1)], (), OutOfRange, "lines"),
        ([part(1, OIL, 0)], (), OutOfRange, "lines/0/amount"),
        ([part(1, OIL, 2), rule(2, SPIRIT, "solids", 150)], (), OutOfRange, "lines/2"),
    ],
)
def test_a_recipe_that_cannot_be_is_refused_at_its_place(
    lines: list[FormulaLine],
    stages: tuple[Any, ...],
    refusal: type[ScienceError],
    field: str,
) -> None:
    with pytest.raises(refusal) as refused:
        worked(formula(lines, SHELF, *stages))
    assert refused.value.field == field
    assert refused.value.hint


@given(
    st.lists(
        st.tuples(st.sampled_from(SHELF), AMOUNTS, st.sampled_from(STAGES)), min_size=1, max_size=8
    ),
    st.dictionaries(st.sampled_from(STAGES), LOSSES, max_size=4),
)
def test_no_recipe_makes_or_loses_mass(lines: list[Any], losses: dict[str, Decimal]) -> None:
    parts = [part(n, one, amount, name) for n, (one, amount, name) in enumerate(lines, 1)]
    stages = [stage(name, residue=losses.get(name, 0)) for name in STAGES]
    try:
        done = worked(formula(parts, SHELF, *stages))
    except ScienceError:  # more metal than acid, or nothing left
        assume(False)
    assert charged_in(done) == done.makes + left(done)
    assert all(one.mass > 0 for one in done.contents)


def test_a_rule_that_looks_at_lines_looks_at_what_became_of_them() -> None:
    lines = (
        part(1, ROSIN, 1, "melt"),
        rule(2, ZINC_OXIDE, "neutralise", 40, "melt"),
        part(3, OIL, 2),
        FormulaLine(
            4, "SPIRIT", "rule", Decimal(10), "thin", Derivation(4, "per-binder", Decimal(10), (2,))
        ),
    )
    done = worked(
        Formula(
            lines,
            tuple(stage(name) for name in ("melt", "cook", "thin")),
            {one.name: one for one in SHELF},
        )
    )
    melt = done.pots[1].contents
    resinate = sum((one.mass for one in melt if 2 in one.lines), Fraction(0))
    assert done.charged[3].mass == resinate / 10
