"""What a label says of a pack: sizes, dates, the order of contents, and the slice's refusals."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from service.errors import Conflict, Invalid

AID = "An aid. A competent person must check it; local law prevails."
CHILDREN = "P102"
OILY_RAGS, SOLVENT = "oily-rags", "solvent-in-use"
MARKS = {OILY_RAGS: "RAGS", SOLVENT: "SOLVENT"}  # what a label calls them
NOT_ASSESSED = {
    "finding": "not_assessed",
    "text": "This service does not work out hazard classes. Signal word, pictograms, hazard and "
    "precautionary statements are for a competent person to add.",
}


class NotPacked(Conflict):
    slug = "not-packed"
    title = "Only packed lots have a label and a data sheet"
    about = (
        "A bulk lot, an intermediate or a received lot is not sold by the jar. Fill it first: "
        "POST /v1/lots/{lot}/fills makes the packed lot, which has both."
    )


class LabelNotFrozen(Conflict):
    slug = "label-not-frozen"
    title = "No frozen label of this lot bears that number"
    about = (
        "Only a frozen revision is printed, counted and released. POST {} to "
        "/v1/lots/{lot}/labels freezes what the draft says."
    )


class MarketMissing(Invalid):
    slug = "market-missing"
    title = "Say for which market the label is"
    about = (
        "What a label must say differs by market, so none is guessed. Send `market`, or give the "
        "product or the workshop its markets; the first is then taken."
    )


@dataclass(frozen=True, slots=True)
class Part:
    """An ingredient of what is in the jar, with its exact share of what was weighed in."""

    code: str
    name: str
    share: Fraction


@dataclass(frozen=True, slots=True)
class Counted:
    """The labels of one print run: printed, stuck on, thrown away; and those stuck on in all
    runs beside the jars filled."""

    printed: int
    used: int
    spoiled: int
    used_in_all: int
    jars: int | None


# Source: CLP Annex I, table 1.3 and 1.2.1 (label and pictogram); Reg. (EU) 2024/2865 (letters).
_SIZES = (
    (500_000, "52 x 74 mm", "10 mm", "1.2 mm"),
    (3_000_000, "52 x 74 mm", "10 mm", "1.4 mm"),
    (50_000_000, "74 x 105 mm", "23 mm", "1.8 mm"),
    (500_000_000, "105 x 148 mm", "32 mm", "2.0 mm"),
)
_LARGEST = ("148 x 210 mm", "46 mm", "2.0 mm")
_BANDS = (1, 5, 10, 25, 50, 75, 100)  # upper ends in percent; common practice


def smallest(nominal_ul: int) -> tuple[str, str, str]:
    """The smallest label, pictogram and letters (x-height) for a pack of this capacity."""
    for ceiling, label, pictogram, letters in _SIZES:
        if nominal_ul <= ceiling:
            return label, pictogram, letters
    return _LARGEST


def band(share: Fraction) -> str:
    """A share as a range of percent, wide enough not to give a recipe away.

    >>> band(Fraction(26, 100))
    '25 to 50 %'
    """
    low = 0
    for high in _BANDS:
        if share * 100 < high:
            break
        low = high
    if not low:
        return "under 1 %"
    return "75 to 100 %" if low == 100 else f"{low} to {high} %"


def in_order(masses: Mapping[str, Fraction], names: Mapping[str, str]) -> list[Part]:
    """Ingredients by falling mass, then by name."""
    total = sum(masses.values())
    parts = [Part(code, names[code], mass / total) for code, mass in masses.items() if mass > 0]
    return sorted(parts, key=lambda part: (-part.share, part.name))


def contents(parts: Iterable[Part], disclosure: str) -> list[tuple[str, str | None]] | None:
    """Names, with ranges where the product tells them; None where it tells nothing."""
    if disclosure == "nothing":
        return None
    ranged = disclosure == "percent-ranges"
    return [(part.name, band(part.share) if ranged else None) for part in parts]


def contents_text(listed: list[tuple[str, str | None]] | None) -> str | None:
    """Contents in one line, as a label prints them."""
    if not listed:
        return None
    return "; ".join(name if share is None else f"{name}, {share}" for name, share in listed)


def called_for(*, autoxidising: bool | None, family: str | None) -> tuple[str, ...]:
    """The cautions that an ingredient added on purpose calls for on a label, at any share."""
    found = (OILY_RAGS,) if autoxidising else ()
    return (*found, SOLVENT) if family == "solvent" else found


def months_after(day: date, months: int) -> str:
    """The month that lies so many months after a day.

    >>> months_after(date(2026, 11, 25), 24)
    '2028-11'
    """
    count = day.year * 12 + day.month - 1 + months
    return f"{count // 12:04d}-{count % 12 + 1:02d}"


def span(months: int | None) -> str | None:
    """Months in words."""
    if months is None:
        return None
    return "1 month" if months == 1 else f"{months} months"


def lot_address(public_address: str | None, number: str) -> str | None:
    """What the code on the jar leads to; upper case makes it small, where no path forbids it.

    >>> lot_address("https://lots.example.org", "SPAR-2611-07A-M")
    'HTTPS://LOTS.EXAMPLE.ORG/L/SPAR-2611-07A-M'
    """
    if public_address is None:
        return None
    address = public_address.rstrip("/")
    if "/" in address.partition("://")[2]:
        return f"{address}/l/{number}"
    return f"{address}/l/{number}".upper()


def differences(draft: Mapping[str, Any], frozen: Mapping[str, Any]) -> list[str]:
    """The elements in which two printed faces differ, in the order of the draft."""
    names = [*draft, *(name for name in frozen if name not in draft)]
    return [name for name in names if draft.get(name) != frozen.get(name)]


def count_problems(counted: Counted) -> list[tuple[str, str]]:
    """What does not add up, as (code, text): kept as facts, never refused."""
    found = []
    if counted.used + counted.spoiled != counted.printed:
        wrong = (
            f"{counted.printed} labels were printed, but {counted.used} used and "
            f"{counted.spoiled} spoiled make {counted.used + counted.spoiled}."
        )
        found.append(("labels-unaccounted", wrong))
    if counted.jars is not None and counted.used_in_all != counted.jars:
        wrong = f"{counted.used_in_all} labels were used on {counted.jars} jars."
        found.append(("labels-not-jars", wrong))
    return found
