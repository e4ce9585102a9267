"""Canonical integers as amounts to show, and amounts that came in as canonical integers."""

from decimal import Decimal

from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.web.fields import Amount


def mass(mg: int | None) -> Amount | None:
    """Milligrams as an amount: grams below 10 kg, kilograms above; digits to the milligram."""
    if mg is None:
        return None
    if abs(mg) < 10_000_000:
        return Amount(value=_trimmed(Decimal(mg) / 1000), unit="g")
    return Amount(value=_trimmed(Decimal(mg) / 1_000_000), unit="kg")


def litres(ul: int | None) -> Amount | None:
    """Microlitres as an amount: millilitres below a litre, litres from there on."""
    if ul is None:
        return None
    if abs(ul) < 1_000_000:
        return Amount(value=_trimmed(Decimal(ul) / 1000), unit="ml")
    return Amount(value=_trimmed(Decimal(ul) / 1_000_000), unit="l")


def _trimmed(value: Decimal) -> str:
    text = plain(value)
    return text.rstrip("0").rstrip(".") if "." in text else text


def whole(quantity: Quantity | None) -> int | None:
    """A mass in whole milligrams or a volume in whole microlitres, rounded half to even once."""
    return None if quantity is None else int(units.canonical(quantity).to_integral_value())
