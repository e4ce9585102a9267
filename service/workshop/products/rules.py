"""What products may be: refusals and GTINs."""

from typing import Literal

from service.errors import Conflict, NotFound

Disclosure = Literal["nothing", "names", "percent-ranges"]
_LENGTHS = frozenset({8, 12, 13, 14})


class UnknownProduct(NotFound):
    slug = "product-unknown"
    title = "There is no such product"


class UnknownPack(NotFound):
    slug = "pack-unknown"
    title = "The product is not sold in such a pack"


class PackTaken(Conflict):
    slug = "pack-taken"
    title = "The product already has a pack of this name"
    about = (
        "A pack is never changed, so that what was filled into it keeps its meaning. Give the new "
        "one another name."
    )


def gtin_problem(number: str) -> str | None:
    """What is wrong with a GTIN, or None.

    Source: GS1 General Specifications: check digit modulo 10 with weights 3 and 1; prefixes 02,
    04 and 20 to 29 (GTIN-8: 0 and 2) for restricted circulation (from memory).
    """
    if not (number.isascii() and number.isdigit()) or len(number) not in _LENGTHS:
        return "it has 8, 12, 13 or 14 digits"
    digits = [int(letter) for letter in reversed(number)]
    if sum(digit * (3 if place % 2 else 1) for place, digit in enumerate(digits)) % 10:
        return "its check digit does not fit"
    if _restricted(number):
        return "its prefix is for use inside one company or region and is refused by the trade"
    return None


def _restricted(number: str) -> bool:
    if len(number) == 8:
        return number[0] in "02"
    prefix = number.zfill(14)[1:]
    return prefix[0] == "2" or prefix[:2] in {"02", "04"}
