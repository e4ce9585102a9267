"""Numbers and lists outside a range are refused by name."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from service.science import ranges
from service.science.errors import NotApplicable, OutOfRange, ScienceError


@pytest.mark.parametrize("value", ["NaN", "sNaN", "Infinity", "1e16", "-1e16", "1e-16"])
def test_what_nobody_measures_is_no_number(value: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        ranges.number(Decimal(value), "mass_g")
    assert refused.value.field == "mass_g"
    assert "mass in g" in refused.value.message


@pytest.mark.parametrize(
    "check",
    [
        lambda: ranges.positive(Decimal(0), "mass_g"),
        lambda: ranges.within(Decimal(101), 0, high=100, name="mass_g"),
        lambda: ranges.above(Decimal(0), 0, high=100, name="mass_g"),
        lambda: ranges.at_least(Decimal(-1), 0, name="mass_g"),
        lambda: ranges.one_of("cup", ("jar",), name="mass_g"),
        lambda: ranges.count([0] * (ranges.LONGEST_LIST + 1), 1, name="mass_g"),
    ],
)
def test_a_refusal_names_the_parameter_and_says_what_to_send(check: Callable[[], Any]) -> None:
    with pytest.raises(ScienceError) as refused:
        check()
    assert refused.value.field == "mass_g"
    assert refused.value.hint


def test_too_few_of_a_list_are_told_how_many_it_takes() -> None:
    with pytest.raises(NotApplicable, match="at least 2"):
        ranges.count([1], 2, name="replicates")
