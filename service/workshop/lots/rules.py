"""What a fill must be, and how it is judged: pure."""

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.errors import Conflict
from service.science.errors import ScienceError
from service.science.net_contents import FillVerdict, fill_check, volume_of_mass
from service.science.rounding import plain, round_half_even
from service.workshop.stock.rules import DensityNeeded as DensityNeeded

RULE = "Directive 76/211/EEC, Annex I"
# How many packs may lie below the first limit: 2.5 %, as the reference test of Annex II means it
# (from memory).
_PACKS_FOR_ONE_BELOW = 40
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
    limits, faults = found.negative_error, _faults(found, nominal, count)
    return Check(
        verdict="fail" if faults else "pass",
        why="; ".join(faults) or found.note or "mean and packs hold",
        weighed=len(nets_mg),
        mean=round_half_even(found.mean, _HUNDREDTH),
        tolerable=limits.tolerable if limits else None,
        first_limit=limits.first_limit if limits else None,
        second_limit=limits.second_limit if limits else None,
        below_first=found.below_first,
        below_second=found.below_second,
    )


def _faults(found: FillVerdict, nominal: Decimal, count: int) -> list[str]:
    faults = []
    if not found.mean_holds:
        mean = plain(round_half_even(found.mean, _HUNDREDTH))
        faults.append(f"the mean, {mean} ml, is below {plain(nominal)} ml")
    limits = found.negative_error
    if limits is None:
        return faults
    if (found.below_first or 0) > count // _PACKS_FOR_ONE_BELOW:
        faults.append(f"{found.below_first} of {count} below {plain(limits.first_limit)} ml")
    if found.below_second:
        faults.append(f"{found.below_second} of {count} below {plain(limits.second_limit)} ml")
    return faults


def expires_on(made_on: date | None, months: int | None) -> date | None:
    """The day so many months after making, or the last of a month that has no such day."""
    if made_on is None or months is None:
        return None
    count = made_on.year * 12 + made_on.month - 1 + months
    year, month = divmod(count, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(made_on.day, last))
