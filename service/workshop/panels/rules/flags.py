"""Facts about a reading that do not fit the panel: kept, and pointed out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class OffPlan:
    """A fact to point out; `serious` ones ask for a conclusion."""

    code: str
    text: str
    serious: bool


def coats_on(read_on: date, coated_on: Sequence[date]) -> list[date]:
    """The days of the coats that were on when it was read."""
    return [day for day in coated_on if day <= read_on]


def reading_flags(read_on: date, coated_on: Sequence[date]) -> list[OffPlan]:
    """What does not fit between the day of a reading and the days of the coats."""
    on = coats_on(read_on, coated_on)
    if not coated_on:
        text = "No coat of the panel is recorded."
        return [OffPlan("panel-without-coat", text, serious=True)]
    if not on:
        text = f"Read on {read_on}, before the first coat of {min(coated_on)}."
        return [OffPlan("reading-before-coat", text, serious=True)]
    if len(on) < len(coated_on):
        text = f"Read on {read_on}, when {len(on)} of {len(coated_on)} coats were on."
        return [OffPlan("reading-between-coats", text, serious=False)]
    return []
