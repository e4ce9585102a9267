"""The pure rules of recipes."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.recipes import rules
from tests.makers.charges import charges

LOSSES = st.decimals("0", "60", places=2)
AMOUNTS = st.lists(st.decimals("0.01", "1000", places=2), min_size=1, max_size=8)


@given(AMOUNTS, LOSSES, LOSSES)
def test_what_stays_of_all_lines_is_what_was_asked(
    amounts: list[Decimal], cook: Decimal, strain: Decimal
) -> None:
    stages = ["cook", "thin"] * 4
    found = charges(amounts, stages, cook=cook, strain=strain)
    assert sum(charge.kept for charge in found) == 1
    cooked = {"cook": 1 - Fraction(cook) / 100, "thin": Fraction(1)}
    poured = [charge.charged * cooked[stage] for charge, stage in zip(found, stages, strict=False)]
    assert sum(poured) * (1 - Fraction(strain) / 100) == 1


@pytest.mark.parametrize(
    ("families", "counts_as"),
    [
        (["resin", "oxide"], "resin"),
        (["resinate", "base", "water"], "resin"),
        (["resin", "drying-oil"], None),
        (["resin", None], None),
        (["solvent", "water"], "neither"),
        (["base", "salt"], "neither"),
        ([], None),
    ],
)
def test_what_is_made_counts_as_what_it_was_made_from(
    families: list[str | None], counts_as: str | None
) -> None:
    assert rules.role_of_made(families) == counts_as


def test_a_way_back_is_found_through_any_number_of_recipes() -> None:
    holds = {"MA": ["MB"], "MB": ["MC"], "MC": ["MD"]}
    assert rules.way_back("MD", ["MA"], lambda code: holds.get(code, [])) == [
        "MA",
        "MB",
        "MC",
        "MD",
    ]
    assert rules.way_back("MX", ["MA"], lambda code: holds.get(code, [])) is None


def test_drafts_newer_than_the_default_are_in_force_and_older_ones_are_not() -> None:
    states = {1: "approved", 2: "draft", 3: "approved", 4: "draft"}
    assert rules.default_version(states) == 3
    assert rules.in_force(states) == [3, 4]


def test_a_retired_version_is_neither_the_default_nor_in_force() -> None:
    states = {1: "approved", 2: "draft", 3: "retired", 4: "draft"}
    assert rules.default_version(states) == 1
    assert rules.in_force(states) == [1, 2, 4]
    assert rules.default_version({1: "retired"}) is None
    assert rules.in_force({1: "retired"}) == []


@pytest.mark.parametrize(
    ("states", "gone"),
    [
        ([], False),
        (["draft"], False),
        (["approved"], False),
        (["retired", "approved"], False),
        (["retired"], True),
        (["retired", "draft"], True),
    ],
)
def test_what_has_retired_versions_and_no_approved_one_is_withdrawn(
    states: list[str], gone: bool
) -> None:
    assert rules.withdrawn(states) is gone


def test_the_deepest_way_goes_through_what_has_something_below_it() -> None:
    holds = {"MA": {"MB", "MC"}, "MB": {"OIL"}, "MC": {"MD", "OIL"}, "MD": {"OIL"}}
    way = rules.deepest_way("MA", lambda code: holds.get(code, set()), {})
    assert way == ["MA", "MC", "MD"]
    assert rules.deepest_way("OIL", lambda code: holds.get(code, set()), {}) == []


def test_a_way_that_comes_back_on_itself_ends() -> None:
    holds = {"MA": {"MB"}, "MB": {"MA"}}
    assert rules.deepest_way("MA", lambda code: holds[code], {}) == ["MA", "MB"]
