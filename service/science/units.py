"""Quantities in the trade's spellings: parsed, refused where two readings exist, converted.

The spellings are a closed table (`tables/units.csv`), because a general unit parser reads
`C` as coulomb and `gr` as grain. The factors come from pint, which is imported only when the
first conversion asks for one.
"""

import functools
import re
import unicodedata
from decimal import Context, Decimal, Inexact, localcontext
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from service.science.errors import OutOfRange, UnitAmbiguous, UnitUnknown, WrongDimension
from service.science.numerals import LONGEST_TEXT, check_number, split_number
from service.science.numerals import parse_number as parse_number
from service.science.tables import rows

if TYPE_CHECKING:
    import pint

# Absolute zero on each scale, and how many kelvin one of its degrees is worth.
_SCALES = {
    "°C": (Fraction("-273.15"), Fraction(1)),
    "°F": (Fraction("-459.67"), Fraction(5, 9)),
    "K": (Fraction(0), Fraction(1)),
}
_LOOKALIKES = str.maketrans({"º": "°", "˚": "°", "·": ".", "⋅": ".", "∙": ".", "^": None})
# Pint works in 60 digits and a factor keeps 40 of them, so a factor with no finite decimal is
# told from an exact one by its length: what needs more than 39 digits is rounded to 28.
_WORKING_DIGITS = 60
_FACTOR_DIGITS = 40
_EXACT_DIGITS = 39
_ROUNDED_DIGITS = 28


class Quantity(NamedTuple):
    """A value with the digits as entered, its unit in the display spelling, and its dimension."""

    value: Decimal
    unit: str
    dimension: str

    def __str__(self) -> str:
        return f"{self.value:f} {self.unit}".removesuffix(" 1")


class _Unit(NamedTuple):
    dimension: str
    display: str
    symbols: tuple[str, ...]
    words: tuple[str, ...]
    expression: str


def _spelled(cell: str) -> tuple[str, ...]:
    return tuple(cell.split("|")) if cell else ()


@functools.cache
def _units() -> dict[str, tuple[_Unit, ...]]:
    """The units of each dimension, the canonical one first."""
    table: dict[str, tuple[_Unit, ...]] = {}
    for row in rows("units.csv"):
        unit = _Unit(
            row["dimension"],
            row["unit"],
            _spelled(row["symbols"]),
            _spelled(row["words"]),
            row["expression"],
        )
        table[unit.dimension] = (*table.get(unit.dimension, ()), unit)
    return table


@functools.cache
def _index(dimension: str) -> dict[tuple[str, str], _Unit]:
    """Each normal spelling of a dimension by its kind, since only words may change case."""
    index: dict[tuple[str, str], _Unit] = {}
    for unit in _units()[dimension]:
        index |= {("symbol", _normal(symbol)): unit for symbol in unit.symbols}
        index |= {("word", _normal(word).casefold()): unit for word in unit.words}
    return index


@functools.cache
def _ambiguous(dimension: str) -> dict[str, dict[str, str]]:
    return {
        _normal(word).casefold(): row
        for row in rows("ambiguous_units.csv")
        if row["dimension"] == dimension
        for word in _spelled(row["words"])
    }


def _normal(spelling: str) -> str:
    """Bring look-alike letters, raised digits and odd spaces to one form."""
    plain = unicodedata.normalize("NFKC", spelling.translate(_LOOKALIKES))
    plain = re.sub(r"\s*/\s*", "/", " ".join(plain.split()))
    return re.sub(r"°\s+", "°", plain)


def _look_up(spelling: str, dimension: str) -> _Unit | None:
    index = _index(dimension)
    normal = _normal(spelling)
    return index.get(("symbol", normal)) or index.get(("word", normal.casefold()))


def _unit(spelling: str, dimension: str) -> _Unit:
    known = _known(dimension)
    if not spelling and "1" in (unit.display for unit in known):
        return known[0]
    if len(spelling) > LONGEST_TEXT:
        raise UnitUnknown(
            f"the unit has {len(spelling)} characters", f"send at most {LONGEST_TEXT} characters"
        )
    if found := _look_up(spelling, dimension):
        return found
    raise _refusal(spelling, dimension)


def _known(dimension: str) -> tuple[_Unit, ...]:
    try:
        return _units()[dimension]
    except KeyError:
        raise UnitUnknown(
            f"there is no dimension “{dimension}”", f"use one of: {', '.join(known_dimensions())}"
        ) from None


def _refusal(spelling: str, dimension: str) -> UnitUnknown | UnitAmbiguous | WrongDimension:
    wanted = ", ".join(unit.display for unit in _units()[dimension])
    if not spelling:
        return UnitUnknown("the unit is missing", f"{dimension} is written in one of: {wanted}")
    if refused := _refused_everywhere(spelling, dimension):
        return _ambiguity(spelling, refused)
    for other in known_dimensions():
        if _look_up(spelling, other):
            return WrongDimension(
                f"“{spelling}” is a unit of {other}, and {dimension} was expected",
                f"{dimension} is written in one of: {wanted}",
            )
    return UnitUnknown(
        f"“{spelling}” is not a known unit", f"{dimension} is written in one of: {wanted}"
    )


def _ambiguity(spelling: str, readings: dict[str, str], name: str = "") -> UnitAmbiguous:
    return UnitAmbiguous(
        f"“{spelling}” can be read two ways",
        f"it is {readings['one']} or {readings['other']}: {readings['instead']}",
        field=name,
    )


def _refused_everywhere(spelling: str, dimension: str) -> dict[str, str] | None:
    """The two readings of a spelling, those of the expected dimension before any other's."""
    word = _normal(spelling).casefold()
    if here := _ambiguous(dimension).get(word):
        return here
    if any(_look_up(spelling, other) for other in known_dimensions()):
        return None
    readings = (_ambiguous(other).get(word) for other in known_dimensions())
    return next((found for found in readings if found), None)


def known_dimensions() -> tuple[str, ...]:
    """Name every dimension of the table.

    Parameters: none. Raises: nothing. Source: tables/units.csv.

    >>> "density" in known_dimensions()
    True
    """
    return tuple(_units())


def spellings(dimension: str) -> tuple[str, ...]:
    """List every accepted spelling of a dimension, the canonical unit's first.

    Parameters: dimension [1, one of `known_dimensions()`].
    Raises: UnitUnknown for a dimension that is not in the table. Source: tables/units.csv.

    >>> spellings("gloss")
    ('GU', 'gu', 'gloss unit', 'gloss units')
    """
    every = (s for unit in _known(dimension) for s in (unit.display, *unit.symbols, *unit.words))
    return tuple(dict.fromkeys(every))


def dimensions_of(unit: str, name: str = "unit") -> tuple[str, ...]:
    """Find what a unit may measure, since g/l is a density as well as a VOC content.

    Parameters: unit [text, any spelling of a unit]; name [text, the caller's parameter to blame].
    Raises: UnitUnknown for no unit, UnitAmbiguous for a spelling of two readings.
    Source: tables/units.csv.

    >>> dimensions_of("US gal")
    ('volume',)
    """
    spelling = unit.strip()
    if len(spelling) <= LONGEST_TEXT and spelling:
        if found := tuple(each for each in known_dimensions() if _look_up(spelling, each)):
            return found
        if readings := _refused_everywhere(spelling, known_dimensions()[0]):
            raise _ambiguity(spelling, readings, name)
    shown = (
        f"“{spelling[:LONGEST_TEXT]}” is not a known unit" if spelling else "the unit is missing"
    )
    raise UnitUnknown(shown, "write for example kg, lb, US gal, ml, °C, kg/l or µm", field=name)


def parse(text: str, dimension: str) -> Quantity:
    """Read a number and a unit as a maker writes them.

    Parameters: text [any unit of the dimension, at most 64 characters]; dimension [1, one of
    `known_dimensions()`].
    Raises: NumberMalformed, UnitUnknown, UnitAmbiguous, WrongDimension; OutOfRange below
    absolute zero.
    Source: tables/units.csv.

    >>> str(parse("0.930 g/mL", "density"))
    '0.930 g/ml'
    """
    _known(dimension)
    value, spelling = split_number(text)
    return _checked(value, _unit(spelling, dimension))


def quantity(value: Decimal | int | str, unit: str, dimension: str) -> Quantity:
    """Make a quantity from a value and a unit that came apart.

    Parameters: value [in the unit named, plain decimal]; unit [any spelling of the dimension];
    dimension [1, one of `known_dimensions()`].
    Raises: as `parse`.
    Source: tables/units.csv.

    >>> quantity("1.50", "Kg", "mass")
    Quantity(value=Decimal('1.50'), unit='kg', dimension='mass')
    """
    number = parse_number(value) if isinstance(value, str) else check_number(value)
    return _checked(number, _unit(unit.strip(), dimension))


def _checked(value: Decimal, unit: _Unit) -> Quantity:
    if unit.dimension == "temperature" and value < _SCALES[unit.display][0]:
        raise OutOfRange(
            f"{value:f} {unit.display} lies below absolute zero", "check the sign and the unit"
        )
    return Quantity(value, unit.display, unit.dimension)


def convert(q: Quantity, to: str) -> Decimal:
    """Give the value of a quantity in another unit of its dimension.

    Parameters: q [any]; to [any spelling of its dimension].
    Raises: UnitUnknown, UnitAmbiguous or WrongDimension for the unit asked for.
    Source: the definitions in pint, as NIST SP 811; exact, or to 28 digits if never ending.

    >>> convert(parse("60 F", "temperature"), "°C").quantize(Decimal("0.0001"))
    Decimal('15.5556')
    """
    target = _unit(to, q.dimension)
    if target.display == q.unit:
        return q.value
    if q.dimension == "temperature":
        return _decimal(_between_scales(Fraction(q.value), q.unit, target.display))
    ratio = _factor(q.dimension, q.unit) / _factor(q.dimension, target.display)
    return _decimal(Fraction(q.value) * ratio)


def canonical(q: Quantity) -> Decimal:
    """Give the value of a quantity in the canonical unit of its dimension.

    Parameters: q [any]. Raises: nothing. Source: as `convert`; the units are `CANONICAL`.

    >>> canonical(parse("1.5 kg", "mass"))
    Decimal('1500000')
    """
    return convert(q, CANONICAL[q.dimension])


def _between_scales(value: Fraction, unit: str, to: str) -> Fraction:
    zero, degree = _SCALES[unit]
    target_zero, target_degree = _SCALES[to]
    return (value - zero) * degree / target_degree + target_zero


def _decimal(exact: Fraction) -> Decimal:
    with localcontext(Context(prec=_EXACT_DIGITS)) as context:
        value = Decimal(exact.numerator) / Decimal(exact.denominator)
        inexact = context.flags[Inexact]
    if inexact:
        return Context(prec=_ROUNDED_DIGITS).divide(
            Decimal(exact.numerator), Decimal(exact.denominator)
        )
    return Decimal(format(value.normalize(Context(prec=_EXACT_DIGITS)), "f"))


@functools.cache
def _factor(dimension: str, display: str) -> Fraction:
    """How many canonical units one such unit is worth."""
    units = {unit.display: unit.expression for unit in _units()[dimension]}
    return _ratio(units[display], units[CANONICAL[dimension]])


def _ratio(expression: str, base: str) -> Fraction:
    with localcontext(Context(prec=_WORKING_DIGITS)):
        registry = _registry()
        ratio = registry.parse_expression(expression) / registry.parse_expression(base)
        magnitude = Decimal(ratio.to_base_units().magnitude)
    return Fraction(Context(prec=_FACTOR_DIGITS).plus(magnitude))


@functools.cache
def _registry() -> "pint.UnitRegistry[Decimal]":
    # Imported here because it takes a third of a second, which start-up need not pay.
    import pint

    return pint.UnitRegistry(non_int_type=Decimal)


CANONICAL: dict[str, str] = {name: units[0].display for name, units in _units().items()}
