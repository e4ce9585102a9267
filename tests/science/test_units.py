"""Quantities: the trade's spellings, their refusals, and factors against pint."""

import subprocess
import sys
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import (
    NumberMalformed,
    OutOfRange,
    ScienceError,
    UnitAmbiguous,
    UnitUnknown,
    WrongDimension,
)
from service.science.tables import rows
from service.science.units import (
    CANONICAL,
    Quantity,
    canonical,
    convert,
    dimensions_of,
    known_dimensions,
    parse,
    quantity,
    spellings,
)

TABLE = rows("units.csv")
AMBIGUOUS = [
    (row["dimension"], word)
    for row in rows("ambiguous_units.csv")
    for word in row["words"].split("|")
]
UNITS = [(row["dimension"], row["unit"]) for row in TABLE]
REGISTRY = pint.UnitRegistry()
FACTORS = [row for row in TABLE if row["dimension"] != "temperature"]
NUMBERS = st.decimals(-999999, 999999, places=6, allow_nan=False, allow_infinity=False)


def _named(row: dict[str, str]) -> str:
    return f"{row['dimension']} {row['unit']}"


@pytest.mark.parametrize(
    ("text", "dimension", "shown"),
    [
        ("0.930 kg/l", "density", "0.930 kg/l"),
        ("0.930 g/mL", "density", "0.930 g/ml"),
        ("412.60 Kg", "mass", "412.60 kg"),
        ("5 gms", "mass", "5 g"),
        ("5\u00a0kg", "mass", "5 kg"),
        ("5\u2009kg", "mass", "5 kg"),
        ("5kg", "mass", "5 kg"),
        ("30 \u00b5m", "length", "30 \u00b5m"),
        ("30 \u03bcm", "length", "30 \u00b5m"),
        ("30 um", "length", "30 \u00b5m"),
        ("60 g/m\u00b2", "areal-mass", "60 g/m2"),
        ("60 g / m^2", "areal-mass", "60 g/m2"),
        ("23 C", "temperature", "23 °C"),
        ("23 ° C", "temperature", "23 °C"),
        ("23 ºC", "temperature", "23 °C"),
        ("23 deg C", "temperature", "23 °C"),
        ("\u22125 °C", "temperature", "-5 °C"),
        ("2.5 mPa·s", "dynamic-viscosity", "2.5 mPa.s"),
        ("2 us gallons", "volume", "2 US gal"),
        ("3 oz av", "mass", "3 oz av"),
        ("165 mg KOH/g", "acid-value", "165 mg KOH/g"),
        ("25.7 us gal/100 lb", "oil-length", "25.7 US gal/100 lb"),
        ("48 %", "humidity", "48 % rh"),
        ("24", "count", "24"),
        ("24 pcs", "count", "24 pcs"),
    ],
)
def test_a_trade_spelling_is_shown_in_one_way_with_its_digits(
    text: str, dimension: str, shown: str
) -> None:
    assert str(parse(text, dimension)) == shown


@pytest.mark.parametrize("dimension", known_dimensions())
def test_every_spelling_of_a_dimension_is_read(dimension: str) -> None:
    for spelling in spellings(dimension):
        assert quantity("1", spelling, dimension).dimension == dimension


@pytest.mark.parametrize("dimension", known_dimensions())
def test_no_spelling_names_two_units_of_one_dimension(dimension: str) -> None:
    for column in ("symbols", "words"):
        used = [
            spelling
            for row in TABLE
            if row["dimension"] == dimension
            for spelling in row[column].split("|")
            if spelling
        ]
        assert len(used) == len(set(used))


@pytest.mark.parametrize(("dimension", "word"), AMBIGUOUS)
def test_a_spelling_with_two_readings_is_refused_naming_both(dimension: str, word: str) -> None:
    with pytest.raises(UnitAmbiguous) as refused:
        quantity("1", word, dimension)
    assert " or " in refused.value.hint
    assert ": " in refused.value.hint


@pytest.mark.parametrize("word", ["gr", "pt", "oz", "fl oz", "gal", "qt"])
def test_an_ambiguous_spelling_is_refused_in_every_dimension(word: str) -> None:
    for dimension in known_dimensions():
        with pytest.raises(UnitAmbiguous):
            quantity("1", word, dimension)


def test_a_unit_of_another_dimension_is_refused_naming_both_dimensions() -> None:
    with pytest.raises(WrongDimension, match="unit of mass, and density was expected"):
        parse("5 kg", "density")


def test_coulomb_is_not_a_mass_and_celsius_is_named_instead() -> None:
    with pytest.raises(WrongDimension, match="temperature, and mass"):
        parse("3 C", "mass")


@pytest.mark.parametrize("text", ["5 zork", "5", "5 Mg", "5 kg 3 g", "5 x10"])
def test_an_unknown_unit_is_refused_with_the_list_of_known_ones(text: str) -> None:
    with pytest.raises(UnitUnknown) as refused:
        parse(text, "mass")
    assert "mg, g, kg, t, lb, oz av" in refused.value.hint


def test_megapascal_seconds_are_not_taken_for_millipascal_seconds() -> None:
    with pytest.raises(UnitUnknown):
        parse("5 MPa.s", "dynamic-viscosity")


def test_an_unknown_dimension_is_refused_with_the_list_of_known_ones() -> None:
    with pytest.raises(UnitUnknown, match="no dimension “speed”"):
        parse("5 m", "speed")


def test_a_very_long_unit_is_refused_without_being_shown() -> None:
    with pytest.raises(UnitUnknown, match="70 characters"):
        quantity("1", "k" * 70, "mass")


@pytest.mark.parametrize("text", ["-273.16 °C", "-460 F", "-0.01 K"])
def test_a_temperature_below_absolute_zero_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange):
        parse(text, "temperature")


@pytest.mark.parametrize("dimension", known_dimensions())
def test_every_spelling_of_a_dimension_is_said_to_measure_it(dimension: str) -> None:
    for spelling in spellings(dimension):
        assert dimension in dimensions_of(spelling)


@pytest.mark.parametrize(
    ("unit", "refusal"),
    [("oz", UnitAmbiguous), ("lb/gal", UnitAmbiguous), ("zork", UnitUnknown), (" ", UnitUnknown)],
)
def test_a_unit_that_measures_nothing_known_is_refused_at_its_name(
    unit: str, refusal: type[ScienceError]
) -> None:
    with pytest.raises(refusal) as refused:
        dimensions_of(unit, "to_unit")
    assert refused.value.field == "to_unit"


def test_a_quantity_is_made_from_text_number_or_integer() -> None:
    made = {quantity(value, "kg", "mass") for value in ("1.5", Decimal("1.5"))}
    assert made == {Quantity(Decimal("1.5"), "kg", "mass")}
    assert str(quantity(2, "kgs", "mass")) == "2 kg"


@pytest.mark.parametrize("value", [Decimal("NaN"), Decimal("Infinity"), True, 1.5])
def test_a_value_that_is_no_decimal_number_is_refused(value: Decimal) -> None:
    with pytest.raises(NumberMalformed):
        quantity(value, "kg", "mass")


@pytest.mark.parametrize("row", FACTORS, ids=_named)
def test_every_factor_of_the_table_agrees_with_pint(row: dict[str, str]) -> None:
    canonical_row = next(each for each in TABLE if each["dimension"] == row["dimension"])
    ratio = REGISTRY.parse_expression(row["expression"])
    ratio /= REGISTRY.parse_expression(canonical_row["expression"])
    expected = REGISTRY.Quantity(ratio).to_base_units().magnitude
    found = canonical(Quantity(Decimal(1), row["unit"], row["dimension"]))
    assert float(found) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("pair", [("°F", "degF"), ("K", "kelvin"), ("°C", "degC")])
def test_every_temperature_scale_agrees_with_pint(pair: tuple[str, str]) -> None:
    ours, theirs = pair
    expected = REGISTRY.Quantity(451.0, theirs).to("degC").magnitude
    found = canonical(quantity(451, ours, "temperature"))
    assert float(found) == pytest.approx(expected, abs=1e-9)


@given(value=NUMBERS.map(abs), pair=st.sampled_from(UNITS), other=st.sampled_from(UNITS))
def test_a_conversion_there_and_back_gives_the_value_again(
    value: Decimal, pair: tuple[str, str], other: tuple[str, str]
) -> None:
    dimension, unit = pair
    target = other[1] if other[0] == dimension else CANONICAL[dimension]
    there = convert(Quantity(value, unit, dimension), target)
    back = convert(Quantity(there, target, dimension), unit)
    assert abs(back - value) <= Decimal("1e-20") * max(value, Decimal(1))


@given(value=NUMBERS)
def test_a_quantity_that_was_shown_is_read_again_unchanged(value: Decimal) -> None:
    shown = str(quantity(value, "K", "temperature-difference"))
    assert str(parse(shown, "temperature-difference")) == shown


@given(text=st.text(max_size=80), dimension=st.sampled_from(known_dimensions()))
def test_any_text_is_read_or_refused_with_a_hint(text: str, dimension: str) -> None:
    try:
        parsed = parse(text, dimension)
    except ScienceError as refusal:
        refused: ScienceError | None = refusal
    else:
        refused = None
        assert parsed.value.is_finite()
    assert refused is None or (refused.code and refused.message and refused.hint)


def test_masses_are_whole_milligrams_in_the_canonical_unit() -> None:
    assert canonical(parse("412.605 g", "mass")) == 412605
    assert str(canonical(parse("1.50 kg", "mass"))) == "1500000"


def test_reading_quantities_does_not_import_pint() -> None:
    code = (
        "import sys; from service.science.units import parse; parse('5 kg', 'mass'); "
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
