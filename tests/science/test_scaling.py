"""A recipe scaled: exact before rounding, rounded once, and the same recipe as the engine's."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.formulation import Worked, worked
from service.science.ranges import LONGEST_LIST
from service.science.rounding import decimal_of, round_half_even
from service.science.scaling import (
    Scaling,
    ScalingLine,
    ScalingStage,
    exact_masses,
    scaling,
)
from service.science.weighing import minimum_net_mass
from tests.science.pots_made import OIL, formula, part, rule, stage

TINY = Decimal("1e-20")
ONE = Decimal(1)
STAGES = ("melt", "cook", "thin")
GRAMS = st.decimals("0.1", 10000, places=1)
STEPS = st.sampled_from([Decimal(step) for step in ("0.001", "0.01", "0.02", "0.05", "0.5", "5")])
AMOUNTS = st.decimals("0.01", 1000, places=2)
PARTS = st.lists(
    st.builds(
        ScalingLine,
        st.sampled_from(["OIL", "ROSIN"]),
        AMOUNTS,
        st.just("parts"),
        st.sampled_from(STAGES),
    ),
    min_size=1,
    max_size=8,
)
PERCENTS = st.lists(
    st.builds(
        ScalingLine,
        st.just("SPIRIT"),
        st.decimals("0.1", 20, places=1),
        st.just("percent"),
        st.sampled_from(STAGES),
    ),
    max_size=4,
)
LINES = st.tuples(PARTS, PERCENTS).map(lambda both: [*both[0], *both[1]])
WORK = st.lists(st.decimals(-50, 99, places=1), min_size=3, max_size=3).map(
    lambda losses: [ScalingStage(name, loss) for name, loss in zip(STAGES, losses, strict=True)]
)


def scaled(
    lines: Sequence[ScalingLine],
    makes: Decimal | int | str = 1000,
    *,
    step: Decimal | int | str = 1,
    work: Sequence[ScalingStage] = (),
    tolerance: Decimal = ONE,
) -> Scaling:
    return scaling(
        lines,
        Decimal(makes),
        readability_g=Decimal(step),
        stages=work,
        tolerance_percent=tolerance,
    )


def exact(
    lines: Sequence[ScalingLine], makes: Decimal | Fraction, work: Sequence[ScalingStage]
) -> list[Fraction]:
    """The same by the engine that works recipes through, in fractions."""
    found = exact_masses(_worked(lines, work), makes)
    return [found[n] for n in range(1, len(lines) + 1)]


def _worked(lines: Sequence[ScalingLine], work: Sequence[ScalingStage]) -> Worked:
    taken = [
        part(n, OIL, line.amount, line.stage)._replace(basis=line.basis)
        for n, line in enumerate(lines, 1)
    ]
    return worked(
        formula(taken, [OIL], *(stage(one.stage, fumes=one.loss_percent) for one in work))
    )


@given(LINES, GRAMS, STEPS, WORK)
def test_it_is_the_recipe_worked_through_and_rounded_once(
    lines: list[ScalingLine], makes: Decimal, step: Decimal, work: list[ScalingStage]
) -> None:
    found = scaled(lines, makes, step=step, work=work)
    done = _worked(lines, work)
    masses = exact(lines, makes, work)
    least = Fraction(minimum_net_mass(step, ONE).minimum_net_mass_g)
    assert [line.exact_g for line in found.lines] == [decimal_of(mass) for mass in masses]
    assert [line.weighed_g for line in found.lines] == [
        round_half_even(mass, step) for mass in masses
    ]
    assert [line.below_minimum for line in found.lines] == [mass < least for mass in masses]
    assert found.total_exact_g == decimal_of(sum(masses, Fraction(0)))
    assert [(one.stage, one.left_g) for one in found.losses] == [
        (one.stage, decimal_of(one.mass * Fraction(makes))) for one in done.left
    ]
    assert found.makes_g == makes


@given(LINES, GRAMS, st.fractions(Fraction(1, 1000), 1000), WORK)
def test_scaled_up_and_down_again_it_is_the_same_recipe(
    lines: list[ScalingLine], makes: Decimal, times: Fraction, work: list[ScalingStage]
) -> None:
    once, more = exact(lines, makes, work), exact(lines, Fraction(makes) * times, work)
    assert [mass / times for mass in more] == once


@given(LINES, GRAMS, STEPS, WORK)
def test_a_line_is_off_by_half_a_step_and_the_total_by_what_is_said(
    lines: list[ScalingLine], makes: Decimal, step: Decimal, work: list[ScalingStage]
) -> None:
    found = scaled(lines, makes, step=step, work=work)
    for line in found.lines:
        assert abs(line.weighed_g - line.exact_g) <= step / 2 + TINY
        assert line.weighed_g % step == 0
    assert sum(line.weighed_g for line in found.lines) == found.total_weighed_g
    assert sum(line.exact_g for line in found.lines) == pytest.approx(found.total_exact_g, rel=TINY)
    assert found.total_weighed_g - found.total_exact_g == pytest.approx(found.rounding_g, abs=TINY)
    assert abs(found.rounding_g) <= len(lines) * step / 2 + TINY


@given(LINES, GRAMS, WORK)
def test_shares_make_the_whole_and_what_leaves_is_what_went_in_beyond_it(
    lines: list[ScalingLine], makes: Decimal, work: list[ScalingStage]
) -> None:
    found = scaled(lines, makes, work=work)
    assert sum(line.share_percent for line in found.lines) == pytest.approx(100, rel=TINY)
    lost = sum((one.left_g for one in found.losses), Decimal(0))
    assert makes + lost == pytest.approx(found.total_exact_g, rel=Decimal("1e-15"))


@given(LINES, GRAMS, WORK, st.integers(2, 50))
def test_twice_as_much_takes_twice_as_much(
    lines: list[ScalingLine], makes: Decimal, work: list[ScalingStage], times: int
) -> None:
    once, more = scaled(lines, makes, work=work), scaled(lines, makes * times, work=work)
    for one, other in zip(once.lines, more.lines, strict=True):
        assert other.exact_g == pytest.approx(one.exact_g * times, rel=TINY)
        assert other.share_percent == one.share_percent


@given(st.data(), LINES, WORK)
def test_the_order_of_the_lines_is_nothing_to_their_masses(
    data: st.DataObject, lines: list[ScalingLine], work: list[ScalingStage]
) -> None:
    order = data.draw(st.permutations(range(len(lines))))
    first = scaled(lines, work=work).lines
    second = scaled([lines[n] for n in order], work=work).lines
    assert [first[n] for n in order] == list(second)


def test_without_stages_nothing_is_lost_wherever_a_line_stands() -> None:
    lines = [ScalingLine("OIL", Decimal(3)), ScalingLine("SPIRIT", Decimal(2), stage="thin")]
    found = scaled(lines)
    assert [line.weighed_g for line in found.lines] == [600, 400]
    assert found.losses == ()
    assert found.notes == ()


def test_a_stage_before_any_line_loses_nothing() -> None:
    lines = [ScalingLine("OIL", ONE, stage="thin")]
    found = scaled(lines, work=[ScalingStage("cook", Decimal(10)), ScalingStage("thin")])
    assert found.losses == ()
    assert found.total_exact_g == 1000


def test_a_gain_is_a_loss_below_nothing() -> None:
    found = scaled([ScalingLine("OIL", ONE)], work=[ScalingStage("cook", Decimal(-25))])
    assert (found.total_exact_g, found.losses[0].left_g) == (800, -200)


def test_a_line_too_small_for_the_balance_is_told_with_the_least_it_weighs() -> None:
    lines = [
        ScalingLine("OIL", Decimal(1000)),
        ScalingLine("DRIER", Decimal(3)),
        ScalingLine("TINT", Decimal("0.0005")),
        ScalingLine("DRIER", Decimal(2)),
    ]
    found = scaled(lines, step="0.1")
    assert [line.below_minimum for line in found.lines] == [False, True, True, True]
    small, nothing = found.notes
    assert small.startswith("DRIER, TINT: below 8.2 g, the least that this balance weighs to 1 %")
    assert nothing == "TINT: less than half a step of the balance, so nothing is weighed"
    finer = scaled(lines, step="0.1", tolerance=Decimal(5))
    assert [line.below_minimum for line in finer.lines] == [False, False, True, False]


def test_what_is_just_the_least_is_not_below_it() -> None:
    least = minimum_net_mass(Decimal("0.1"), ONE).minimum_net_mass_g
    assert not scaled([ScalingLine("OIL", ONE)], least, step="0.1").lines[0].below_minimum
    assert scaled([ScalingLine("OIL", ONE)], least - TINY, step="0.1").lines[0].below_minimum


def test_what_is_added_as_needed_is_not_scaled() -> None:
    done = worked(formula([part(1, OIL, 1), rule(2, OIL, "as-needed")], [OIL]))
    assert exact_masses(done, Decimal(250)) == {1: 250}


OIL_LINE = ScalingLine("OIL", ONE)
COOK = ScalingStage("cook")


@pytest.mark.parametrize(
    ("lines", "work", "refusal", "field"),
    [
        ([], [], NotApplicable, "lines"),
        ([OIL_LINE] * (LONGEST_LIST + 1), [], OutOfRange, "lines"),
        ([OIL_LINE._replace(amount=Decimal(0))], [], OutOfRange, "lines/0/amount"),
        ([OIL_LINE, OIL_LINE._replace(basis="share")], [], OutOfRange, "lines/1/basis"),
        ([OIL_LINE._replace(stage="thin")], [COOK], NotApplicable, "lines/0/stage"),
        ([OIL_LINE._replace(basis="percent")], [], OutOfRange, "lines"),
        (
            [OIL_LINE, ScalingLine("SPIRIT", Decimal(100), "percent")],
            [],
            OutOfRange,
            "lines",
        ),
        ([OIL_LINE], [COOK, COOK], OutOfRange, "stages/1/stage"),
        (
            [OIL_LINE],
            [COOK, ScalingStage("thin", Decimal("99.1"))],
            OutOfRange,
            "stages/1/loss_percent",
        ),
        (
            [OIL_LINE],
            [ScalingStage("cook", Decimal("-50.1"))],
            OutOfRange,
            "stages/0/loss_percent",
        ),
    ],
)
def test_a_recipe_that_cannot_be_scaled_names_what_is_wrong(
    lines: list[ScalingLine],
    work: list[ScalingStage],
    refusal: type[ScienceError],
    field: str,
) -> None:
    with pytest.raises(refusal) as refused:
        scaled(lines, work=work)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("makes", "step", "tolerance", "field"),
    [
        ("0", "1", "1", "makes_g"),
        ("1", "0", "1", "readability_g"),
        ("1", "1", "0", "tolerance_percent"),
        ("1", "1", "101", "tolerance_percent"),
    ],
)
def test_a_figure_out_of_its_range_is_named(
    makes: str, step: str, tolerance: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        scaled([OIL_LINE], makes, step=step, tolerance=Decimal(tolerance))
    assert refused.value.field == field
