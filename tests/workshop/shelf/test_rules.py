"""Laws of counting and of ordering, for all ledgers and amounts."""

from datetime import UTC, datetime, timedelta
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from service.workshop.shelf.rules import (
    Counting,
    Position,
    Told,
    batches_in,
    explains,
    ledger_at,
    never_below,
    state,
    to_order,
    unclear,
)

START = datetime(2026, 11, 1, tzinfo=UTC)
AMOUNTS = st.integers(-10_000, 10_000)
MINUTES = st.integers(0, 500)


def at(minute: int) -> datetime:
    return START + timedelta(minutes=minute)


LINES = st.lists(st.builds(Told, amount=AMOUNTS, at=MINUTES.map(at)), max_size=12)


@given(LINES, MINUTES, st.randoms(use_true_random=False))
def test_a_ledger_says_the_same_in_whatever_order_it_was_entered(
    lines: list[Told], minute: int, chance: Random
) -> None:
    mixed = list(lines)
    chance.shuffle(mixed)
    assert ledger_at(mixed, at(minute)) == ledger_at(lines, at(minute))
    assert never_below(mixed, at(minute)) == never_below(lines, at(minute))


@given(LINES, MINUTES, st.integers(0, 50_000))
def test_after_a_count_there_is_what_was_counted_and_what_moved_since(
    lines: list[Told], minute: int, counted: int
) -> None:
    difference = Told(counted - ledger_at(lines, at(minute)), at(minute))
    whole = [*lines, difference]
    later = sum(line.amount for line in lines if line.at > at(minute))
    assert ledger_at(whole, at(minute)) == counted
    assert sum(line.amount for line in whole) == counted + later


@given(LINES, MINUTES, st.integers(0, 50_000))
def test_a_count_taken_back_leaves_the_ledger_as_it_was(
    lines: list[Told], minute: int, counted: int
) -> None:
    difference = counted - ledger_at(lines, at(minute))
    whole = [*lines, Told(difference, at(minute)), Told(-difference, at(minute))]
    for moment in (0, minute, 501):
        assert ledger_at(whole, at(moment)) == ledger_at(lines, at(moment))


@given(LINES, MINUTES, AMOUNTS)
def test_no_count_explains_a_ledger_that_is_below_nothing_now(
    lines: list[Told], minute: int, difference: int
) -> None:
    if sum(line.amount for line in lines) < 0:
        assert not explains(lines, counted_at=at(minute), opened_at=at(0), difference=difference)


def test_what_happened_at_one_instant_is_not_below_nothing_half_way() -> None:
    lines = [Told(-5, at(10)), Told(5, at(10))]
    assert never_below(lines, at(0))
    assert not never_below([Told(-5, at(10)), Told(5, at(11))], at(0))


def test_a_count_before_the_fact_explains_it_only_where_it_found_more() -> None:
    lines = [Told(5, at(0)), Told(-4, at(30)), Told(3, at(40))]
    assert explains(lines, difference=1, counted_at=at(10), opened_at=at(35))
    assert not explains(lines, difference=0, counted_at=at(10), opened_at=at(35))
    assert explains(lines, difference=0, counted_at=at(35), opened_at=at(35))


def test_what_is_known_to_the_minute_is_before_or_after_a_count_made_at_an_instant() -> None:
    instant = Counting(at(10), at(10), at(10))
    day = Counting(at(500), at(0), at(500))
    assert not unclear(Told(1, at(10)), instant)
    assert unclear(Told(1, at(20), about_seconds=900), instant)
    assert not unclear(Told(1, at(26), about_seconds=900), instant)
    assert unclear(Told(1, at(20)), day)


@given(st.integers(-1000, 1000), st.integers(0, 5000), st.integers(1, 700) | st.none())
def test_what_is_ordered_is_enough_and_never_a_drum_too_many(
    free: int, wanted: int, drum: int | None
) -> None:
    ordered = to_order(free, wanted, drum)
    assert free + ordered >= min(wanted, free + ordered)
    assert ordered >= wanted - free
    assert ordered % (drum or 1) == 0
    assert ordered == 0 or free + ordered - (drum or 1) < wanted


@given(st.integers(0, 700), st.integers(0, 60))
def test_more_lead_time_never_asks_for_fewer_batches(days: int, made: int) -> None:
    assert 1 <= batches_in(days, made) <= batches_in(days + 1, made)
    # 18 batches in 90 days are one in five days: in 30 days six.
    assert (batches_in(None, made), batches_in(30, 18)) == (1, 6)


def test_short_is_what_batches_wait_for_and_low_what_is_to_be_ordered() -> None:
    def stands(free: int, *, order_at: int | None = None, cover: tuple[int, int] = (2, 1)) -> str:
        return state(Position(free, 0, order_at, [cover]))

    assert stands(-1) == "short"
    assert stands(5, order_at=6) == "low"
    assert stands(6, order_at=6) == "enough"
    assert stands(5, cover=(1, 2)) == "low"
    assert state(Position(-5, 5, None, [])) == "enough"  # what is being made will do
