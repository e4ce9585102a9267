"""What one cook is measured by, and how that lies to the same of earlier cooks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from service.science.cook_log import CookSummary, cook_summary, equivalent_minutes
from service.science.cook_time import CookReading
from service.science.errors import ScienceError
from service.science.rounding import plain, round_half_even
from service.web.fields import Amount, Figure
from service.workshop.batches._tables import Batch
from service.workshop.batches.bodies.cook_curve import ComparedOut, CookQuestion, EarlierOut
from service.workshop.batches.queries.cook.readings import Series

_TENTH, HUNDREDTH = Decimal("0.1"), Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Found:
    """One series under one question."""

    series: Series
    summary: CookSummary
    gap: Decimal
    equivalent: Decimal | None
    undecided: tuple[str, ...]

    @property
    def start(self) -> datetime:
        return self.series.readings[0].at

    @property
    def gapped(self) -> bool:
        return bool(self.summary.gaps)

    def when(self, minutes: Decimal) -> datetime:
        return self.start + timedelta(microseconds=round(minutes * 60_000_000))


def analyse(series: Series, asked: CookQuestion, levels: Sequence[Decimal]) -> Found:
    """One series under a question."""
    log = series.log
    gap = asked.gap_min or series.gap or Decimal(1)
    summary = cook_summary(log, levels, window_min=asked.window_min, longest_gap_min=gap)
    undecided: list[str] = []
    equivalent = None
    if asked.reference_c is not None and asked.activation_energy_kj_mol is not None:
        try:
            equivalent = equivalent_minutes(
                # Colder than ice nothing cooks; a cold morning must not spoil the sum.
                [CookReading(at, max(hot, Decimal(0))) for at, hot in log],
                asked.reference_c,
                activation_energy_kj_mol=asked.activation_energy_kj_mol,
                longest_gap_min=gap,
            )
        except ScienceError as error:
            undecided.append(f"Equivalent time: {error.message}; {error.hint}.")
    return Found(series, summary, gap, equivalent, tuple(undecided))


def figure(value: Decimal, unit: str, note: str | None, *, to: Decimal = _TENTH) -> Figure:
    """A calculated figure, rounded as a thermometer and a watch bear it."""
    return Figure(value=plain(round_half_even(value, to)), unit=unit, basis="calculated", note=note)


def _measures(found: Found) -> Iterator[tuple[str, str, Figure]]:
    """What cooks are compared by: name, label, figure."""
    summary = found.summary
    highest = Figure(value=plain(summary.highest_c), unit="°C", basis="measured", note=None)
    yield "highest", "Highest temperature", highest
    for one in summary.above:
        level = plain(one.threshold_c)
        yield f"above_{level}", f"Time above {level} °C", figure(one.minutes, "min", None)
    for name, ramp in (("rise", summary.rise), ("fall", summary.fall)):
        if ramp is not None:
            rate = figure(ramp.k_min, "K/min", None, to=HUNDREDTH)
            yield name, f"Steepest {name}", rate
    if found.equivalent is not None:
        yield "equivalent", "Equivalent time", figure(found.equivalent, "min", None)


def compared(found: Found, earlier: Sequence[Found]) -> list[ComparedOut]:
    others = [{name: value for name, _, value in _measures(one)} for one in earlier]
    told = []
    for name, label, this in _measures(found):
        beside = sorted(
            (one[name] for one in others if name in one), key=lambda one: Decimal(one.value)
        )
        low, high = (beside[0], beside[-1]) if beside else (None, None)
        told.append(
            ComparedOut(
                name=name,
                label=label,
                this=this,
                low=low,
                high=high,
                batches=len(beside),
                verdict=_verdict(this, low, high),
            )
        )
    return told


def _verdict(
    this: Figure, low: Figure | None, high: Figure | None
) -> Literal["within", "below", "above", "first"]:
    """How a figure lies to the least and the most of the earlier ones."""
    if low is None or high is None:
        return "first"
    if Decimal(this.value) < Decimal(low.value):
        return "below"
    return "above" if Decimal(this.value) > Decimal(high.value) else "within"


def earlier_out(batch: Batch, found: Found) -> EarlierOut:
    measures = {name: Amount(value=one.value, unit=one.unit) for name, _, one in _measures(found)}
    return EarlierOut(batch=batch.code, series=found.series.name, measures=measures)
