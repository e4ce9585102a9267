"""Within which band a process usually loses or gains mass, and whether a batch did: pure."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from service.science.rounding import plain
from service.science.student import student_quantile
from service.science.tables import rows

Judged = Literal["within", "loss", "gain"]
OWN_BATCHES = 4  # with fewer the spread of a version's own losses says next to nothing
LEAST_HALF_PERCENT = Decimal(1)  # own losses that happen to agree bind no closer than this
_CLEARING = frozenset({"settle", "decant", "filter", "strain"})
_CLINGS = Fraction(2, 100)  # common practice
_BOTH_SIDES = Decimal("0.975")  # 95 % within
_DECLARED = (Fraction(1, 2), Fraction(3, 2))  # what is declared is a round number, met about


@dataclass(frozen=True, slots=True)
class Band:
    """The share of what is in the pot that usually leaves; below 0 something comes."""

    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Passed:
    """A stage that was gone through: what went in at it, and what was weighed as it left."""

    stage: str
    charged_mg: int
    taken_mg: int
    band: Band


@dataclass(frozen=True, slots=True)
class Remains:
    """Between which masses in mg there is what a process leaves."""

    least: Fraction
    most: Fraction


@functools.cache
def _usual() -> Mapping[str, Band]:
    return {
        row["stage"]: Band(Fraction(row["low_percent"]) / 100, Fraction(row["high_percent"]) / 100)
        for row in rows("stage_losses.csv")
    }


def stage_band(stage: str, declared: Fraction | None, *, taken: bool = False) -> Band | None:
    """The usual band of a stage, made wide enough for what the recipe declares (half to one and a
    half times as much); None where neither says anything. Where what was left behind was weighed
    as it was taken out, only what clings to the vessels is left to be lost."""
    usual = _usual().get(stage)
    if usual is not None and taken and stage in _CLEARING:
        usual = Band(usual.low, min(usual.high, _CLINGS))
    if not declared:
        return usual
    about = sorted(declared * part for part in _DECLARED)
    if usual is None:
        return Band(about[0], about[1])
    return Band(min(usual.low, about[0]), max(usual.high, about[1]))


def remains(passed: Sequence[Passed]) -> Remains:
    """What may be left after stages gone through one after the other."""
    least = most = Fraction(0)
    for each in passed:
        least = (least + each.charged_mg) * (1 - each.band.high) - each.taken_mg
        most = (most + each.charged_mg) * (1 - each.band.low) - each.taken_mg
    return Remains(max(least, Fraction(0)), max(most, Fraction(0)))


def own_band(losses_percent: Sequence[Decimal]) -> Band | None:
    """Where the next batch is to be expected after these: the prediction interval at 95 %, at
    least one percent to either side; None for fewer than four batches."""
    count = len(losses_percent)
    if count < OWN_BATCHES:
        return None
    mean = sum(losses_percent, Decimal(0)) / count
    spread = sum(((one - mean) ** 2 for one in losses_percent), Decimal(0)) / (count - 1)
    reach = student_quantile(_BOTH_SIDES, count - 1) * (spread * (count + 1) / count).sqrt()
    half = max(reach, LEAST_HALF_PERCENT)
    return Band(Fraction(mean - half) / 100, Fraction(mean + half) / 100)


def judged(left_mg: int, expected: Remains, allow_mg: Decimal) -> Judged:
    """How what is left lies to what was to be expected, give or take what balances can tell."""
    allow = Fraction(allow_mg)
    if left_mg > expected.most + allow:
        return "gain"
    return "loss" if left_mg < expected.least - allow else "within"


def percent_text(share: Fraction) -> str:
    """A share in percent to a tenth, as it is told."""
    return plain(round(Decimal(100 * share.numerator) / share.denominator, 1))
