"""What is decided of a goal without a database, and that the loop comes to its end."""

from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.adjusting import value_after
from service.science.blending import mixing_quantities
from service.workshop.batches.rules.goals import (
    GOALS,
    Adjustable,
    Pot,
    answered,
    closed_percent,
    proposed,
    reached,
    warmth_note,
)
from service.workshop.materials.rules import properties


def test_every_goal_is_a_property_with_a_rule_and_a_figure() -> None:
    assert set(get_args(Adjustable)) == set(GOALS)
    for name, goal in GOALS.items():
        assert {name, goal.figure} <= set(properties())
        assert goal.quantity in mixing_quantities()
        assert goal.rule("figure").why


@given(
    st.decimals(60, 95, places=1),
    st.decimals("-0.3", "0.3", places=2),
    st.decimals(500, 20_000, places=0),
)
def test_with_a_rule_that_errs_by_up_to_30_percent_the_loop_ends_near_the_goal(
    start: Decimal, error: Decimal, mass: Decimal
) -> None:
    # What is added counts for more or less than its figure says, as resin solutions do.
    goal, target, within = GOALS["non_volatile"], Decimal(55), Decimal("0.5")
    told, truly = Decimal(5), Decimal(5) + 50 * error
    value, rounds = start, 0
    while not reached(value, target=target, within=within):
        adding = proposed(goal, Pot(mass, value), target=target, added=told)
        value = value_after(mass, value, added_g=adding.first_to_g, added=truly, law=goal.law)
        mass, rounds = mass + adding.first_to_g, rounds + 1
        assert value > target - within  # never beyond: nothing can be taken out again
        assert rounds <= 12


@given(st.decimals(10, 95, places=1), st.decimals(1, 200, places=0), st.sampled_from([0, 5, 30]))
def test_what_the_pot_answers_to_the_sum_is_the_figure_of_what_was_added(
    value: Decimal, grams: Decimal, added: int
) -> None:
    pot, goal = Pot(Decimal(1000), value), GOALS["non_volatile"]
    after = value_after(Decimal(1000), value, added_g=grams, added=Decimal(added), law=goal.law)
    found = answered(goal, pot, after=after, added_g=grams)
    assert found == pytest.approx(Decimal(added), abs=Decimal("1e-9"))


def test_an_answer_that_explains_nothing_decides_nothing() -> None:
    pot, goal = Pot(Decimal(1000), Decimal(90), "ISO2431-4"), GOALS["flow_time"]
    assert answered(goal, pot, after=Decimal(140), added_g=Decimal(10)) is None


def test_the_edge_of_the_band_is_near_enough() -> None:
    assert reached(Decimal(64), target=Decimal(62), within=Decimal(2))
    assert not reached(Decimal("64.1"), target=Decimal(62), within=Decimal(2))


@pytest.mark.parametrize(
    ("before", "now", "share"),
    [("90", "76", "50"), ("90", "62", "100"), ("90", "55", "125"), ("90", "97", "-25")],
)
def test_how_much_of_the_way_an_addition_went(before: str, now: str, share: str) -> None:
    found = closed_percent(Decimal(before), Decimal(now), target=Decimal(62))
    assert found == Decimal(share)
    assert closed_percent(Decimal(62), Decimal(now), target=Decimal(62)) is None


def test_readings_that_were_not_alike_warm_are_said_to_be_so() -> None:
    assert warmth_note(Decimal(23), Decimal("23.5")) is None
    assert warmth_note(None, Decimal(30)) is None
    assert "alike warm" in (warmth_note(Decimal(23), Decimal(26)) or "")
