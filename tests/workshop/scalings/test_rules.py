"""Laws of scaling, for all recipes and sizes."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from service.science.formulation import DeclaredLoss, Formula, FormulaLine, FormulaStage, worked
from service.science.pots import Substance
from service.workshop.recipes.rules import Charge
from service.workshop.scalings import rules
from tests.makers.charges import charges

STEPS = st.sampled_from([Decimal("0.01"), Decimal("0.1"), Decimal("0.5"), Decimal(1), Decimal(2)])
SIZES = st.decimals("1", "100000", places=3).map(Fraction)
LOSSES = st.decimals("0", "60", places=1)
AMOUNTS = st.lists(st.decimals("0.01", "1000", places=2), min_size=1, max_size=8)


def charge(amounts: list[Decimal], cook: Decimal) -> list[Charge]:
    return charges(amounts, ["cook"] * len(amounts), cook=cook, strain=Decimal(0))


@given(AMOUNTS, LOSSES, SIZES, STEPS)
def test_a_rounded_line_is_within_half_a_step_of_the_exact_one(
    amounts: list[Decimal], cook: Decimal, size: Fraction, step: Decimal
) -> None:
    for aim in rules.targets(charge(amounts, cook), size, step_g=step):
        assert abs(Fraction(aim.rounded_g) - aim.exact_g) <= Fraction(step) / 2
        assert Fraction(aim.rounded_g) % Fraction(step) == 0


@given(AMOUNTS, LOSSES, SIZES)
def test_the_lines_less_the_loss_are_what_was_asked(
    amounts: list[Decimal], cook: Decimal, size: Fraction
) -> None:
    aims = rules.targets(charge(amounts, cook), size, step_g=Decimal(1))
    assert sum(aim.exact_g for aim in aims) * (1 - Fraction(cook) / 100) == size


@given(AMOUNTS, LOSSES, SIZES, st.integers(2, 1000))
def test_scaling_by_a_factor_scales_every_exact_target_by_it(
    amounts: list[Decimal], cook: Decimal, size: Fraction, factor: int
) -> None:
    once, often = (
        rules.targets(charge(amounts, cook), size * times, step_g=Decimal(1))
        for times in (1, factor)
    )
    assert [aim.exact_g * factor for aim in once] == [aim.exact_g for aim in often]


@given(AMOUNTS, LOSSES, SIZES)
def test_asking_by_an_ingredient_gives_back_the_charge_it_came_from(
    amounts: list[Decimal], cook: Decimal, size: Fraction
) -> None:
    shares = charge(amounts, cook)
    first = rules.targets(shares, size, step_g=Decimal(1))[0]
    assert rules.makes_of(shares, first.material, first.exact_g) == size


@given(
    st.integers(0, 10**9),
    st.dictionaries(st.text("ABC", min_size=1), st.integers(0, 10**8), max_size=6),
)
def test_lots_give_what_they_hold_in_order_and_the_rest_is_short(
    wanted: int, left: dict[str, int]
) -> None:
    taken, short = rules.split(wanted, left)
    assert sum(taken.values()) + short == wanted
    assert all(0 < amount <= left[lot] for lot, amount in taken.items())
    assert not short or taken == {lot: held for lot, held in left.items() if held}
    emptied = [lot for lot in taken if taken[lot] == left[lot]]
    assert list(taken)[: len(taken) - 1] == emptied[: len(taken) - 1]


HELD = st.integers(0, 10**8)  # mg: up to 100 kg
STEPS_MG = st.sampled_from([1, 10, 100, 500, 1000, 2000, 50_000])


@given(AMOUNTS, LOSSES, st.data(), STEPS_MG)
def test_all_of_the_stock_never_asks_for_more_than_there_is(
    amounts: list[Decimal], cook: Decimal, data: st.DataObject, step_mg: int
) -> None:
    # Of every two lines the second is the same material again.
    shares = [one._replace(material=f"MAT-{one.line // 2}") for one in charge(amounts, cook)]
    held = {one.material: data.draw(HELD) for one in shares}
    most = rules.most_of(shares, held, step_mg=step_mg)
    assert most is not None
    if most.makes_g <= 0:
        assert held[most.material] <= step_mg  # at most half a step for each of its two lines
        return
    asked = dict.fromkeys(held, 0)
    for aim in rules.targets(shares, most.makes_g, step_g=Decimal(step_mg) / 1000):
        asked[aim.material] += aim.rounded_mg
    assert all(asked[code] <= held[code] for code in held)
    # A step more for each line of the scarcest, and it would be short.
    lines = sum(one.material == most.material for one in shares)
    assert held[most.material] - asked[most.material] <= lines * step_mg


@given(AMOUNTS, LOSSES, SIZES, st.integers(1, 1000), st.integers(1, 1000))
def test_scaling_up_and_down_again_is_the_same_to_the_last_digit(
    amounts: list[Decimal], cook: Decimal, size: Fraction, up: int, down: int
) -> None:
    factor = Fraction(up, down)
    shares = charge(amounts, cook)
    often = rules.targets(shares, size * factor, step_g=Decimal(1))[0]
    back = rules.makes_of(shares, often.material, often.exact_g)
    assert back is not None
    assert back / factor == size


@given(AMOUNTS, LOSSES, SIZES, STEPS, st.decimals("0.01", "100000", places=2))
def test_what_was_weighed_stands_and_only_the_others_are_rounded(
    amounts: list[Decimal], cook: Decimal, size: Fraction, step: Decimal, fell: Decimal
) -> None:
    shares = charge(amounts, cook)
    first, *others = rules.targets(shares, size, step_g=step, weighed={1: Fraction(fell)})
    assert (first.rounded_g, first.exact_g, first.weighed) == (fell, Fraction(fell), True)
    assert others == rules.targets(shares, size, step_g=step)[1:]


@given(AMOUNTS, LOSSES, SIZES, STEPS)
def test_the_charge_as_weighed_keeps_what_each_line_keeps(
    amounts: list[Decimal], cook: Decimal, size: Fraction, step: Decimal
) -> None:
    shares = charge(amounts, cook)
    aims = rules.targets(shares, size, step_g=step)
    for was, now in zip(shares, rules.weighed(aims, shares), strict=True):
        assert now.kept * was.charged == now.charged * was.kept


COOKED_OR_NOT = st.lists(
    st.tuples(st.decimals("0.01", "1000", places=2), st.sampled_from(["cook", "mix", "thin"])),
    min_size=1,
    max_size=8,
)
STAGE_LOSSES = st.lists(st.decimals("-20", "60", places=1), min_size=3, max_size=3)


@given(COOKED_OR_NOT, STAGE_LOSSES)
def test_of_a_recipe_worked_through_all_that_goes_in_comes_out_or_leaves(
    told: list[tuple[Decimal, str]], losses: list[Decimal]
) -> None:
    done = worked(formula(told, losses))
    charged = sum(each.mass or Fraction(0) for each in done.charged)
    assert charged == done.makes + sum(left.mass for left in done.left)
    assert done.makes == 1


@given(COOKED_OR_NOT, STAGE_LOSSES)
def test_what_is_in_the_pot_at_the_end_has_the_parts_of_the_recipe(
    told: list[tuple[Decimal, str]], losses: list[Decimal]
) -> None:
    whole = sum(Fraction(amount) for amount, _ in told)
    kept = dict.fromkeys(range(1, len(told) + 1), Fraction(0))
    for one in worked(formula(told, losses)).contents:
        kept[one.lines[0]] += one.mass
    assert kept == {n: Fraction(amount) / whole for n, (amount, _) in enumerate(told, 1)}


def formula(told: list[tuple[Decimal, str]], losses: list[Decimal]) -> Formula:
    """Lines by parts in three stages, each with a loss of its own."""
    lines = [
        FormulaLine(n, f"MAT-{n}", "parts", amount, stage)
        for n, (amount, stage) in enumerate(told, 1)
    ]
    stages = [
        FormulaStage(stage, (DeclaredLoss("fumes", loss),))
        for stage, loss in zip(("cook", "mix", "thin"), losses, strict=True)
    ]
    known = {line.substance: Substance(line.substance) for line in lines}
    return Formula(tuple(lines), tuple(stages), known)
