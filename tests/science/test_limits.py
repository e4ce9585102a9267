"""Results beside their limits."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.limits import compare_with_limit, comparison_methods, limit_sides

NUMBERS = st.decimals(-9999, 9999, places=3)


@given(NUMBERS, NUMBERS, st.sampled_from(comparison_methods()))
def test_the_two_sides_of_a_limit_mirror_each_other(
    value: Decimal, limit: Decimal, method: str
) -> None:
    below = compare_with_limit(value, limit, side="at most", method=method)
    above = compare_with_limit(value, limit, side="at least", method=method)
    assert below.margin == -above.margin
    assert below.holds or above.holds


@given(NUMBERS, st.sampled_from(limit_sides()))
def test_the_absolute_method_rounds_nothing(value: Decimal, side: str) -> None:
    found = compare_with_limit(value, Decimal("35"), side=side, method="absolute")
    assert (found.compared, found.step) == (value, None)
    assert found.holds == (value <= 35 if side == "at most" else value >= 35)
    assert found.notes == ("the result was compared as it stands",)


@pytest.mark.parametrize(("limit", "compared"), [("35", "35"), ("35.0", "35.1"), ("4E+1", "35")])
def test_the_last_place_of_the_limit_says_how_far_to_round(limit: str, compared: str) -> None:
    found = compare_with_limit(Decimal("35.06"), Decimal(limit), side="at most")
    assert found.compared == Decimal(compared)


def test_a_step_that_is_sent_comes_before_the_place_of_the_limit() -> None:
    found = compare_with_limit(Decimal(237), Decimal(235), side="at most", step=Decimal(5))
    assert found.holds
    assert found.compared == 235
    assert found.notes[0] == "the result was compared rounded to 5, a tie to the even place"


def test_what_holds_by_rounding_alone_is_told() -> None:
    lead = compare_with_limit(Decimal("0.0094"), Decimal("0.009"), side="at most")
    assert lead.holds
    assert "before rounding" in lead.notes[-1]
    least = compare_with_limit(Decimal("34.96"), Decimal("35.0"), side="at least")
    assert "before rounding" in least.notes[-1]
    assert len(compare_with_limit(Decimal(34), Decimal("35.0"), side="at most").notes) == 1


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("value", {"value": Decimal("NaN")}),
        ("limit", {"limit": Decimal("Infinity")}),
        ("side", {"side": "below"}),
        ("method", {"method": "feeling"}),
        ("step", {"step": Decimal(0)}),
    ],
)
def test_what_cannot_be_compared_is_blamed_by_name(field: str, change: dict[str, Any]) -> None:
    sent: dict[str, Any] = {"value": Decimal(1), "limit": Decimal(1), "side": "at most"}
    with pytest.raises(OutOfRange) as refused:
        compare_with_limit(**{**sent, **change})
    assert refused.value.field == field
