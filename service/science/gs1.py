"""GS1 numbers, batch codes and the web address in a two-dimensional code."""

import re
from typing import NamedTuple
from urllib.parse import quote

from service.science.check_characters import LONGEST_CODE, compact
from service.science.errors import NumberMalformed

# By the whole length, check digit included.
_KINDS = {8: "GTIN-8", 12: "GTIN-12", 13: "GTIN-13 or GLN", 14: "GTIN-14", 18: "SSCC"}
_LENGTHS = "8, 12, 13, 14 or 18 digits"
_SSCC = 18
_GTIN = 14
_DIGITS = re.compile("[0-9]+")
# GS1 AI encodable character set 82.
_CSET_82 = re.compile(r"""[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]""")
_HOST = re.compile(r"(?=.{4,253}$)([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z]{2,63}")


class Gs1Number(NamedTuple):
    """Whether a number checks, what kind it is, and how it stands in a code."""

    sound: bool
    kind: str
    number: str
    expected_check_digit: str
    gtin_14: str | None
    problem: str | None


class BatchCode(NamedTuple):
    """Whether a lot can stand in application identifier 10, and how."""

    valid: bool
    element: str | None
    problem: str | None


class DigitalLink(NamedTuple):
    """The address of a lot of an article, and the same as an element string in print."""

    address: str
    element_string: str
    gtin_14: str


def gs1_check_digit(body: str) -> str:
    """Compute the check digit that belongs behind a GS1 number.

    Parameters: body [text, 7, 11, 12, 13 or 17 digits: GTIN-8, 12, 13 or GLN, 14, SSCC].
    Returns: the digit.
    Raises: NumberMalformed for anything else.
    Source: GS1 General Specifications 7.9, weights 3 and 1 from the right, modulo 10
    (from memory).

    >>> gs1_check_digit("629104150021")
    '3'
    """
    if not _DIGITS.fullmatch(body) or len(body) + 1 not in _KINDS:
        raise NumberMalformed(
            f"“{body[:LONGEST_CODE]}” has not the digits of a GS1 number without its check digit",
            "send 7, 11, 12, 13 or 17 digits",
            field="body",
        )
    total = sum(int(digit) * (1 if place % 2 else 3) for place, digit in enumerate(reversed(body)))
    return str(-total % 10)


def gs1_number(number: str) -> Gs1Number:
    """Tell what kind of GS1 number this is, and whether its check digit fits.

    Parameters: number [text, 8, 12, 13, 14 or 18 digits, spaces and hyphens are dropped first].
    Returns: whether it checks, its kind, the digit that would fit, and a GTIN in 14 digits.
    Raises: NumberMalformed for another length or a character that is no digit.
    Source: GS1 General Specifications 7.9 (from memory).

    >>> gs1_number("0 9506000 13435 2").gtin_14
    '09506000134352'
    """
    bare = _digits(number, "number")
    expected = gs1_check_digit(bare[:-1])
    sound = bare[-1] == expected
    return Gs1Number(
        sound=sound,
        kind=_KINDS[len(bare)],
        number=bare,
        expected_check_digit=expected,
        gtin_14=bare.zfill(_GTIN) if sound and len(bare) != _SSCC else None,
        problem=None if sound else f"the check digit is {bare[-1]}, and {expected} would fit",
    )


def _digits(number: str, name: str) -> str:
    bare = compact(number)
    if not _DIGITS.fullmatch(bare) or len(bare) not in _KINDS:
        raise NumberMalformed(
            f"“{number[:LONGEST_CODE]}” is no GS1 number", f"send {_LENGTHS}", field=name
        )
    return bare


def gs1_batch(lot: str) -> BatchCode:
    """Tell whether a lot number can stand in a GS1 code, application identifier 10.

    Parameters: lot [text, the lot number as printed].
    Returns: whether it can, its element string, and what is in the way.
    Raises: nothing.
    Source: GS1 Barcode Syntax Dictionary, AI 10: X..20 of character set 82.

    >>> gs1_batch("OV26-031/A").valid, gs1_batch("ABC 123").problem
    (True, 'a space cannot stand in a GS1 code')
    """
    problem = _batch_problem(lot)
    return BatchCode(problem is None, None if problem else f"(10){lot}", problem)


def _batch_problem(text: str) -> str | None:
    if not text:
        return "it is empty"
    if len(text) > LONGEST_CODE:
        return f"it has {len(text)} characters, and at most {LONGEST_CODE} can stand"
    for character in text:
        if not _CSET_82.fullmatch(character):
            shown = "a space" if character == " " else f"“{character}”"
            return f"{shown} cannot stand in a GS1 code"
    return None


def digital_link(
    gtin: str,
    lot: str,
    *,
    domain: str = "id.gs1.org",
    variant: str | None = None,
    serial: str | None = None,
) -> DigitalLink:
    """Write the GS1 Digital Link of a lot, for a QR code.

    Parameters: gtin [text, 8, 12, 13 or 14 digits with its check digit]; lot [text, AI 10, at most
    20 characters of set 82]; domain [text, the host that answers, such as your own]; variant
    [text, AI 22, at most 20 characters of set 82, None: none]; serial [text, AI 21, the same,
    None: none].
    Returns: the address in the order 01, 22, 10, 21, and the element string.
    Raises: NumberMalformed for a GTIN that does not check, a lot that cannot stand in it, or a
    domain that is none.
    Source: GS1 Digital Link URI syntax; GS1 Barcode Syntax Dictionary, qualifiers 22, 10, 21 in
    this order; RFC 3986 2.3, all but unreserved characters percent-encoded.

    >>> digital_link("09506000134352", "OV26/031").address
    'https://id.gs1.org/01/09506000134352/10/OV26%2F031'
    """
    number = _gtin(gtin)
    host = domain.strip().lower()
    if not _HOST.fullmatch(host):
        raise NumberMalformed(
            f"“{domain[:60]}” is no host", "send one such as id.gs1.org", field="domain"
        )
    named = (("22", variant, "variant"), ("10", lot, "lot"), ("21", serial, "serial"))
    parts = [("01", number)]
    for identifier, text, name in named:
        if text is not None:
            parts.append((identifier, _encodable(text, name)))
    path = "/".join(f"{identifier}/{quote(text, safe='')}" for identifier, text in parts)
    elements = "".join(f"({identifier}){text}" for identifier, text in parts)
    return DigitalLink(f"https://{host}/{path}", elements, number)


def _gtin(gtin: str) -> str:
    bare = _digits(gtin, "gtin")
    if len(bare) == _SSCC:
        raise NumberMalformed(
            "an SSCC names a shipment, not an article", "send a GTIN", field="gtin"
        )
    if bare[-1] != (expected := gs1_check_digit(bare[:-1])):
        raise NumberMalformed(
            f"the check digit of {bare} does not fit", f"{expected} would; look again", field="gtin"
        )
    return bare.zfill(_GTIN)


def _encodable(text: str, name: str) -> str:
    # A path segment of dots means another place in the tree, however it is encoded.
    problem = _batch_problem(text) or ("dots alone lead elsewhere" if not text.strip(".") else None)
    if problem:
        raise NumberMalformed(f"the {name}: {problem}", "send another", field=name)
    return text
