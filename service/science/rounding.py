"""Rounding as the answer states it: to a step, ties to the even multiple, once, at the end."""

import math
from decimal import Context, Decimal
from fractions import Fraction

from service.science.errors import NumberMalformed, OutOfRange
from service.science.ranges import number, one_of, within

MOST_DIGITS = 28
_DIGITS = Context(prec=60)
_ANSWER = Context(prec=MOST_DIGITS)
# Beyond this size a fraction is so long that the sum would not end.
_LARGEST_POWER = 100
_HALF_EVEN = "half-even"
_HALF_AWAY = "half-away"


def rounding_rules() -> tuple[str, ...]:
    """List the rules for a tie: to the even multiple, or away from zero.

    Parameters: none. Raises: nothing. Returns: the rules.
    Source: ISO 80000-1 Annex B (from memory).

    >>> rounding_rules()
    ('half-even', 'half-away')
    """
    return (_HALF_EVEN, _HALF_AWAY)


def round_to_step(value: Decimal, step: Decimal, *, rule: str = _HALF_EVEN) -> Decimal:
    """Round a number to the nearest multiple of a step, a tie as the rule says.

    Parameters: value [1, any; in any unit]; step [1, above 0; in the same unit, such as 0.1];
    rule [one of `rounding_rules()`; half-even takes a tie to the even multiple, half-away takes
    it away from zero].
    Returns: [1] the multiple of the step, in the unit of the value.
    Raises: OutOfRange for a number that cannot be reckoned with or an unknown rule.
    Source: ISO 80000-1 Annex B rules A and B; ASTM E29 rounding method (from memory).

    >>> round_to_step(Decimal("13.37"), Decimal("0.05"))
    Decimal('13.35')
    """
    number(value, "value")
    number(step, "step")
    one_of(rule, rounding_rules(), name="rule")
    return (round_half_even if rule == _HALF_EVEN else round_half_away)(value, step)


def round_half_even(value: Decimal | Fraction, step: Decimal) -> Decimal:
    """Round to the nearest multiple of a step, a tie to the even multiple.

    Parameters: value [1, any; in any unit]; step [1, above 0; in the same unit].
    Returns: [1] the multiple of the step.
    Raises: NumberMalformed for a value that is not finite, OutOfRange for the step.
    Source: ISO 80000-1 Annex B rule A; ASTM E29 rounding method (from memory).

    >>> round_half_even(Decimal("12.25"), Decimal("0.1"))
    Decimal('12.2')
    """
    if isinstance(value, Decimal):
        _check(value)
    _check_step(step)
    above, below = value.as_integer_ratio()
    across, along = step.as_integer_ratio()
    return multiple(nearest(above * along, below * across), step)


def nearest(numerator: int, denominator: int) -> int:
    """Divide to the nearest whole number, a tie to the even one.

    Parameters: numerator [1, any]; denominator [1, above 0].
    Returns: the whole number. Raises: ZeroDivisionError for a denominator of 0.
    Source: ISO 80000-1 Annex B rule A (from memory).

    >>> nearest(5, 2), nearest(7, 2), nearest(-5, 2)
    (2, 4, -2)
    """
    whole, rest = divmod(numerator, denominator)
    beyond = 2 * rest - denominator
    return whole + 1 if beyond > 0 or (beyond == 0 and whole % 2) else whole


def round_half_away(value: Decimal | Fraction, step: Decimal) -> Decimal:
    """Round to the nearest multiple of a step, a tie away from zero.

    Parameters: value [1, any; in any unit]; step [1, above 0; in the same unit].
    Returns: [1] the multiple of the step.
    Raises: NumberMalformed for a value that is not finite, OutOfRange for the step.
    Source: ISO 80000-1 Annex B rule B (from memory).

    >>> round_half_away(Decimal("12.25"), Decimal("0.1"))
    Decimal('12.3')
    """
    _check_step(step)
    count = _exact(value) / Fraction(step)
    away = int(abs(count) + Fraction(1, 2))
    return multiple(away if count >= 0 else -away, step)


def round_significant(value: Decimal, digits: int) -> Decimal:
    """Round a number to so many significant digits, a tie to the even digit.

    Parameters: value [1, any; in any unit]; digits [1, 1-28; how many are kept].
    Returns: [1] the rounded number, in the unit of the value.
    Raises: NumberMalformed for a value that is not finite, OutOfRange for the digits.
    Source: ISO 80000-1 Annex B rule A (from memory).

    >>> round_significant(Decimal("25.7691"), 3)
    Decimal('25.8')
    """
    within(Decimal(digits), 1, high=MOST_DIGITS, name="digits")
    if not _exact(value):
        return Decimal(0)
    rounded = round_half_even(value, _last_place(value, digits))
    # 9.96 becomes 10.0, which shows a digit too many.
    rounded = round_half_even(rounded, _last_place(rounded, digits))
    return Decimal(plain(rounded))


def plain(value: Decimal) -> str:
    """Write a number without an exponent, its zeros kept and zero without a sign.

    Parameters: value [1, any; in any unit]. Returns: the text.
    Raises: NumberMalformed if it is not finite, OutOfRange beyond 100 digits.
    Source: common practice.

    >>> plain(Decimal("1.50E+3")), plain(Decimal("2.00"))
    ('1500', '2.00')
    """
    _check(value)
    return format(value if value else abs(value), "f")


def decimal_of(value: Fraction) -> Decimal:
    """Write an exact ratio as a decimal of 28 significant digits.

    Parameters: value [any unit]. Raises: nothing. Source: common practice.

    >>> decimal_of(Fraction(1, 4))
    Decimal('0.25')
    """
    return quotient(*value.as_integer_ratio())


def quotient(numerator: int, denominator: int) -> Decimal:
    """Write the ratio of two whole numbers as a decimal of 28 significant digits.

    Parameters: numerator [1, any]; denominator [1, above 0].
    Returns: [1] the decimal. Raises: ZeroDivisionError for a denominator of 0.
    Source: common practice.

    >>> quotient(1, 4)
    Decimal('0.25')
    """
    return _ANSWER.divide(Decimal(numerator), Decimal(denominator))


def _exact(value: Decimal | Fraction) -> Fraction:
    if isinstance(value, Decimal):
        _check(value)
    return Fraction(value)


def _check(value: Decimal) -> None:
    if not value.is_finite():
        raise NumberMalformed(
            f"{value} is not a finite number", "send a number such as 1.5", field="value"
        )
    if value and abs(value.adjusted()) > _LARGEST_POWER:
        raise OutOfRange(
            f"{value:.6g} is too large or too small", "send a number such as 1.5", field="value"
        )


def _check_step(step: Decimal) -> None:
    if not step.is_finite() or step <= 0:
        raise OutOfRange(
            f"the rounding step is {step}", "send a step above 0, such as 0.1", field="step"
        )


def multiple(count: int, step: Decimal) -> Decimal:
    """Take a step so many times, all its digits kept.

    Parameters: count [1, any]; step [any unit, above 0].
    Returns: the multiple, in the unit of the step. Raises: nothing up to 60 digits.
    Source: arithmetic.

    >>> multiple(3, Decimal("0.05"))
    Decimal('0.15')
    """
    return _DIGITS.multiply(Decimal(count), step)


def _last_place(value: Decimal, digits: int) -> Decimal:
    return Decimal(1).scaleb(value.adjusted() - digits + 1)


def from_float(value: float) -> Decimal:
    """Take a float over as the decimal of its first 15 significant digits.

    Parameters: value [any unit, any]. Raises: NumberMalformed if it is not finite.
    Returns: the decimal; the digits after the fifteenth are noise of the binary form.
    Source: IEEE 754 binary64, 15 decimal digits survive.

    >>> from_float(0.1 + 0.2)
    Decimal('0.3')
    """
    if not math.isfinite(value):
        raise NumberMalformed(f"{value} is not a finite number", "send numbers nearer to 1")
    return Decimal(plain(Decimal(f"{value:.15g}")))
