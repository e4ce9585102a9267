"""What lots, their numbers and their ledger may be: pure."""

from datetime import date
from decimal import Decimal

from service.errors import Conflict, Fault, Invalid, NotFound, Remedy, at
from service.science.check_characters import (
    check_character,
    code_problem,
    compact,
    parse_lot,
)

QUALITIES = ("quarantine", "released", "rejected", "recalled")
# Movements that are entries of their own; the others are corrected through what caused them.
OWN_ENTRIES = frozenset({"receipt", "scrap", "cleaning", "adjustment", "stock-take"})
SIGNED = frozenset({"adjustment", "stock-take"})  # their amounts are differences
NO_CURRENCY = "The workshop has no currency yet, so a price says nothing."
LONGEST_PREFIX = 9  # PREFIX-YYMM-NNA-C must fit twenty characters
LAST_SEQUENCE = 99

_LEADS_TO = {
    "quarantine": frozenset({"released", "rejected", "recalled"}),
    "released": frozenset({"quarantine", "rejected", "recalled"}),
    "rejected": frozenset[str](),
    "recalled": frozenset[str](),
}


class UnknownLot(NotFound):
    slug = "lot-unknown"
    title = "There is no such lot"
    about = (
        "The number could be read, and no lot bears it. Where lots stand one typing slip away, "
        "`did_you_mean` names them."
    )


class MistypedLot(NotFound):
    slug = "lot-mistyped"
    title = "This lot number holds a typing mistake"
    about = (
        "The last character of a lot number is computed from the others, and here it does not "
        "fit. `read_as` is what was read, `did_you_mean` names lots one slip away."
    )


class LotTaken(Conflict):
    slug = "lot-taken"
    title = "This lot number is already in use"
    about = (
        "Lot numbers are compared without hyphens and never used twice. Leave the number out to "
        "have the next one given."
    )


class NumbersUsedUp(Conflict):
    slug = "lot-numbers-used-up"
    title = "All ninety-nine lot numbers of this month are given"
    about = "The scheme counts to 99 for each beginning and month. Send a number of your own."


class StockShort(Conflict):
    slug = "stock-short"
    title = "There is not that much left"
    about = (
        "What is planned would take more than the ledger says is left. Plan less, take another "
        "lot, or have someone with the scope release override it with a reason. What has already "
        "happened is never refused: record it as it happened."
    )


class QualityFixed(Conflict):
    slug = "quality-fixed"
    title = "The lot's quality does not lead there"
    about = (
        "From quarantine a lot is released, rejected or recalled; from released it is withdrawn "
        "to quarantine, rejected or recalled. Rejected and recalled lead nowhere."
    )


class DensityNeeded(Invalid):
    slug = "density-needed"
    title = "A volume needs a density"
    about = (
        "Work is done by mass. A volume received, asked for or filled is converted with the "
        "density of the lot, else of its product or material; none of them has one, and none is "
        "guessed. Measure it, or send the density with its basis, or give the mass."
    )


class UnknownReceipt(NotFound):
    slug = "receipt-unknown"
    title = "There is no such receipt"


class UnknownMovement(NotFound):
    slug = "movement-unknown"
    title = "There is no such movement"


class CorrectedElsewhere(Conflict):
    slug = "corrected-elsewhere"
    title = "This movement is corrected through what caused it"
    about = (
        "A weighing, yield, fill, sample or dispatch moved the stock; correct that entry and the "
        "ledger follows. A reversal is not corrected at all: record what happened anew."
    )


def currency_missing(pointer: str, *remedies: Remedy) -> tuple[Fault, ...]:
    """The fault of a price in a workshop without a currency."""
    hint = 'Say which: PATCH /v1/workshop with {"currency": "EUR"}, and send this again.'
    return at(pointer, NO_CURRENCY, "currency-missing", hint=hint, remedies=remedies)


def may_become(old: str, new: str) -> bool:
    """Whether a lot's quality may change so; staying as it is may always be said."""
    return old == new or new in _LEADS_TO[old]


def measure(lot_kind: str, *, counted: bool) -> str:
    """How a lot is kept: packed lots and packaging by count, everything else by mass."""
    return "count" if lot_kind == "packed" or counted else "mass"


def number_prefix(wanted: str) -> str:
    """The beginning of lot numbers: no hyphens, short enough, and never read as a date."""
    bare = wanted.replace("-", "")
    if code_problem(f"{bare[:LONGEST_PREFIX]}-2611") is None:
        return bare[:LONGEST_PREFIX]
    return f"L{bare}"[:LONGEST_PREFIX]


def sequence_name(prefix: str, on: date) -> str:
    """The name of the running number of a beginning and a month."""
    return f"{prefix}-{on.year % 100:02d}{on.month:02d}"


def mended(number: str) -> str | None:
    """The number with the right check character, where it has the scheme's shape and a wrong
    one; None where nothing is to be mended."""
    read = parse_lot(number)
    if read is None or read.sound or not 1 <= read.month <= 12:
        return None
    body = compact(number)[:-1]
    return f"{read.formatted[:-1]}{check_character(body)}"


def mistyped(number: str) -> bool:
    """Whether a number has the shape of the scheme and cannot be right."""
    read = parse_lot(number)
    return read is not None and not read.sound


def read_as(number: str) -> str:
    """A number as it was understood: in the scheme's spelling, else as typed in upper case."""
    read = parse_lot(number)
    return read.formatted if read else number.strip().upper()[:40]


def mass_of(volume_ul: Decimal, density_kg_l: Decimal) -> int:
    """A volume in whole milligrams (1 µl at 1 kg/l is 1 mg), rounded half to even once."""
    return int((volume_ul * density_kg_l).to_integral_value())
