"""The pure rules of stages: their order, and what each may lose."""

from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.formulation import STAGES
from service.workshop.recipes import rules
from service.workshop.recipes.written import work_order

ANY = st.lists(st.sampled_from(STAGES), unique=True)


def test_the_words_for_stages_are_those_of_the_sums_in_their_order() -> None:
    assert get_args(rules.Stage) == STAGES


@given(ANY)
def test_the_usual_order_knows_each_stage_once(stages: list[str]) -> None:
    found = work_order.in_usual_order([*stages, *stages])
    assert found == [stage for stage in STAGES if stage in stages]


@given(ANY, ANY)
def test_a_list_keeps_its_order_when_stages_are_put_in(listed: list[str], more: list[str]) -> None:
    found = work_order.with_stages(listed, more)
    assert [stage for stage in found if stage in listed] == listed
    assert sorted(found) == sorted({*listed, *more})


@given(ANY, ANY)
def test_a_list_in_usual_order_stays_in_it(listed: list[str], more: list[str]) -> None:
    usual = work_order.in_usual_order(listed)
    assert work_order.with_stages(usual, more) == work_order.in_usual_order([*listed, *more])


@pytest.mark.parametrize(
    ("stage", "cause", "percent", "possible"),
    [
        ("cook", "fumes", "3", True),
        ("cook", "fumes", "0", True),
        ("cook", "fumes", "-3", False),
        ("cook", "oxygen", "-3", True),
        ("sun-thicken", "oxygen", "0", True),
        ("cook", "oxygen", "3", False),
        ("wash", "water", "-3", True),
        ("precipitate", "water", "-3", True),
        ("dry", "water", "-3", False),
        ("dry", "water", "3", True),
    ],
)
def test_only_oxygen_and_wash_water_are_gained(
    stage: str, cause: str, percent: str, possible: bool
) -> None:
    wrong = work_order.loss_problem(stage, cause, Decimal(percent))
    assert (wrong is None) is possible


@pytest.mark.parametrize(
    ("field", "percent", "means"),
    [
        ("loss_cook", "3", ("cook", "fumes")),
        ("loss_cook", "0", ("cook", "fumes")),
        ("loss_cook", "-1", ("cook", "oxygen")),
        ("loss_strain", "1", ("strain", "straining")),
    ],
)
def test_a_loss_in_short_is_of_one_cause(field: str, percent: str, means: tuple[str, str]) -> None:
    assert work_order.short_cause(field, Decimal(percent)) == means


def test_a_line_is_in_the_pot_after_those_of_earlier_stages_and_earlier_lines() -> None:
    order = ["thin", "cook"]  # a maker may work against the usual order
    of = {1: "cook", 2: "thin", 4: "cook"}
    assert work_order.later_than(3, "cook", of=of, order=order) == [4]
    assert work_order.later_than(3, "thin", of=of, order=order) == [1, 4]
