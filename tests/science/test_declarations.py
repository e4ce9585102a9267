"""US net contents declarations."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.declarations import (
    fluid_ounce_declaration,
    mass_declaration,
    volume_declaration,
)
from service.science.errors import OutOfRange
from service.science.net_contents import LOCAL_LAW

SIZES = {"GAL": 128, "QT": 32, "PT": 16, "FL": 1, "LB": 16, "OZ": 1, "mL": 1, "L": 1000}
SIZES |= {"g": 1, "kg": 1000}


def read_back(words: str) -> Decimal:
    """The figure that a wording declares, in its smallest unit."""
    numbers = words.replace(" FL OZ", " FL").split()
    pairs = zip(numbers[::2], numbers[1::2], strict=True)
    return sum((Decimal(number) * SIZES[unit] for number, unit in pairs), Decimal(0))


@given(st.decimals(1, 99_999, places=1))
def test_a_volume_is_never_declared_larger_than_it_is(volume: Decimal) -> None:
    found = volume_declaration(volume)
    assert read_back(found.customary) == found.declared_us_fl_oz <= found.unrounded_us_fl_oz
    assert read_back(found.metric) == found.declared_ml <= volume
    assert found.declared_us_fl_oz * Decimal("1.01") > found.unrounded_us_fl_oz
    assert found.declaration == f"{found.customary} ({found.metric})"


@given(st.decimals("0.1", 3000, places=2))
def test_both_directions_meet_at_the_same_declaration(ounces: Decimal) -> None:
    there = fluid_ounce_declaration(ounces)
    if there.unrounded_ml >= 1:
        back = volume_declaration(there.unrounded_ml)
        assert back.declared_ml == there.declared_ml
        assert back.unrounded_us_fl_oz == pytest.approx(ounces, rel=Decimal("1e-20"))


@given(st.decimals(1, 99_999, places=1))
def test_a_weight_is_never_declared_larger_than_it_is(mass: Decimal) -> None:
    found = mass_declaration(mass)
    assert read_back(found.customary) == found.declared_oz_av <= found.unrounded_oz_av
    assert read_back(found.metric) == found.declared_g <= mass
    assert found.declaration == f"NET WT {found.customary} ({found.metric})"


@given(st.decimals(1, 9999, places=1), st.decimals(1, 9999, places=1))
def test_a_larger_pack_never_declares_less(one: Decimal, two: Decimal) -> None:
    small, large = (volume_declaration(volume) for volume in sorted((one, two)))
    assert small.declared_us_fl_oz <= large.declared_us_fl_oz


def test_a_fill_a_hair_short_of_a_pint_is_told_what_would_do() -> None:
    assert volume_declaration(Decimal(473)).notes[1] == "from 473.2 mL on it may say 1 PT"
    assert volume_declaration(Decimal("473.2")).declaration == "1 PT (473 mL)"


@pytest.mark.parametrize("volume", ["236.588", "250", "10020"])
def test_a_fill_that_is_not_short_of_a_usual_size_is_told_nothing(volume: str) -> None:
    assert len(volume_declaration(Decimal(volume)).notes) == 2


@pytest.mark.parametrize(
    "found", [volume_declaration(Decimal(250)), mass_declaration(Decimal(250))]
)
def test_a_declaration_leaves_the_last_word_to_local_law(found: Any) -> None:
    assert found.notes[-1] == LOCAL_LAW


@pytest.mark.parametrize(
    ("declare", "field"),
    [
        (volume_declaration, "volume_ml"),
        (fluid_ounce_declaration, "volume_us_fl_oz"),
        (mass_declaration, "mass_g"),
    ],
)
@pytest.mark.parametrize("value", ["0", "100001", "NaN"])
def test_a_pack_that_nobody_sells_is_refused(
    declare: Callable[[Decimal], object], field: str, value: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        declare(Decimal(value))
    assert refused.value.field == field
