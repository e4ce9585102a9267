"""A value from one unit of the trade into another."""

from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange, WrongDimension
from service.science.ranges import number
from service.science.units import Quantity, convert, dimensions_of, quantity


class Conversion(NamedTuple):
    """A value in another unit, that unit as it is shown, and what both units measure."""

    converted: Decimal
    unit: str
    dimension: str


def converted(value: Decimal, from_unit: str, *, to_unit: str) -> Conversion:
    """Turn a value from one unit of the trade into another.

    Parameters: value [1, any; in the first unit]; from_unit [text, any spelling of a unit];
    to_unit [text, any spelling of a unit that measures the same].
    Returns: the value in the second unit, and what both measure.
    Raises: UnitUnknown; UnitAmbiguous for a spelling of two readings, such as oz or gal;
    WrongDimension for units of two dimensions; OutOfRange for a value or below absolute zero.
    Source: NIST SP 811, Appendix B, by the definitions in pint; exact, or to 28 digits.

    >>> converted(Decimal(1), "US gal", to_unit="l")
    Conversion(converted=Decimal('3.785411784'), unit='l', dimension='volume')
    """
    dimension = _shared(from_unit, to_unit)
    source, target = (_shown(unit, dimension) for unit in (from_unit, to_unit))
    taken = Quantity(number(value, "value"), source, dimension)
    if dimension == "temperature" and convert(taken, "K") < 0:
        raise OutOfRange(
            f"{value:f} {source} lies below absolute zero",
            "check the sign and the unit",
            field="value",
        )
    return Conversion(convert(taken, target), target, dimension)


def _shown(unit: str, dimension: str) -> str:
    return quantity(Decimal(0), unit, dimension).unit


def _shared(from_unit: str, to_unit: str) -> str:
    here, there = dimensions_of(from_unit, "from_unit"), dimensions_of(to_unit, "to_unit")
    if both := [dimension for dimension in here if dimension in there]:
        return both[0]
    raise WrongDimension(
        f"“{from_unit}” is a unit of {here[0]}, and “{to_unit}” of {there[0]}",
        f"send two units of {here[0]} or two of {there[0]}",
        field="to_unit",
    )
