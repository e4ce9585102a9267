"""What a count explains, and how much is to be ordered: pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from math import ceil
from typing import Literal

from service.errors import Conflict, Invalid, NotFound

SURE = frozenset({"stock-take", "correction"})  # what other counts moved, and what was put right
BRINGING = frozenset({"receipt", "yield", "fill", "top-up", "return"})
State = Literal["short", "low", "enough"]
MOST_LINES = 500
RATE_DAYS = 90  # over which it is counted how often a batch is made


class UnknownStockTake(NotFound):
    slug = "stock-take-unknown"
    title = "There is no such stock take"


class UnknownStockTakeLine(NotFound):
    slug = "stock-take-line-unknown"
    title = "The stock take has no such line, or nothing was counted at it"
    about = "Lines are numbered on the sheet; only what was counted can be corrected."


class NothingToCount(Invalid):
    slug = "nothing-to-count"
    title = "No lot is left to be counted"
    about = (
        "A stock take lists the lots whose ledger is not at nothing. Ask for more materials, or "
        "name lots; a lot that is there though the ledger has none of it is entered as `found`."
    )


class TooMuchToCount(Invalid):
    slug = "too-much-to-count"
    title = "That is more than one stock take lists"
    about = f"A stock take lists {MOST_LINES} lots at most. Take one shelf after another."


class CountedAfterwards(Conflict):
    slug = "counted-afterwards"
    title = "The lot was counted again since"
    about = (
        "A later count of the lot goes by the difference that this one made. Correct the later "
        "count, or void it first."
    )


@dataclass(frozen=True, slots=True)
class Told:
    """A line of a ledger, in mg or pieces: when it happened, and how far that may be off."""

    amount: int
    at: datetime
    about_seconds: int = 0
    brings: bool = False  # the lot came, or was made, with it
    sure: bool = False  # it lies before a count or after it without doubt


@dataclass(frozen=True, slots=True)
class Counting:
    """When a count was made: the ledger is taken at `at`; it may have been from `since` on."""

    at: datetime
    since: datetime
    until: datetime


def ledger_at(lines: Sequence[Told], at: datetime) -> int:
    """What a ledger says of an instant: the sum of all that happened until then, whatever the
    order in which it was entered."""
    return sum(line.amount for line in lines if line.at <= at)


def came_at(lines: Sequence[Told]) -> datetime | None:
    """When a lot first came or was made: no count of it can have been before."""
    return min((line.at for line in lines if line.brings), default=None)


def never_below(lines: Sequence[Told], at: datetime) -> bool:
    """Whether a ledger stands at nothing or above from an instant on until now."""
    stands = ledger_at(lines, at)
    if stands < 0:
        return False
    later = sorted((line for line in lines if line.at > at), key=lambda line: line.at)
    for place, line in enumerate(later):
        stands += line.amount
        last_of_instant = place + 1 == len(later) or later[place + 1].at > line.at
        if last_of_instant and stands < 0:
            return False
    return True


def explains(
    lines: Sequence[Told], *, counted_at: datetime, opened_at: datetime, difference: int
) -> bool:
    """Whether a count explains why a ledger stood below nothing: with it the ledger never does
    from then on, and it found more than was known, or was made after that had shown."""
    if not never_below(lines, counted_at):
        return False
    return difference > 0 or counted_at >= opened_at


def unclear(line: Told, counting: Counting) -> bool:
    """Whether a movement may have happened before the count as well as after it."""
    reach = line.about_seconds
    if line.sure:
        return False
    first, last = line.at.timestamp() - reach, line.at.timestamp() + reach
    since, until = counting.since.timestamp(), counting.until.timestamp()
    if not reach and since == until:
        return False
    return first <= until and since <= last


@dataclass(frozen=True, slots=True)
class Position:
    """How a material stands, in mg or pieces."""

    free: int  # what is open less what is reserved; below nothing where too little is there
    coming: int  # what batches under way will make
    order_at: int | None
    batches: Sequence[tuple[int, int]]  # of each recipe: how many it makes, how many it should


def state(at: Position) -> State:
    """Short where batches under way wait for it; low where it is to be ordered or made now."""
    if at.free + at.coming < 0:
        return "short"
    if at.order_at is not None and at.free + at.coming < at.order_at:
        return "low"
    return "low" if any(cover < wanted for cover, wanted in at.batches) else "enough"


def batches_in(lead_days: int | None, made: int) -> int:
    """How many batches are made while a delivery is waited for, by those of the last time; one at
    least, as what is on the shelf should make the next."""
    if lead_days is None:
        return 1
    return max(1, ceil(Fraction(made * lead_days, RATE_DAYS)))


def to_order(free: int, wanted: int, lot_size: int | None) -> int:
    """How much brings what is free back to what is wanted, in whole drums or boxes."""
    missing = max(0, wanted - free)
    if not lot_size:
        return missing
    return ceil(Fraction(missing, lot_size)) * lot_size
