"""Plain decimal numbers as people type them, and a clear word about every other kind."""

import re
from decimal import Decimal

from service.science.errors import NumberMalformed

LONGEST_TEXT = 64
MOST_DIGITS = 12

_SIGNS = {"\u2212": "-", "\ufe63": "-", "\uff0d": "-"}
_PLAIN = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")
_NOT_FINITE = re.compile(r"[+-]?(?:s?nan|inf(?:inity)?)\b|[+-]?\u221e", re.IGNORECASE)
_BOTH_MARKS = re.compile(r"[+-]?[0-9.,]*(?:,[0-9]+\.|\.[0-9]+,)[0-9.,]*")
_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+)(?![0-9,.])")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]")
_GROUPING = "'\u2019_ "


def split_number(text: str) -> tuple[Decimal, str]:
    """Take the number at the front of a text from the unit that follows it.

    Parameters: text [1, a number and perhaps a unit, at most 64 characters].
    Raises: NumberMalformed for anything but a plain decimal number in front.
    Source: common practice.

    >>> split_number("0.930 kg/l")
    (Decimal('0.930'), 'kg/l')
    """
    tidy = _tidy(text)
    found = _PLAIN.match(tidy)
    rest = tidy[found.end() :] if found else tidy
    after = rest.lstrip()
    if found is None or _runs_on(rest, after):
        message, hint = _fault(tidy)
        raise NumberMalformed(message, hint)
    return _decimal(found.group()), after


def parse_number(text: str) -> Decimal:
    """Read a plain decimal number and keep its digits as entered.

    Parameters: text [1, at most 12 digits before and 12 after the point].
    Raises: NumberMalformed, saying how to write the number.
    Source: common practice.

    >>> parse_number("12.50")
    Decimal('12.50')
    """
    number, rest = split_number(text)
    if rest:
        raise NumberMalformed(
            f"“{rest}” follows the number", "send the number alone, or a text where one is allowed"
        )
    return number


def check_number(value: Decimal | int) -> Decimal:
    """Hold a number that came as a number to the rule for numbers that come as text.

    Parameters: value [1, finite, at most 12 digits before and 12 after the point].
    Raises: NumberMalformed for anything else, truth values and binary floats included.
    Source: common practice.

    >>> check_number(Decimal("1E+3"))
    Decimal('1000')
    """
    if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
        raise NumberMalformed(f"{value!r} is not a decimal number", "send a number such as 1.5")
    number = Decimal(value)
    if not number.is_finite():
        raise NumberMalformed(f"{value} is not a finite number", "send a number such as 1.5")
    if number and (number.adjusted() >= MOST_DIGITS or _exponent(number) < -MOST_DIGITS):
        raise _too_many_digits()
    return _decimal(format(number, "f")) if number else abs(number).quantize(_scale(number))


def _scale(zero: Decimal) -> Decimal:
    return Decimal(1).scaleb(max(min(_exponent(zero), 0), -MOST_DIGITS))


def _exponent(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


def _tidy(text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise NumberMalformed(
            f"the text has {len(text)} characters",
            f"send a number and a unit in at most {LONGEST_TEXT} characters",
        )
    tidy = "".join(" " if mark.isspace() else _SIGNS.get(mark, mark) for mark in text)
    return tidy.strip()


def _decimal(plain: str) -> Decimal:
    whole, _, places = plain.lstrip("+-").partition(".")
    if len(whole.lstrip("0")) > MOST_DIGITS or len(places) > MOST_DIGITS:
        raise _too_many_digits()
    number = Decimal(plain)
    return number if number else abs(number)


def _too_many_digits() -> NumberMalformed:
    return NumberMalformed(
        "the number has too many digits",
        f"send at most {MOST_DIGITS} digits before and {MOST_DIGITS} after the point",
    )


def _runs_on(rest: str, after: str) -> bool:
    """Whether what follows the digits still belongs to a number or an expression."""
    if not rest:
        return False
    if _EXPONENT.match(rest) or rest[0] in _GROUPING.strip() + ".,":
        return True
    return bool(after) and (after[0].isnumeric() or after[0] in "+-*/^()=\u00d7\u00b1,.")


def _fault(text: str) -> tuple[str, str]:
    """Say what is wrong with a text that does not start with a plain number."""
    if not text:
        return "the number is missing", "send a number such as 1.5"
    if _NOT_FINITE.match(text):
        return f"“{text}” is not a finite number", "send a number such as 1.5"
    if re.match(r"[+-]\s*[+-]", text):
        return f"“{text}” has two signs", "write one sign at most, such as -5"
    return _separator_fault(text) or _shape_fault(text)


def _separator_fault(text: str) -> tuple[str, str] | None:
    if both := _BOTH_MARKS.match(text):
        marks = both.group()
        last = max(marks.rfind(","), marks.rfind("."))
        plain = re.sub("[.,]", "", marks[:last]) + "." + marks[last + 1 :]
        return f"“{text}” has thousands separators", f"write {plain}{text[both.end() :]}"
    if comma := _COMMA.match(text):
        point = f"{comma[1]}.{comma[2]}{text[comma.end() :]}"
        if len(comma[2]) == 3:
            whole = f"{comma[1]}{comma[2]}{text[comma.end() :]}"
            return f"“{text}” has a comma that can be read two ways", f"write {whole} or {point}"
        return f"“{text}” has a decimal comma", f"write {point}"
    if re.match(rf"[+-]?[0-9]+[{_GROUPING},]\s*[0-9]", text):
        return f"“{text}” has a separator inside the number", "write the digits together: 1500"
    return None


def _shape_fault(text: str) -> tuple[str, str]:
    if re.match(r"[+-]?[0-9.]+[eE][+-]?[0-9]", text):
        return f"“{text}” has an exponent", "write the number out, such as 1000"
    if re.match(r"[+-]?\.[0-9]", text):
        return f"“{text}” starts with the point", f"write {text.replace('.', '0.', 1)}"
    if re.match(r"[+-]?[0-9]+\.(?![0-9])", text):
        return f"“{text}” ends with the point", f"write {text.replace('.', '', 1)}"
    if re.match(r"[+-]?[0-9]+\.[0-9]+\.", text):
        return f"“{text}” has more than one point", "write one decimal point at most: 1500.5"
    if re.match(r"[+-]?[0-9]", text):
        return f"“{text}” is an expression, not one number", "send the result, such as 0.5"
    return f"“{text}” does not start with a number", "send a number first, such as 1.5"
