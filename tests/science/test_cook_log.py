"""What a cook's log says: checked against scipy's integral and interpolation, and by laws."""

import math
from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from service.science.cook_log import cook_summary, equivalent_minutes, usual_gap
from service.science.cook_time import CookReading
from service.science.errors import NotApplicable, OutOfRange

WINDOW, NO_GAP = Decimal(5), Decimal(1000)
steps = st.lists(st.tuples(st.integers(1, 60), st.integers(0, 350)), min_size=2, max_size=40)


def log_of(pairs: list[tuple[int, int]]) -> list[CookReading]:
    """Readings from the minutes between them and their temperatures."""
    found, minutes = [], 0
    for after, celsius in pairs:
        found.append(CookReading(Decimal(minutes), Decimal(celsius)))
        minutes += after
    return found


def at_every(log: list[CookReading], count: int) -> tuple[np.ndarray, np.ndarray]:
    """The straight lines between readings at many times, by numpy's interp."""
    times = np.linspace(0, float(log[-1].minutes), count)
    minutes = [float(one.minutes) for one in log]
    return times, np.interp(times, minutes, [float(one.temperature_c) for one in log])


@given(steps, st.integers(0, 350))
def test_the_time_above_is_that_of_the_straight_lines(
    pairs: list[tuple[int, int]], threshold: int
) -> None:
    log = log_of(pairs)
    level = Decimal(threshold) + Decimal("0.5")  # on no reading, where above and at would differ
    found = cook_summary(log, [level], window_min=WINDOW, longest_gap_min=NO_GAP).above[0]
    times, celsius = at_every(log, 20_001)
    share = np.mean(celsius >= float(level))
    assert float(found.minutes) == pytest.approx(share * times[-1], abs=times[-1] / 400)
    assert (found.first_min is None) == (found.minutes == 0)


@given(steps)
def test_no_window_is_steeper_than_the_steepest(pairs: list[tuple[int, int]]) -> None:
    log = log_of(pairs)
    found = cook_summary(log, window_min=WINDOW, longest_gap_min=NO_GAP)
    times, celsius = at_every(log, 2001)
    late = times[times <= times[-1] - 5]
    change = (np.interp(late + 5, times, celsius) - np.interp(late, times, celsius)) / 5
    if len(late) and change.max() > 1e-6:
        assert found.rise is not None
        assert float(found.rise.k_min) >= change.max() - 1e-6
    if len(late) and change.min() < -1e-6:
        assert found.fall is not None
        assert float(found.fall.k_min) <= change.min() + 1e-6


@given(steps, st.integers(100, 350), st.integers(20, 300))
def test_the_equivalent_time_is_the_integral_of_scipy(
    pairs: list[tuple[int, int]], reference: int, energy: int
) -> None:
    log = log_of(pairs)

    def rate(minute: float) -> float:
        minutes = [float(one.minutes) for one in log]
        kelvin = 273.15 + np.interp(minute, minutes, [float(one.temperature_c) for one in log])
        return math.exp(-energy * 1000 / 8.314462618 * (1 / kelvin - 1 / (reference + 273.15)))

    ends = [float(one.minutes) for one in log]
    whole = sum(quad(rate, a, b, epsabs=0)[0] for a, b in pairwise(ends))
    found = equivalent_minutes(
        log,
        Decimal(reference),
        activation_energy_kj_mol=Decimal(energy),
        longest_gap_min=NO_GAP,
    )
    assert float(found) == pytest.approx(whole, rel=1e-5)


@given(steps, st.integers(1, 60))
def test_gaps_and_what_was_seen_are_the_whole_time(
    pairs: list[tuple[int, int]], longest: int
) -> None:
    log = log_of(pairs)
    found = cook_summary(log, [Decimal(-20)], window_min=WINDOW, longest_gap_min=Decimal(longest))
    assert found.above[0].minutes == found.seen_min
    assert all(gap.minutes > longest for gap in found.gaps)


def test_nothing_is_assumed_over_a_gap() -> None:
    log = [CookReading(Decimal(at), Decimal(280)) for at in (0, 10, 100, 110)]
    found = cook_summary(log, [Decimal(280)], window_min=WINDOW, longest_gap_min=Decimal(30))
    assert found.above[0].minutes == 20
    assert [(gap.start_min, gap.end_min) for gap in found.gaps] == [(10, 100)]
    minutes = equivalent_minutes(
        log, Decimal(280), activation_energy_kj_mol=Decimal(120), longest_gap_min=Decimal(30)
    )
    assert minutes == 20


def test_a_log_of_a_hundred_thousand_readings_is_summed_in_parts() -> None:
    log = [CookReading(Decimal(n) / 4, Decimal(280)) for n in range(100_000)]
    minutes = equivalent_minutes(
        log, Decimal(280), activation_energy_kj_mol=Decimal(120), longest_gap_min=NO_GAP
    )
    assert minutes == log[-1].minutes


def test_a_log_that_only_falls_has_no_rise() -> None:
    log = [CookReading(Decimal(0), Decimal(240)), CookReading(Decimal(60), Decimal(120))]
    found = cook_summary(log, window_min=WINDOW, longest_gap_min=NO_GAP)
    assert found.rise is None
    assert found.fall is not None
    assert (found.fall.k_min, found.highest_c, found.highest_min) == (-2, 240, 0)


def test_one_reading_has_a_highest_and_no_change() -> None:
    found = cook_summary(log_of([(1, 60)]), window_min=WINDOW, longest_gap_min=NO_GAP)
    assert (found.highest_c, found.span_min, found.rise, found.gaps) == (60, 0, None, ())


@pytest.mark.parametrize(
    ("minutes", "celsius"), [((0, 0), (20, 20)), ((5, 4), (20, 20)), ((0, 1), (20, 401))]
)
def test_a_log_out_of_order_or_range_is_refused(
    minutes: tuple[int, int], celsius: tuple[int, int]
) -> None:
    log = [CookReading(Decimal(at), Decimal(hot)) for at, hot in zip(minutes, celsius, strict=True)]
    with pytest.raises(OutOfRange):
        cook_summary(log, window_min=WINDOW, longest_gap_min=NO_GAP)


def test_a_log_without_two_readings_together_has_no_equivalent() -> None:
    log = [CookReading(Decimal(0), Decimal(280)), CookReading(Decimal(90), Decimal(280))]
    with pytest.raises(NotApplicable):
        equivalent_minutes(
            log, Decimal(280), activation_energy_kj_mol=Decimal(120), longest_gap_min=Decimal(30)
        )
    with pytest.raises(NotApplicable):
        usual_gap(log[:1])
    with pytest.raises(NotApplicable):
        cook_summary([], window_min=WINDOW, longest_gap_min=NO_GAP)
