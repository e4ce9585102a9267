"""Check characters of lot numbers, and numbers that survive a spreadsheet."""

import functools
import re
from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NumberMalformed, OutOfRange
from service.science.ranges import one_of, within
from service.science.tables import rows

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
LONGEST_CODE = 20

_HYBRID = "37-36"
_PURE = "37-2"
_MODULUS = len(ALPHABET)
# The pure system has one check character more than the alphabet.
_PURE_CHECKS = ALPHABET + "*"
_DROPPED = re.compile(r"[\s._\-\u00ad\u2010-\u2015\u2212\ufe58\ufe63\uff0d]")
_BARE = re.compile(r"[0-9A-Z]+")
_CHECKED = re.compile(r"[0-9A-Z]+[0-9A-Z*]")
_CODE = re.compile(r"[A-Z]{2,}[A-Z0-9-]*")
_PREFIX = re.compile(r"[A-Z]{2}[A-Z0-9]{0,7}")
_LOT = re.compile(r"([A-Z]{2}[A-Z0-9]{0,7})([0-9]{2})([0-9]{2})([0-9]{2})([A-Z]?)([0-9A-Z])")
_CENTURY = 2000


class LotNumber(NamedTuple):
    """A number in the scheme PREFIX-YYMM-NN[A-Z]-C, as it was read; `sound` judges it."""

    prefix: str
    year: int
    month: int
    sequence: int
    letter: str
    check: str

    @property
    def formatted(self) -> str:
        """The number as it is printed."""
        return f"{self._body}-{self.check}"

    @property
    def sound(self) -> bool:
        """Whether the month exists and the check character fits."""
        return 1 <= self.month <= 12 and is_valid(self.formatted)

    @property
    def _body(self) -> str:
        return (
            f"{self.prefix}-{self.year - _CENTURY:02}{self.month:02}"
            f"-{self.sequence:02}{self.letter}"
        )


class CodeVerdict(NamedTuple):
    """Whether a code survives a spreadsheet and a barcode, how it is kept, and what is wrong."""

    sound: bool
    code: str
    problem: str | None


def compact(text: str) -> str:
    """Strip spaces, dots, underscores and every kind of hyphen, and write upper case.

    Parameters: text [text, a number as typed or scanned]. Returns: the bare number.
    Raises: nothing. Source: common practice.

    >>> compact(" spar–2611.07 a_m")
    'SPAR261107AM'
    """
    return "".join(c.upper() if c.isascii() else c for c in _DROPPED.sub("", text))


def check_systems() -> tuple[str, ...]:
    """List the systems of check characters: 37-36 for lots, 37-2 where a * may be printed.

    Parameters: none. Raises: nothing. Returns: the systems. Source: ISO/IEC 7064.

    >>> check_systems()
    ('37-36', '37-2')
    """
    return (_HYBRID, _PURE)


def check_character(body: str, system: str = _HYBRID) -> str:
    """Compute the check character that belongs behind a number.

    Parameters: body [text, one or more of 0-9 A-Z, without spaces and hyphens]; system [one of
    `check_systems()`; 37-36 gives a digit or letter and misses 1 swap of neighbours in 630, 37-2
    misses none but may give a *].
    Returns: the character.
    Raises: NumberMalformed for an empty body or any other character, OutOfRange for the system.
    Source: ISO/IEC 7064, hybrid system MOD 37,36 and pure system MOD 37-2.

    >>> check_character("SPAR261107"), check_character("LOT008", "37-2")
    ('L', '*')
    """
    one_of(system, check_systems(), name="system")
    if not _BARE.fullmatch(body):
        raise NumberMalformed(
            f"“{body[:LONGEST_CODE]}” is not made of the digits and the letters A to Z",
            "strip spaces and hyphens and write upper case first",
            field="body",
        )
    if system == _HYBRID:
        return ALPHABET[(1 - _carried(body)) % _MODULUS]
    return _PURE_CHECKS[(1 - _doubled(body)) % len(_PURE_CHECKS)]


def _carried(body: str) -> int:
    carry = _MODULUS
    for character in body:
        total = (carry + ALPHABET.index(character)) % _MODULUS or _MODULUS
        carry = 2 * total % (_MODULUS + 1)
    return carry


def _doubled(body: str) -> int:
    carry = 0
    for character in body:
        carry = 2 * (carry + ALPHABET.index(character)) % len(_PURE_CHECKS)
    return carry


def is_valid(number: str, system: str = _HYBRID) -> bool:
    """Tell whether the last character of a number is its check character.

    Parameters: number [text, any spelling, spaces and hyphens are dropped first]; system [one of
    `check_systems()`].
    Returns: yes or no.
    Raises: OutOfRange for the system.
    Source: ISO/IEC 7064, hybrid system MOD 37,36 and pure system MOD 37-2.

    >>> is_valid("spar-2611-07a-m"), is_valid("SPAR-2671-07A-M")
    (True, False)
    """
    one_of(system, check_systems(), name="system")
    bare = compact(number)
    if not _CHECKED.fullmatch(bare):
        return False
    return check_character(bare[:-1], system) == bare[-1]


def format_lot(prefix: str, year: int, *, month: int, sequence: int, letter: str = "") -> str:
    """Write a lot number of the scheme PREFIX-YYMM-NN[A-Z]-C with its check character.

    Parameters: prefix [text, 2 letters, then up to 7 letters or digits, no month name]; year [1,
    2000-2099]; month [1, 1-12]; sequence [1, 1-99; which of that month]; letter [text, empty or
    one of A to Z, for a part of a batch].
    Returns: the number as it is printed.
    Raises: OutOfRange for a part outside its range.
    Source: common practice; the check character is ISO/IEC 7064 MOD 37,36.

    >>> format_lot("SPAR", 2026, month=11, sequence=7, letter="A")
    'SPAR-2611-07A-M'
    """
    within(Decimal(year), _CENTURY, high=_CENTURY + 99, name="year")
    within(Decimal(month), 1, high=12, name="month")
    within(Decimal(sequence), 1, high=99, name="sequence")
    if not _PREFIX.fullmatch(prefix):
        raise OutOfRange(
            "the prefix of the lot number is out of range",
            "send two letters, then up to seven letters or digits",
            field="prefix",
        )
    if not re.fullmatch("[A-Z]?", letter):
        raise OutOfRange(
            "the letter of the lot number is out of range",
            "send nothing or one letter A to Z",
            field="letter",
        )
    body = LotNumber(prefix, year, month, sequence, letter, "")._body
    number = f"{body}-{check_character(compact(body))}"
    if problem := code_problem(number):
        raise OutOfRange(f"“{number}”: {problem}", "choose another prefix", field="prefix")
    return number


def parse_lot(text: str) -> LotNumber | None:
    """Read a number that has the shape of the scheme, mistyped or not; `sound` judges it.

    Parameters: text [text, any spelling, it is compacted first]. Returns: its parts, or None.
    Raises: nothing; None means another scheme, so the number can only be looked up.
    Source: common practice.

    >>> parse_lot("spar 2611 07 l")
    LotNumber(prefix='SPAR', year=2026, month=11, sequence=7, letter='', check='L')
    """
    found = _LOT.fullmatch(compact(text))
    if found is None:
        return None
    prefix, year, month, sequence, letter, check = found.groups()
    return LotNumber(prefix, _CENTURY + int(year), int(month), int(sequence), letter, check)


def near(number: str) -> Iterator[str]:
    """Give every number one typing slip away, those whose check character fits first.

    Parameters: number [text, any spelling, at most 20 characters when compacted, a longer one has
    no neighbours].
    Returns: the neighbours. Raises: nothing.
    Source: common practice: one character wrong, left out or too many, or two neighbours swapped.

    >>> "SPAR-2611-07A-M" in near("SPAR-2671-07A-M")
    True
    """
    bare = compact(number)
    if len(bare) > LONGEST_CODE:
        return
    slips = dict.fromkeys(
        (*_swapped(bare), *_substituted(bare), *_shortened(bare), *_lengthened(bare))
    )
    for slip in sorted(slips, key=lambda candidate: not is_valid(candidate)):
        lot = parse_lot(slip)
        yield lot.formatted if lot else slip


def _substituted(bare: str) -> Iterator[str]:
    for place, written in enumerate(bare):
        for other in ALPHABET:
            if other != written:
                yield bare[:place] + other + bare[place + 1 :]


def _shortened(bare: str) -> Iterator[str]:
    for place in range(len(bare)):
        yield bare[:place] + bare[place + 1 :]


def _lengthened(bare: str) -> Iterator[str]:
    if len(bare) < LONGEST_CODE:
        for place in range(len(bare) + 1):
            for other in ALPHABET:
                yield bare[:place] + other + bare[place:]


def _swapped(bare: str) -> Iterator[str]:
    for place in range(len(bare) - 1):
        first, second = bare[place], bare[place + 1]
        if first != second:
            yield bare[:place] + second + first + bare[place + 2 :]


@functools.cache
def _month_words() -> frozenset[str]:
    return frozenset(word for row in rows("month_words.csv") for word in row["words"].split("|"))


def code_problem(text: str) -> str | None:
    """Say what keeps a code from surviving a spreadsheet or a GS1 batch field, if anything does.

    Parameters: text [text, a code of a material, product or lot, as typed].
    Returns: the problem, or None where the code is sound once it is written in upper case.
    Raises: nothing.
    Source: import tests with a spreadsheet in two locales; GS1 syntax dictionary, AI (10):
    at most 20 characters.

    >>> code_problem("MAR-26")
    'a spreadsheet reads MAR-26 as a date; start with letters that are no month'
    """
    code = text.strip().upper()
    if not code:
        return "the code is empty; send two letters at least"
    if len(code) > LONGEST_CODE:
        return f"the code has {len(code)} characters; send at most {LONGEST_CODE}"
    if re.fullmatch(r"[0-9]+E[0-9]+", code):
        return f"a spreadsheet reads {code} as a number; start with two letters"
    if not _CODE.fullmatch(code):
        return "the code must start with two letters A to Z and go on with A to Z, 0 to 9 or -"
    leading = re.match(r"([A-Z]+)-?[0-9]", code)
    if leading and leading[1] in _month_words():
        return f"a spreadsheet reads {code} as a date; start with letters that are no month"
    if code in {"TRUE", "FALSE"}:
        return f"a spreadsheet reads {code} as a truth value; choose another word"
    return None


def check_code(text: str) -> CodeVerdict:
    """Tell whether a code of a material, product or lot survives a spreadsheet and a barcode.

    Parameters: text [text, the code as typed].
    Returns: whether it is sound, the code in upper case, and what is wrong.
    Raises: nothing.
    Source: import tests with a spreadsheet in two locales; GS1 syntax dictionary, AI (10):
    at most 20 characters.

    >>> check_code("oil-lin")
    CodeVerdict(sound=True, code='OIL-LIN', problem=None)
    """
    problem = code_problem(text)
    return CodeVerdict(problem is None, text.strip().upper(), problem)
