"""Rounding as the answer states it: to a step, ties to the even multiple, once, at the end."""

from decimal import Context, Decimal
from fractions import Fraction

from service.science.errors import NumberMalformed, OutOfRange

_DIGITS = Context(prec=60)
_ANSWER = Context(prec=28)


def round_half_even(value: Decimal | Fraction, step: Decimal) -> Decimal:
    """Round to the nearest multiple of a step, a tie to the even multiple.

    Parameters: value [any unit, finite]; step [the same unit, above 0].
    Raises: NumberMalformed for a value that is not finite, OutOfRange for the step.
    Source: ISO 80000-1 Annex B rule A; ASTM E29 rounding method (from memory).

    >>> round_half_even(Decimal("12.25"), Decimal("0.1"))
    Decimal('12.2')
    """
    return _multiple(round(_exact(value) / _step(step)), step)


def round_half_away(value: Decimal | Fraction, step: Decimal) -> Decimal:
    """Round to the nearest multiple of a step, a tie away from zero.

    Parameters: value [any unit, finite]; step [the same unit, above 0].
    Raises: NumberMalformed for a value that is not finite, OutOfRange for the step.
    Source: ISO 80000-1 Annex B rule B (from memory).

    >>> round_half_away(Decimal("12.25"), Decimal("0.1"))
    Decimal('12.3')
    """
    count = _exact(value) / _step(step)
    nearest = int(abs(count) + Fraction(1, 2))
    return _multiple(nearest if count >= 0 else -nearest, step)


def round_significant(value: Decimal, digits: int) -> Decimal:
    """Round to a number of significant digits, a tie to the even digit.

    Parameters: value [any unit, finite]; digits [1, 1 or more].
    Raises: NumberMalformed for a value that is not finite, OutOfRange for the digits.
    Source: ISO 80000-1 Annex B rule A (from memory).

    >>> round_significant(Decimal("25.7691"), 3)
    Decimal('25.8')
    """
    if digits < 1:
        raise OutOfRange(f"{digits} significant digits", "send 1 or more")
    if not _exact(value):
        return Decimal(0)
    rounded = round_half_even(value, _last_place(value, digits))
    # 9.96 becomes 10.0, which shows a digit too many.
    rounded = round_half_even(rounded, _last_place(rounded, digits))
    return Decimal(plain(rounded))


def plain(value: Decimal) -> str:
    """Write a number without an exponent, its zeros kept and zero without a sign.

    Parameters: value [any unit, finite]. Raises: NumberMalformed if it is not finite.
    Source: common practice.

    >>> plain(Decimal("1.50E+3")), plain(Decimal("2.00"))
    ('1500', '2.00')
    """
    _exact(value)
    return format(value if value else abs(value), "f")


def decimal_of(value: Fraction) -> Decimal:
    """Write an exact ratio as a decimal of 28 significant digits.

    Parameters: value [any unit]. Raises: nothing. Source: common practice.

    >>> decimal_of(Fraction(1, 4))
    Decimal('0.25')
    """
    return _ANSWER.divide(Decimal(value.numerator), Decimal(value.denominator))


def _exact(value: Decimal | Fraction) -> Fraction:
    if isinstance(value, Decimal) and not value.is_finite():
        raise NumberMalformed(f"{value} is not a finite number", "send a number such as 1.5")
    return Fraction(value)


def _step(step: Decimal) -> Fraction:
    if not step.is_finite() or step <= 0:
        raise OutOfRange(f"the rounding step is {step}", "send a step above 0, such as 0.1")
    return Fraction(step)


def _multiple(count: int, step: Decimal) -> Decimal:
    return _DIGITS.multiply(Decimal(count), step)


def _last_place(value: Decimal, digits: int) -> Decimal:
    return Decimal(1).scaleb(value.adjusted() - digits + 1)
