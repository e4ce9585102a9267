"""Laws of scaling, for all recipes and sizes."""

from decimal import Decimal
from fractions import Fraction
from types import SimpleNamespace

from hypothesis import given
from hypothesis import strategies as st

from service.workshop.recipes.rules import Charge, charges
from service.workshop.scalings import rules

STEPS = st.sampled_from([Decimal("0.01"), Decimal("0.1"), Decimal("0.5"), Decimal(1), Decimal(2)])
SIZES = st.decimals("1", "100000", places=3).map(Fraction)
LOSSES = st.decimals("0", "60", places=1)
AMOUNTS = st.lists(st.decimals("0.01", "1000", places=2), min_size=1, max_size=8)


def charge(amounts: list[Decimal], cook: Decimal) -> list[Charge]:
    lines = [
        SimpleNamespace(line=n, material=f"MAT-{n}", basis="parts", amount=a, stage="cook")
        for n, a in enumerate(amounts, 1)
    ]
    return charges(lines, loss_cook=cook, loss_strain=Decimal(0))


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
