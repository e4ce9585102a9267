"""The pure rules of recipes."""

from decimal import Decimal
from fractions import Fraction
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.recipes import rules

LOSSES = st.decimals("0", "60", places=2)
AMOUNTS = st.lists(st.decimals("0.01", "1000", places=2), min_size=1, max_size=8)


def lines(amounts: list[Decimal]) -> list[SimpleNamespace]:
    return [
        SimpleNamespace(line=n, material=f"MAT-{n}", basis="parts", amount=amount, stage=stage)
        for n, (amount, stage) in enumerate(zip(amounts, ["cook", "thin"] * 4, strict=False), 1)
    ]


@given(AMOUNTS, LOSSES, LOSSES)
def test_what_stays_of_all_lines_is_what_was_asked(
    amounts: list[Decimal], cook: Decimal, strain: Decimal
) -> None:
    given_lines = lines(amounts)
    charges = rules.charges(given_lines, loss_cook=cook, loss_strain=strain)
    assert sum(charge.kept for charge in charges) == 1
    cooked = {"cook": 1 - Fraction(cook) / 100, "thin": Fraction(1)}
    poured = [
        charge.charged * cooked[line.stage]
        for charge, line in zip(charges, given_lines, strict=True)
    ]
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
