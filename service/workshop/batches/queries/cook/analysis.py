"""What a cook log says, and how it lies to those of earlier batches of the version."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from service.errors import Fault, Invalid
from service.science.cook_log import Ramp
from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.fields import Amount, Figure
from service.web.footnotes import Footnotes
from service.workshop.batches._tables import Batch
from service.workshop.batches.bodies.cook_curve import (
    AboveOut,
    CookAnalysisOut,
    CookQuestion,
    EquivalentOut,
    GapOut,
    HighestOut,
    RampOut,
    SeriesOut,
)
from service.workshop.batches.queries.cook import readings as cook_readings
from service.workshop.batches.queries.cook.measures import (
    HUNDREDTH,
    Found,
    analyse,
    compared,
    earlier_out,
    figure,
)
from service.workshop.batches.queries.cook.readings import Cook
from service.workshop.batches.queries.record import records

_BELOW_PLAN_K = 5


def cook_analysis(
    session: ReadSession,
    batch: Batch,
    asked: CookQuestion | None = None,
    *,
    cook: Cook | None = None,
) -> CookAnalysisOut:
    """The analysis of a batch's log, which may be at hand; of a batch without one, that there is
    none.

    Raises Invalid for a series that the log does not have.
    """
    asked = asked or CookQuestion()
    cook = cook or cook_readings.cook(session, batch)
    series = cook.chosen(asked.series)
    if series is None and asked.series is not None:
        there = ", ".join(one.name for one in cook.series) or "none"
        wrong = f"The log of {batch.code} has no series {asked.series!r}."
        fault = Fault(wrong, "series-unknown", parameter="series", hint=f"There: {there}.")
        raise Invalid(wrong, (fault,))
    levels = tuple(asked.above_c) or _planned_levels(session, batch)
    found = None if series is None else analyse(series, asked, levels)
    earlier = _earlier(session, batch, asked, levels) if found else []
    return _shown(cook, found, earlier, asked)


def _planned_levels(session: ReadSession, batch: Batch) -> tuple[Decimal, ...]:
    """Just below each temperature that the sheet heats to, so that a hold counts."""
    hot = {line.to_c for line in records.lines(session, batch) if line.do in {"heat", "hold"}}
    return tuple(sorted(level - _BELOW_PLAN_K for level in hot if level is not None))


def _earlier(
    session: ReadSession, batch: Batch, asked: CookQuestion, levels: Sequence[Decimal]
) -> list[tuple[Batch, Found]]:
    found = []
    for one in cook_readings.earlier_batches(session, batch, asked.earlier):
        # Another batch had another probe, or none.
        series = cook_readings.cook(session, one).chosen(None)
        if series is not None:
            found.append((one, analyse(series, asked, levels)))
    return found


def _shown(
    cook: Cook,
    found: Found | None,
    earlier: Sequence[tuple[Batch, Found]],
    asked: CookQuestion,
) -> CookAnalysisOut:
    name = found.series.name if found else None
    told = _told(found) if found else _NOTHING
    notes = Footnotes()
    if found is not None:
        notes.add("log", _log_note(found))
    if found is not None and found.equivalent is not None:
        notes.add("equivalent", _equivalent_note(asked))
    return CookAnalysisOut(
        batch=cook.batch.code,
        series=name,
        readings=len(found.series.readings) if found else 0,
        others=[
            SeriesOut(name=one.name, readings=len(one.readings))
            for one in cook.series
            if one.name != name
        ],
        set_aside=cook.set_aside,
        **told,
        equivalent=_equivalent(found, asked) if found else None,
        undecided=list(found.undecided) if found else ["Nothing was read: there is no cook log."],
        compared=compared(found, [one for _, one in earlier]) if found else [],
        earlier=[earlier_out(batch, one) for batch, one in earlier],
        assumed=_assumed(found, asked) if found else {},
        notes=notes.as_json(),
    )


_NOTHING: dict[str, Any] = {
    **dict.fromkeys(("first_at", "last_at", "span", "seen", "highest", "rise", "fall")),
    "above": [],
    "gaps": [],
}


def _told(found: Found) -> dict[str, Any]:
    summary = found.summary
    return {
        "first_at": found.start,
        "last_at": found.series.readings[-1].at,
        "span": figure(summary.span_min, "min", "log"),
        "seen": figure(summary.seen_min, "min", "log"),
        "highest": HighestOut(
            temperature=Figure(
                value=plain(summary.highest_c), unit="°C", basis="measured", note="log"
            ),
            at=found.when(summary.highest_min),
            after=figure(summary.highest_min, "min", "log"),
        ),
        "above": [
            AboveOut(
                threshold=Amount(value=plain(one.threshold_c), unit="°C"),
                time=figure(one.minutes, "min", "log"),
                at_least=found.gapped,
                first_at=None if one.first_min is None else found.when(one.first_min),
            )
            for one in summary.above
        ],
        "rise": _ramp(found, summary.rise),
        "fall": _ramp(found, summary.fall),
        "gaps": [
            GapOut(
                from_=found.when(gap.start_min),
                to=found.when(gap.end_min),
                time=figure(gap.minutes, "min", "log"),
            )
            for gap in summary.gaps
        ],
    }


def _ramp(found: Found, ramp: Ramp | None) -> RampOut | None:
    if ramp is None:
        return None
    rate = figure(ramp.k_min, "K/min", "log", to=HUNDREDTH)
    return RampOut(rate=rate, at=found.when(ramp.at_min))


def _equivalent(found: Found, asked: CookQuestion) -> EquivalentOut | None:
    if found.equivalent is None:
        return None
    reference, energy = asked.reference_c, asked.activation_energy_kj_mol
    assert reference is not None
    assert energy is not None
    return EquivalentOut(
        time=figure(found.equivalent, "min", "equivalent"),
        at_least=found.gapped,
        reference=Amount(value=plain(reference), unit="°C"),
        activation_energy=Amount(value=plain(energy), unit="kJ/mol"),
    )


def _log_note(found: Found) -> dict[str, Any]:
    how = (
        f"{len(found.series.readings)} readings of {found.series.name}, straight lines between "
        f"them; a stretch of more than {plain(found.gap)} min is a gap and counts for nothing"
    )
    return {"basis": "calculated", "how": how}


def _equivalent_note(asked: CookQuestion) -> dict[str, Any]:
    energy, reference = asked.activation_energy_kj_mol, asked.reference_c
    return {
        "basis": "calculated",
        "how": f"Arrhenius rate over the log, {energy} kJ/mol as stated, told at {reference} °C",
        "valid": "while one reaction with that energy rules: not across foaming, driers or air",
    }


def _assumed(found: Found, asked: CookQuestion) -> dict[str, Any]:
    filled: dict[str, Any] = {}
    if asked.series is None:
        filled["series"] = found.series.name
    if not asked.above_c and found.summary.above:
        filled["above_c"] = f"{_BELOW_PLAN_K} K below each temperature of the sheet"
    if asked.gap_min is None and len(found.series.readings) > 1:
        filled["gap_min"] = f"{plain(found.gap)}: five times the usual interval, 2 at least"
    return filled
