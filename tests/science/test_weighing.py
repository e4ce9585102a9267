"""What a scale can tell, against the uncertainties package."""

from decimal import Decimal
from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from service.science.errors import OutOfRange
from service.science.weighing import (
    minimum_net_mass,
    scale_suits_tolerance,
    weighing_uncertainty,
)

STEPS = st.decimals("0.001", 10, places=3)
PARTS = st.decimals("0.001", 5, places=3)


@given(STEPS, PARTS, PARTS)
def test_a_net_mass_has_the_uncertainty_that_an_independent_package_gives(
    step: Decimal, repeatability: Decimal, linearity: Decimal
) -> None:
    gross, tare = (
        ufloat(100, float(step) / sqrt(12)) + ufloat(0, float(linearity) / sqrt(3))
        for _ in range(2)
    )
    net = gross - tare + ufloat(0, float(repeatability))
    found = weighing_uncertainty(step, repeatability_g=repeatability, linearity_g=linearity)
    assert float(found.standard_uncertainty_g) == pytest.approx(net.std_dev, rel=1e-12)


@given(STEPS, PARTS)
def test_the_parts_make_up_the_whole_in_squares(step: Decimal, linearity: Decimal) -> None:
    found = weighing_uncertainty(step, 1, repeatability_g=step, linearity_g=linearity)
    parts = (found.from_readability_g, found.from_repeatability_g, found.from_linearity_g)
    squares = sum(part**2 for part in parts)
    assert squares == pytest.approx(found.standard_uncertainty_g**2, rel=Decimal("1e-20"))


@given(STEPS, st.decimals("0.01", 100, places=2))
def test_the_smallest_mass_has_just_the_tolerance_as_its_uncertainty(
    step: Decimal, tolerance: Decimal
) -> None:
    found = minimum_net_mass(step, tolerance)
    allowed = found.minimum_net_mass_g * tolerance / 100
    assert allowed == pytest.approx(found.expanded_uncertainty_g, rel=Decimal("1e-20"))


@given(STEPS, STEPS)
def test_a_scale_suits_from_the_smallest_tolerance_on(step: Decimal, tolerance: Decimal) -> None:
    found = scale_suits_tolerance(step, tolerance)
    assert found.suits == (tolerance >= found.smallest_tolerance_g)
    assert ("use a finer scale or a wider tolerance" in found.notes) == (not found.suits)


def test_readability_alone_is_said_to_be_that() -> None:
    assert "readability alone" in weighing_uncertainty(Decimal("0.1")).notes[0]
    known = weighing_uncertainty(Decimal("0.1"), repeatability_g=Decimal("0.05"))
    assert known.notes == ()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("readability_g", Decimal(0)),
        ("weighings", 3),
        ("repeatability_g", Decimal("-0.1")),
        ("linearity_g", Decimal("NaN")),
        ("coverage", Decimal(5)),
    ],
)
def test_what_is_no_scale_is_blamed_by_name(field: str, value: Any) -> None:
    with pytest.raises(OutOfRange) as refused:
        weighing_uncertainty(**{"readability_g": Decimal(1), field: value})
    assert refused.value.field == field


@pytest.mark.parametrize("ask", [minimum_net_mass, scale_suits_tolerance])
def test_no_tolerance_is_refused(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(OutOfRange) as refused:
        ask(Decimal("0.1"), Decimal(0))
    assert refused.value.field.startswith("tolerance")
