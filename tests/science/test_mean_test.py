"""The mean test against scipy and the factors printed in the law."""

import statistics
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from service.science.errors import NotApplicable, OutOfRange
from service.science.mean_test import mean_test
from service.science.net_contents import LOCAL_LAW

FILLS = st.lists(st.decimals(235, 265, places=1), min_size=30, max_size=60)


@settings(max_examples=50)
@given(FILLS)
def test_the_verdict_is_that_of_an_independent_package(fills: list[Decimal]) -> None:
    found = mean_test(Decimal(250), fills, packs=100)
    count = len(fills)
    least = 250 - statistics.stdev(map(float, fills)) * stats.t.ppf(0.995, count - 1) / count**0.5
    assert float(found.least_mean) == pytest.approx(least, rel=1e-9)
    assert found.mean_holds == (found.mean >= found.least_mean)


@pytest.mark.parametrize(
    ("count", "packs", "destructive", "factor"),
    [
        (30, 100, False, "0.503"),
        (30, 500, False, "0.503"),
        (50, 501, False, "0.379"),
        (20, 100, True, "0.640"),
    ],
)
def test_the_samples_of_the_directive_have_its_factors(
    count: int, packs: int, destructive: bool, factor: str
) -> None:
    fills = [Decimal(250), Decimal(251)] * (count // 2)
    found = mean_test(Decimal(250), fills, packs=packs, destructive=destructive)
    assert round(found.factor, 3) == Decimal(factor)  # UK SI 2006/659 Schedule 2, 4.5 and 4.6
    assert found.sample == found.sample_of_the_directive == count
    assert len(found.notes) == 2
    assert found.notes[-1] == LOCAL_LAW


@settings(max_examples=50)
@given(FILLS)
def test_a_mean_of_the_nominal_or_more_always_holds(fills: list[Decimal]) -> None:
    lifted = [fill + max(Decimal(0), 250 - min(fills)) for fill in fills]
    assert mean_test(Decimal(250), lifted, packs=100).mean_holds


def test_packs_that_are_all_alike_have_no_allowance() -> None:
    assert mean_test(Decimal(250), [Decimal(250)] * 30, packs=100).mean_holds
    assert not mean_test(Decimal(250), [Decimal("249.9")] * 30, packs=100).mean_holds


def test_a_sample_of_its_own_size_and_a_huge_batch_are_told() -> None:
    found = mean_test(Decimal(250), [Decimal(250), Decimal(251)] * 30, packs=10_001)
    assert "draws 50 packs, and this sample has 60" in found.notes[1]
    assert "at most 10000" in found.notes[2]


def test_a_sample_smaller_than_the_directives_judges_nothing() -> None:
    with pytest.raises(NotApplicable, match="draws 30") as refused:
        mean_test(Decimal(250), [Decimal(200), Decimal(240)], packs=300)
    assert refused.value.field == "fills"


def test_packs_of_the_sample_below_the_limits_are_counted() -> None:
    fills = [Decimal("231.9"), Decimal("240.9"), *[Decimal(253)] * 28]
    found = mean_test(Decimal(250), fills, packs=100)
    assert (found.below_first, found.below_second) == (2, 1)
    assert "1 of them lie below the second limit" in found.notes[1]


@pytest.mark.parametrize("count", [1, 101])
def test_one_pack_and_more_packs_than_there_are_make_no_sample(count: int) -> None:
    with pytest.raises(NotApplicable) as refused:
        mean_test(Decimal(250), [Decimal(250)] * count, packs=100)
    assert refused.value.field == "fills"


@pytest.mark.parametrize(
    ("nominal", "fill", "packs", "field"),
    [("4.9", "250", 100, "nominal"), ("250", "0", 100, "fills/0"), ("250", "250", 99, "packs")],
)
def test_what_lies_outside_the_test_is_blamed(
    nominal: str, fill: str, packs: int, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        mean_test(Decimal(nominal), [Decimal(fill), Decimal(250)], packs=packs)
    assert refused.value.field == field
