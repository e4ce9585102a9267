"""Planned pours and headroom."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.heat import (
    check_planned_pour,
    fill_percent,
    hot_volume,
    largest_charge,
    pour_limit,
)

SLOPE = Decimal("0.67")


def test_a_pour_at_the_limit_is_allowed() -> None:
    limit = pour_limit(Decimal(150))
    assert check_planned_pour(limit, limit) == 120


def test_a_pour_above_the_limit_is_refused_naming_the_limit() -> None:
    with pytest.raises(OutOfRange) as refused:
        check_planned_pour(Decimal(150), Decimal(120))
    assert "120 °C" in refused.value.hint


@pytest.mark.parametrize(("boiling", "autoignition"), [("19", "250"), ("150", "99")])
def test_a_temperature_no_solvent_has_is_refused(boiling: str, autoignition: str) -> None:
    with pytest.raises(OutOfRange):
        pour_limit(Decimal(boiling), autoignition_c=Decimal(autoignition))


@given(st.decimals(1, 50, places=1), st.decimals(20, 350, places=0))
def test_the_largest_charge_fills_the_kettle_to_its_cap(kettle: Decimal, hot: Decimal) -> None:
    density = Decimal("0.93")
    charge = largest_charge(
        kettle, density, slope_kg_m3_k=SLOPE, temperature_c=hot, process="bodying"
    )
    volume = hot_volume(charge * density, density, slope_kg_m3_k=SLOPE, temperature_c=hot)
    assert fill_percent([volume], kettle) == pytest.approx(Decimal(66), rel=Decimal("1e-20"))


def test_an_unknown_process_has_no_headroom_rule() -> None:
    with pytest.raises(OutOfRange, match="no headroom rule"):
        largest_charge(
            Decimal(5),
            Decimal("0.93"),
            slope_kg_m3_k=SLOPE,
            temperature_c=Decimal(280),
            process="frying",
        )


def test_an_empty_kettle_has_no_fill() -> None:
    with pytest.raises(NotApplicable):
        fill_percent([], Decimal(5))
