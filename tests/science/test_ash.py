"""Metal from the ash of a sample."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.ash import MetalFound, ash_oxides, metal_from_ash
from service.science.errors import OutOfRange
from service.science.results import Standing


def found(ash: str, charged: str | None = None) -> MetalFound:
    return metal_from_ash(
        Decimal(ash),
        Decimal(2),
        oxide="ZnO",
        charged_metal_percent=Decimal(charged) if charged else None,
    )


@pytest.mark.parametrize("oxide", ash_oxides())
@given(ash=st.decimals("0.001", 1, places=4), sample=st.decimals(1, 10, places=4))
def test_the_metal_grows_with_the_ash_and_is_less_than_it(
    oxide: str, ash: Decimal, sample: Decimal
) -> None:
    half = metal_from_ash(ash / 2, sample, oxide=oxide)
    whole = metal_from_ash(ash, sample, oxide=oxide)
    assert whole.metal_percent == pytest.approx(2 * half.metal_percent, rel=Decimal("1e-20"))
    assert whole.metal_percent < whole.ash_percent


def test_no_ash_is_no_metal() -> None:
    assert found("0").metal_percent == 0


def test_the_metal_is_an_approximation_that_takes_the_ash_for_pure_oxide() -> None:
    metal = found("0.2198")
    assert metal.standing is Standing.APPROXIMATE
    assert metal.why == "takes the ash for pure oxide"


def test_more_metal_than_charged_is_noted_as_not_washed_out() -> None:
    assert "not washed out" in found("0.2198", "8.6").notes[-1]


@pytest.mark.parametrize("charged", [None, "8.7", "20"])
def test_the_measured_metal_goes_before_theory(charged: str | None) -> None:
    assert found("0.2198", charged).notes == (
        "this measured figure goes before the theoretical one",
    )


@pytest.mark.parametrize(
    ("ash", "charged", "field"),
    [("-0.1", None, "ash_g"), ("2.1", None, "ash_g"), ("0.1", "101", "charged_metal_percent")],
)
def test_a_weighing_that_cannot_be_is_refused(ash: str, charged: str | None, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        found(ash, charged)
    assert refused.value.field == field


def test_an_oxide_outside_the_table_is_refused_with_the_list() -> None:
    with pytest.raises(OutOfRange) as refused:
        metal_from_ash(Decimal("0.1"), Decimal(1), oxide="PbO")
    assert refused.value.field == "oxide"
