"""What a fill must be, and how it is judged: pure."""

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.errors import Conflict, NotFound
from service.science.errors import ScienceError
from service.science.net_contents import FillVerdict, fill_check, volume_of_mass
from service.science.rounding import plain, round_half_even
from service.workshop.stock.rules import DensityNeeded as DensityNeeded

RULE = "Directive 76/211/EEC, Annex I"
REFERENCE_C = 20  # Annex I 2.2
NEAR_REFERENCE_K = 2  # a varnish grows by some 0.2 % (common practice)
_HUNDREDTH = Decimal("0.01")


class NotBulk(Conflict):
    slug = "not-bulk"
    title = "Only a lot made in bulk is filled into packs"
    about = (
        "A fill takes a made lot that is kept by mass. What was received is sold as it came, and "
        "what is packed already is not packed again."
    )


class UnknownFill(NotFound):
    slug = "fill-unknown"
    title = "No fill of this lot stands"
    about = "A packed lot came from one fill; a bulk lot, and a fill that was voided, have none."


@dataclass(frozen=True, slots=True)
class Check:
    """The check of a fill, volumes in ml; what was not or cannot be said is None."""

    verdict: str
    why: str
    weighed: int
    mean: Decimal | None = None
    tolerable: Decimal | None = None
    first_limit: Decimal | None = None
    second_limit: Decimal | None = None
    below_first: int | None = None
    below_second: int | None = None


def check(nominal_ul: int, nets_mg: Sequence[int], *, count: int, density_kg_l: Decimal) -> Check:
    """Judge a fill by the net mass of its packs; what cannot be judged says why."""
    nominal = Decimal(nominal_ul) / 1000
    try:
        fills = [volume_of_mass(Decimal(net) / 1000, density_kg_l) for net in nets_mg]
        found = fill_check(nominal, fills, packs=count)
    except ScienceError as error:
        return Check("not-checked", f"{error.message}; {error.hint}", len(nets_mg))
    faults = _faults(found, nominal, count)
    held = "no table value" if found.tolerable is None else "mean and packs hold"
    return Check(
        verdict="fail" if faults else "pass",
        why="; ".join(faults) or held,
        weighed=len(nets_mg),
        mean=round_half_even(found.mean, _HUNDREDTH),
        tolerable=found.tolerable,
        first_limit=found.first_limit,
        second_limit=found.second_limit,
        below_first=found.below_first,
        below_second=found.below_second,
    )


def _faults(found: FillVerdict, nominal: Decimal, count: int) -> list[str]:
    faults = []
    if not found.mean_holds:
        mean = plain(round_half_even(found.mean, _HUNDREDTH))
        faults.append(f"the mean, {mean} ml, is below {plain(nominal)} ml")
    if found.first_limit is None or found.second_limit is None:
        return faults
    if (found.below_first or 0) > found.allowed_below_first:
        faults.append(f"{found.below_first} of {count} below {plain(found.first_limit)} ml")
    if found.below_second:
        faults.append(f"{found.below_second} of {count} below {plain(found.second_limit)} ml")
    return faults


def expires_on(made_on: date | None, months: int | None) -> date | None:
    """The day so many months after making, or the last of a month that has no such day."""
    if made_on is None or months is None:
        return None
    count = made_on.year * 12 + made_on.month - 1 + months
    year, month = divmod(count, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(made_on.day, last))


class NotFilled(Conflict):
    slug = "not-filled"
    title = "Only packs that were filled here are examined"
    about = (
        "An examination looks at the packs of one fill: leaks, and how they look. A bulk lot has "
        "none; POST /v1/lots/{lot}/fills makes the packed lot."
    )
