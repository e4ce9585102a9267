"""What is decided without a database: tolerances, pours, clocks."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science import units
from service.workshop.batches import rules
from service.workshop.batches.rules import clocks

LONDON = ZoneInfo("Europe/London")


@pytest.mark.parametrize(
    ("target_mg", "step_mg", "allowed"),
    # A quarter percent: 2.87 g, 2.30 g, 5.58 g, 0.14 g, and 2.87 g without a balance.
    [
        (1149000, 1000, 3000),
        (919000, 1000, 2000),
        (2230000, 1000, 6000),
        (57000, 1000, 1000),
        (1149000, None, 2872),
    ],
)
def test_the_tolerance_is_a_quarter_percent_in_steps_of_the_balance(
    target_mg: int, step_mg: int | None, allowed: int
) -> None:
    assert rules.tolerance(target_mg, step_mg) == allowed


@given(st.integers(1, 10**9), st.integers(-(10**8), 10**8), st.integers(1, 10**6))
def test_a_verdict_is_within_exactly_up_to_the_tolerance(
    target: int, off: int, tolerance: int
) -> None:
    found = rules.verdict(target + off, target, tolerance)
    assert found == ("within" if abs(off) <= tolerance else "over" if off > 0 else "under")


@pytest.mark.parametrize(
    ("boils", "ignites", "ethanol", "limit", "reason"),
    [
        # Turpentine 120 °C and ethanol 40 °C: finish-science, corrections, 2.
        ("150", None, False, "120", "initial boiling point 150 °C less 30 K, less 5 K"),
        ("180", "190", False, "140", "initial boiling point 180 °C less 50 K, less 5 K"),
        ("78", None, True, "40", "ethanol at 40 °C at most, less 5 K"),
    ],
)
def test_the_strictest_rule_sets_the_pour(
    boils: str, ignites: str | None, ethanol: bool, limit: str, reason: str
) -> None:
    solvent = rules.Solvent(
        "X", Decimal(boils), "F-1", ignites and Decimal(ignites), "F-2", ethanol
    )
    found = rules.pour(solvent)
    assert found is not None
    assert found.limit_c == Decimal(limit)
    assert found.figure == ("F-2" if ignites else "F-1")
    if not ignites:
        assert rules.pour_reason("Initial boiling point", Decimal(boils), found.planned_c) == reason


def test_a_boiling_point_that_no_solvent_has_decides_nothing() -> None:
    assert rules.pour(rules.Solvent("X", Decimal(5), "F-1")) is None


@pytest.mark.parametrize(
    ("on", "clock", "count"),
    # Directive 2000/84/EC: summer time ends on the last Sunday of October at 01:00 UTC.
    [("2026-10-25", time(1, 30), 2), ("2026-03-29", time(1, 30), 0), ("2026-11-25", time(13), 1)],
)
def test_a_clock_on_the_wall_means_one_two_or_no_instants(on: str, clock: time, count: int) -> None:
    assert len(clocks.readings(clock, date.fromisoformat(on), LONDON)) == count


@given(st.integers(0, 50 * 366 * 24 * 60))
def test_every_instant_is_among_the_readings_of_its_own_clock(minutes: int) -> None:
    instant = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    local = instant.astimezone(LONDON)
    found = clocks.readings(local.time().replace(fold=0), local.date(), LONDON)
    assert instant in [reading.astimezone(UTC) for reading in found]


@pytest.mark.parametrize("text", ["25:00", "noon", "2026-11-25T14:20", "about", "14:60"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(clocks.TimeUnclear):
        clocks.moment(text, date(2026, 11, 25), LONDON)


def test_a_clock_is_behind_by_the_median_of_what_was_found() -> None:
    now = datetime(2026, 11, 25, tzinfo=UTC)
    pairs = [(now - timedelta(seconds=off), now) for off in (10, 12, 4000)]
    assert clocks.behind(pairs) == timedelta(seconds=12)
    assert clocks.behind([]) is None


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [("2026-11-25", 24, "2028-11-25"), ("2026-08-31", 6, "2027-02-28")],
)
def test_months_later_stays_in_its_month(day: str, months: int, later: str) -> None:
    found = rules.months_later(date.fromisoformat(day), months)
    assert found == date.fromisoformat(later)


@pytest.mark.parametrize(
    ("seconds", "told"),
    [
        (45 * 60, (45, "min")),
        (3600, (60, "min")),
        (86400, (24, "h")),
        (3 * 86400, (3, "d")),
        (14 * 86400, (2, "week")),
        (90 * 60, (90, "min")),
        (75, (75, "s")),
    ],
)
def test_a_duration_is_told_in_the_largest_unit_of_which_there_are_two(
    seconds: int, told: tuple[int, str]
) -> None:
    assert rules.natural_time(seconds) == told


@given(st.integers(1, 10**9))
def test_a_duration_as_told_is_the_duration(seconds: int) -> None:
    count, unit = rules.natural_time(seconds)
    assert units.canonical(units.quantity(count, unit, "time")) == seconds


@pytest.mark.parametrize(
    ("order", "hot", "pour"),
    [
        (("melt", "mix", "thin"), {"melt"}, "mix"),
        (("mix", "melt", "thin"), {"melt"}, "thin"),
        (("dissolve", "mix"), set(), None),
        (("cook", "melt"), {"cook", "melt"}, None),
        (("saponify", "mix"), {"saponify"}, "mix"),
    ],
)
def test_a_pour_is_where_solvent_first_goes_into_what_was_heated_before(
    order: tuple[str, ...], hot: set[str], pour: str | None
) -> None:
    assert rules.pour_stage(order, hot=hot, solvents={"mix", "thin", "melt"}) == pour


@pytest.mark.parametrize(
    ("listed", "stage"),
    [((), "strain"), (("strain", "mature"), "strain"), (("wash", "dry"), "dry")],
)
def test_the_yield_is_weighed_after_straining_or_at_the_end(
    listed: tuple[str, ...], stage: str
) -> None:
    assert rules.yield_stage(listed) == stage


@given(st.integers(1, 10**9), st.integers(0, 10**9))
def test_a_loss_leaves_what_came_out_to_half_a_ten_thousandth(charged: int, out: int) -> None:
    loss = Fraction(rules.loss_percent(charged, out))
    assert abs(charged * (1 - loss / 100) - out) <= Fraction(charged, 20000)


def test_a_reading_names_its_stage_before_its_method() -> None:
    assert rules.read_after("cook", "titration") == "after cook: titration"
    assert rules.read_after("cook", None) == "after cook"
    assert rules.read_after(None, "titration") == "titration"
