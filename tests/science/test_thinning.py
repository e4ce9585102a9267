"""Thinning, raising with a concentrate, and the Pearson square."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.thinning import (
    concentrate_to_non_volatile,
    pearson_square,
    thinner_to_non_volatile,
)

MASSES = st.decimals(1, 50_000, places=1)
PERCENTS = st.decimals(1, 100, places=1)
ASCENDING = st.lists(PERCENTS, min_size=3, max_size=3, unique=True).map(sorted)
NARROW = Decimal("1e-18")


@given(MASSES, ASCENDING)
def test_thinner_keeps_the_solid_and_meets_the_target(
    mass: Decimal, percents: list[Decimal]
) -> None:
    target, now, _ = percents
    found = thinner_to_non_volatile(mass, now, target_percent=target)
    assert found.total_g == mass + found.add_g
    assert found.solid_g == mass * now / 100
    assert 100 * found.solid_g / found.total_g == pytest.approx(target, rel=NARROW)
    assert found.notes


@given(MASSES, ASCENDING)
def test_concentrate_meets_the_target_and_the_square_has_its_parts(
    mass: Decimal, percents: list[Decimal]
) -> None:
    now, target, strong = percents
    found = concentrate_to_non_volatile(
        mass, now, concentrate_percent=strong, target_percent=target
    )
    assert 100 * found.solid_g / found.total_g == pytest.approx(target, rel=NARROW)
    square = pearson_square(strong, now, target_percent=target)
    parts = square.strong_parts / square.weak_parts
    assert found.add_g / mass == pytest.approx(parts, rel=NARROW)


@given(ASCENDING, MASSES)
def test_the_square_makes_the_target_and_the_total(percents: list[Decimal], total: Decimal) -> None:
    weak, target, strong = percents
    found = pearson_square(strong, weak, target_percent=target, total_g=total)
    assert found.strong_g is not None
    assert found.weak_g is not None
    assert found.strong_g + found.weak_g == pytest.approx(total, rel=NARROW)
    made = (found.strong_g * strong + found.weak_g * weak) / total
    assert made == pytest.approx(target, rel=NARROW)
    assert found.strong_share_percent + found.weak_share_percent == 100


@given(MASSES, ASCENDING)
def test_thinning_and_taking_back_are_inverse(mass: Decimal, percents: list[Decimal]) -> None:
    target, now, _ = percents
    thinned = thinner_to_non_volatile(mass, now, target_percent=target)
    back = concentrate_to_non_volatile(
        thinned.total_g, target, concentrate_percent=Decimal(100), target_percent=now
    )
    assert 100 * back.solid_g / back.total_g == pytest.approx(now, rel=NARROW)


def test_without_a_total_the_square_gives_parts_alone() -> None:
    found = pearson_square(Decimal(60), Decimal(35), target_percent=Decimal(45))
    assert (found.strong_g, found.weak_g) == (None, None)


@pytest.mark.parametrize("target", ["50", "55"])
def test_thinner_cannot_raise_or_keep_the_content(target: str) -> None:
    with pytest.raises(OutOfRange, match="cannot raise") as refused:
        thinner_to_non_volatile(Decimal(1), Decimal(50), target_percent=Decimal(target))
    assert refused.value.field == "target_percent"


@pytest.mark.parametrize("target", ["40", "80", "30", "90"])
def test_a_concentrate_reaches_only_what_lies_between(target: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        concentrate_to_non_volatile(
            Decimal(1), Decimal(40), concentrate_percent=Decimal(80), target_percent=Decimal(target)
        )
    assert refused.value.field == "target_percent"


@pytest.mark.parametrize(
    ("strong", "weak", "target", "field"),
    [("35", "60", "45", "weak_percent"), ("60", "35", "61", "target_percent")],
)
def test_a_square_the_wrong_way_round_is_refused(
    strong: str, weak: str, target: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        pearson_square(Decimal(strong), Decimal(weak), target_percent=Decimal(target))
    assert refused.value.field == field
