"""The band of a process, what may remain after it, shares of what was taken out, and drying."""

from decimal import Decimal
from fractions import Fraction
from math import sqrt
from statistics import stdev
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.workshop.batches.rules.bands import (
    Band,
    Passed,
    judged,
    own_band,
    remains,
    stage_band,
)
from service.workshop.batches.rules.drying import change_percent, constant
from service.workshop.batches.rules.sharing import shared
from service.workshop.batches.rules.stage_times import backwards

MG = st.integers(0, 10**9)
SHARES = st.fractions(Fraction(-1, 5), Fraction(9, 10), max_denominator=1000)
BANDS = st.tuples(SHARES, SHARES).map(lambda pair: Band(*sorted(pair)))
PASSED = st.lists(st.builds(Passed, st.just("cook"), MG, st.just(0), BANDS), min_size=1, max_size=6)
POOLS = st.dictionaries(st.integers(1, 20), MG, max_size=6)


@given(PASSED)
def test_the_least_that_remains_is_never_more_than_the_most(passed: list[Passed]) -> None:
    found = remains(passed)
    assert 0 <= found.least <= found.most


@given(st.lists(MG, min_size=1, max_size=6))
def test_where_nothing_leaves_all_remains(charged: list[int]) -> None:
    nothing = Band(Fraction(0), Fraction(0))
    found = remains([Passed("mix", mg, 0, nothing) for mg in charged])
    assert found.least == found.most == sum(charged)


@given(PASSED, st.decimals(0, 100, places=2))
def test_what_lies_between_least_and_most_is_within(passed: list[Passed], allow: Decimal) -> None:
    found = remains(passed)
    between = int((found.least + found.most) / 2)
    assert judged(between, found, allow + 1) == "within"
    assert judged(int(found.most) + int(allow) + 2, found, allow) == "gain"


@given(st.fractions(Fraction(1, 1000), Fraction(1, 2), max_denominator=1000))
def test_what_the_recipe_declares_lies_in_the_band(declared: Fraction) -> None:
    for stage in ("cook", "wash", "run"):
        band = stage_band(stage, declared)
        assert band is not None
        assert band.low <= declared <= band.high


def test_a_band_is_the_usual_loss_and_less_of_it_where_the_residue_was_weighed() -> None:
    assert stage_band("wash", None) is None
    assert stage_band("decant", None, taken=True) == Band(Fraction(0), Fraction(2, 100))
    assert stage_band("run", None) == Band(Fraction(15, 100), Fraction(30, 100))


@given(st.lists(st.decimals(0, 40, places=2), min_size=4, max_size=12))
def test_a_versions_own_band_is_the_prediction_interval(losses: list[Decimal]) -> None:
    band = own_band(losses)
    assert band is not None
    values = [float(loss) for loss in losses]
    count = len(values)
    # The t of scipy, the deviation of the standard library; at least one percent either way.
    t = stats.t.ppf(0.975, count - 1)
    half = max(t * stdev(values) * sqrt(1 + 1 / count), 1.0)
    assert 100 * float(band.high) == pytest.approx(sum(values) / count + half, abs=1e-6)
    assert 100 * float(band.high - band.low) == pytest.approx(2 * half, abs=1e-6)


def test_three_batches_are_too_few_for_a_band_of_their_own() -> None:
    assert own_band([Decimal(3)] * 3) is None


@given(MG, POOLS)
def test_shares_are_whole_and_add_up_and_nobody_gives_more_than_there_is(
    amount: int, pool: dict[int, int]
) -> None:
    parts = shared(amount, pool)
    assert sum(parts.values()) == min(amount, sum(pool.values()))
    assert all(0 <= mg <= pool[key] for key, mg in parts.items())


@given(st.integers(1, 10**9), st.integers(1, 10**9))
def test_two_weighings_as_heavy_are_constant(first: int, last: int) -> None:
    weighed = [SimpleNamespace(amount_mg=mg) for mg in (first, last, last)]
    assert constant(weighed, Decimal("0.001"))
    assert constant(weighed[:1], Decimal(20)) is False
    assert change_percent(last, last) == 0


@given(st.lists(st.datetimes(), max_size=8))
def test_time_runs_backwards_only_where_it_is_not_sorted(times: list[object]) -> None:
    ordered = sorted(times)
    assert backwards(ordered) is None
    assert (backwards(times) is None) == (times == ordered)
