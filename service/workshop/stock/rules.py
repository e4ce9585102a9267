"""What lots, their numbers and their ledger may be: pure."""

from datetime import date
from decimal import Decimal
from typing import Protocol

from service.errors import Conflict, Fault, Invalid, NotFound, Remedy, at
from service.science.check_characters import (
    check_character,
    code_problem,
    compact,
    parse_lot,
)

QUALITIES = ("quarantine", "released", "rejected", "recalled")
DEAD = frozenset({"rejected", "recalled"})  # from there no lot comes back into use
# Movements that are entries of their own; the others are corrected through what caused them.
OWN_ENTRIES = frozenset({"receipt", "scrap", "cleaning", "adjustment"})
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
        "A weighing, yield, fill, sample, dispatch or count moved the stock; correct that entry "
        "and the ledger follows. A reversal is not corrected at all: record what happened anew."
    )


def currency_missing(pointer: str, *remedies: Remedy) -> tuple[Fault, ...]:
    """The fault of a price in a workshop without a currency."""
    hint = 'Say which: PATCH /v1/workshop with {"currency": "EUR"}, and send this again.'
    return at(pointer, NO_CURRENCY, "currency-missing", hint=hint, remedies=remedies)


def may_become(old: str, new: str) -> bool:
    """Whether a lot's quality may change so; staying as it is may always be said."""
    return old == new or new in _LEADS_TO[old]


class Dated(Protocol):
    """A lot, by what says whether it may be used."""

    number: str
    quality: str
    expires_on: date | None
    retest_on: date | None


def past_days(lot: Dated, on: date) -> list[tuple[str, str]]:
    """What of a lot's days lies before a day, each as a code and in words: it expired, or it was
    to be looked at again and no release has given it another day."""
    found = []
    if lot.expires_on is not None and lot.expires_on < on:
        found.append(("lot-expired", f"expired on {lot.expires_on.isoformat()}"))
    if lot.retest_on is not None and lot.retest_on < on:
        again = f"was to be looked at again by {lot.retest_on.isoformat()}"
        found.append(("lot-retest-due", again))
    return found


def day_out_of_order(
    made_on: date | None, expires_on: date | None, retest_on: date | None, *, came_on: date
) -> tuple[str, str] | None:
    """Which day of goods that came cannot be right beside the others, as its field, and why."""
    if made_on is not None and made_on > came_on:
        return "made_on", f"Made on {made_on.isoformat()}, it had not been when it came."
    for name, day in (("expires_on", expires_on), ("retest_on", retest_on)):
        if made_on is not None and day is not None and day < made_on:
            return name, f"{day.isoformat()} lies before {made_on.isoformat()}, when it was made."
    return None


def looked_at_again(lot: Dated, on: date) -> str:
    """How a lot whose retest date alone is past is opened again, as the end of a hint; else
    nothing."""
    past = [code for code, _ in past_days(lot, on)]
    if lot.quality != "released" or past != ["lot-retest-due"]:
        return ""
    return f" Once it was looked at: POST /v1/lots/{lot.number}/releases with a new retest_on."


def blocked(lot: Dated, on: date) -> str | None:
    """Why nothing is planned from a lot on a day, or None for one that is open."""
    if lot.quality != "released":
        return f"it is {'in quarantine' if lot.quality == 'quarantine' else lot.quality}"
    told = [text for _, text in past_days(lot, on)]
    return f"it {told[0]}" if told else None


def earliest(*days: date | None) -> date | None:
    """The first of the days that are known: nothing keeps longer than what is in it."""
    return min((day for day in days if day is not None), default=None)


def standing_of(quality: str, expires_on: date | None, *, on: date, amount: int) -> str:
    """What what is left of a lot counts as among all of its material."""
    if amount < 0:
        return "below_zero"
    if quality in DEAD:
        return "rejected"
    if quality != "released":
        return "quarantine"
    return "expired" if expires_on is not None and expires_on < on else "open"


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


def in_scheme(on: date) -> bool:
    """Whether the two digits of a year in a lot number can say this day's: those of this century
    (common practice)."""
    return 2000 <= on.year <= 2099


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
