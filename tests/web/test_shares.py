"""Each caller has a share of calls a minute, on a clock that the test turns."""

import pytest

from service.web.shares import Shares, TooMany


class Clock:
    now = 100.0

    def __call__(self) -> float:
        return self.now


def test_a_share_runs_down_and_then_refuses_with_the_time_to_wait() -> None:
    shares = Shares(3, Clock())
    assert [shares.take("a").left for _ in range(3)] == [2, 1, 0]
    with pytest.raises(TooMany) as refused:
        shares.take("a")
    assert refused.value.headers["Retry-After"] == "20"
    assert refused.value.headers["RateLimit"] == '"calculations";r=0;t=60'


def test_a_share_fills_again_with_time_and_never_beyond_itself() -> None:
    clock = Clock()
    shares = Shares(3, clock)
    for _ in range(3):
        shares.take("a")
    clock.now += 20
    assert shares.take("a").left == 0
    clock.now += 10_000
    assert shares.take("a").left == 2


def test_a_refused_call_costs_nothing_more() -> None:
    clock = Clock()
    shares = Shares(1, clock)
    shares.take("a")
    for _ in range(5):
        with pytest.raises(TooMany):
            shares.take("a")
    clock.now += 60
    assert shares.take("a").left == 0


def test_one_caller_takes_nothing_from_another() -> None:
    shares = Shares(1, Clock())
    shares.take("a")
    assert shares.take("b").left == 0


def test_the_longest_silent_is_forgotten_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.web.shares._MOST_CALLERS", 2)
    shares = Shares(1, Clock())
    for caller in "abc":
        shares.take(caller)
    assert shares.take("a").left == 0
    with pytest.raises(TooMany):
        shares.take("c")


def test_nobody_is_limited_by_a_share_of_nought() -> None:
    shares = Shares(0, Clock())
    assert all(shares.take("a").headers() == {} for _ in range(1000))
