"""One unit into another, what both measure found by the units themselves."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.science.conversions import converted
from service.science.errors import (
    OutOfRange,
    ScienceError,
    UnitAmbiguous,
    UnitUnknown,
    WrongDimension,
)
from service.science.tables import rows

REGISTRY = pint.UnitRegistry()
# Kelvin is a temperature before it is a difference, and a temperature has a lowest value.
UNITS = [row for row in rows("units.csv") if not row["dimension"].startswith("temperature")]
PAIRS = [(a, b) for a in UNITS for b in UNITS if a["dimension"] == b["dimension"]]
NUMBERS = st.decimals(-999999, 999999, places=6, allow_nan=False)


@settings(deadline=None)  # the first conversion imports pint
@given(NUMBERS, st.sampled_from(PAIRS))
def test_a_value_there_and_back_is_the_same(
    value: Decimal, pair: tuple[dict[str, str], dict[str, str]]
) -> None:
    here, there = (row["unit"] for row in pair)
    back = converted(converted(value, here, to_unit=there).converted, there, to_unit=here)
    assert abs(back.converted - value) <= Decimal("1e-20") * max(abs(value), Decimal(1))


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair[0]['unit']} {pair[1]['unit']}")
def test_every_pair_of_the_table_agrees_with_pint(
    pair: tuple[dict[str, str], dict[str, str]],
) -> None:
    here, there = (REGISTRY.Quantity(row["expression"]) for row in pair)
    found = converted(Decimal(1), pair[0]["unit"], to_unit=pair[1]["unit"])
    assert float(found.converted) == pytest.approx(
        (here / there).to_base_units().magnitude, rel=1e-12
    )


def test_any_spelling_is_taken_and_the_unit_is_shown_in_one() -> None:
    found = converted(Decimal("0.93"), " g/mL ", to_unit="kg/dm3")
    assert (str(found.converted), found.unit, found.dimension) == ("0.93", "kg/l", "density")


def test_a_unit_of_two_dimensions_takes_the_one_that_both_units_share() -> None:
    assert converted(Decimal(1), "K", to_unit="°C").dimension == "temperature"
    assert converted(Decimal(50), "%", to_unit="g/kg").dimension == "fraction"


@pytest.mark.parametrize(
    ("value", "units", "refusal", "field"),
    [
        ("1", ("oz", "g"), UnitAmbiguous, "from_unit"),
        ("1", ("l", "gal"), UnitAmbiguous, "to_unit"),
        ("1", ("kg", "zork"), UnitUnknown, "to_unit"),
        ("1", ("", "kg"), UnitUnknown, "from_unit"),
        ("1", ("k" * 70, "kg"), UnitUnknown, "from_unit"),
        ("1", ("kg", "l"), WrongDimension, "to_unit"),
        ("1", ("%", "% v/v"), WrongDimension, "to_unit"),
        ("-273.16", ("°C", "°F"), OutOfRange, "value"),
        ("NaN", ("g", "kg"), OutOfRange, "value"),
    ],
)
def test_what_cannot_be_converted_names_the_input_to_blame(
    value: str, units: tuple[str, str], refusal: type[ScienceError], field: str
) -> None:
    with pytest.raises(refusal) as refused:
        converted(Decimal(value), units[0], to_unit=units[1])
    assert refused.value.field == field
