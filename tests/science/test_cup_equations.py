"""The equations of the flow cups, each within its range."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cup_equations import (
    Cup,
    cup_named,
    cups,
    cups_that_measure,
    elsewhere,
    seconds_in_cup,
    viscosity_in_cup,
)
from service.science.errors import OutOfRange

CUPS = st.sampled_from(cups()).map(cup_named)


@st.composite
def runs(draw: st.DrawFn) -> tuple[Cup, Decimal]:
    """A cup and seconds that it measures."""
    cup = draw(CUPS)
    return cup, draw(st.decimals(cup.shortest_s, cup.longest_s, places=2))


@given(runs())
def test_seconds_come_back_from_their_viscosity(run: tuple[Cup, Decimal]) -> None:
    cup, seconds = run
    back = seconds_in_cup(cup.name, viscosity_in_cup(cup.name, seconds))
    assert back == pytest.approx(seconds, rel=Decimal("1e-20"))
    assert viscosity_in_cup(cup.name, back) > 0


@given(runs(), st.decimals("0.01", 1, places=2))
def test_a_thicker_liquid_runs_longer(run: tuple[Cup, Decimal], longer: Decimal) -> None:
    cup, seconds = run
    assert cup.viscosity(seconds + longer) > cup.viscosity(seconds)


@pytest.mark.parametrize("cup", cups())
def test_both_ends_of_a_cup_are_measured_and_beyond_them_refused(cup: str) -> None:
    one, step = cup_named(cup), Decimal("0.001")
    for seconds in (one.shortest_s, one.longest_s):
        assert one.measures(viscosity_in_cup(cup, seconds))
    for seconds in (one.shortest_s - step, one.longest_s + step):
        with pytest.raises(OutOfRange):
            viscosity_in_cup(cup, seconds)


def test_the_parameter_to_blame_is_the_callers() -> None:
    with pytest.raises(OutOfRange) as refused:
        viscosity_in_cup("Zahn-2", Decimal(15), "target_s")
    assert refused.value.field == "target_s"
    with pytest.raises(OutOfRange) as refused:
        seconds_in_cup("Zahn-2", Decimal(1), "thin_mm2_s")
    assert refused.value.field == "thin_mm2_s"


def test_a_cup_nobody_read_is_refused_rather_than_guessed() -> None:
    with pytest.raises(OutOfRange, match="Shell-3"):
        viscosity_in_cup("Shell-3", Decimal(30))


def test_a_run_too_long_points_to_wider_cups() -> None:
    with pytest.raises(OutOfRange, match="Ford-5") as refused:
        viscosity_in_cup("ISO2431-4", Decimal(400))
    assert "ISO2431-4" not in refused.value.hint


def test_a_body_beyond_every_cup_points_to_the_other_readings() -> None:
    assert all(word in elsewhere(Decimal(5000)) for word in ("bubble tube", "string", "drop"))
    assert "capillary" in elsewhere(Decimal(3))


def test_a_withdrawn_cup_is_read_but_not_advised() -> None:
    assert viscosity_in_cup("DIN53211-4", Decimal(30)) > 0
    assert "DIN53211-4" not in [cup.name for cup in cups_that_measure(Decimal(200))]
