"""What was read in the process (A5), and what went beside the plan (A12)."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from sqlmodel import col, select

from service.science.rounding import plain
from service.store.records import standing
from service.workshop.batches.queries.cook.readings import Reading, Series
from service.workshop.batches.queries.pot.adjustments import adjustments
from service.workshop.batches.queries.pot.events import shown_drops, shown_events
from service.workshop.batches.queries.pot.shown_adjustments import shown_adjustment
from service.workshop.batches.rules import ENDED
from service.workshop.deviations import queries as deviations
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties
from service.workshop.release.record.gathered import Gathered, when
from service.workshop.release.record.items import Item, instant, item

MOST_POINTS = 30  # of a series, in the record itself; its digest stands for all of them
_OF_ADJUSTMENTS = {"adjustment", "label", "target", "within", "material", "state", "steps"}
_HEATED = frozenset({"heat", "hold", "cool"})


def in_process(of: Gathered) -> Item:
    """A5: the log of the cook, what was seen at the checks, what was measured in the pot."""
    figures = _figures(of)
    data = {
        "log": [_series(one) for one in of.cook.series],
        "set_aside": of.cook.set_aside,
        "seen": [
            {"line": line, "saw": seen.saw, "by": seen.by, **when(seen)}
            for line, entries in of.seen.items()
            for seen in entries
        ],
        "figures": figures,
        "events": _plain(shown_events(of.session, of.batch, of.events).values()),
        "adjustments": _adjustments(of),
        "colour": _plain(shown_drops(of.session, of.batch, of.drops).values()),
    }
    anything = of.cook.series or of.seen or figures or of.events or of.drops
    lacks = list(_unread(of)) if anything else ["Nothing was read while it was made."]
    return item("A5", lacks, data)


def _unread(of: Gathered) -> Iterator[str]:
    """What the sheet asks to be read, and was not."""
    if not of.cook.series and any(line.do in _HEATED for line in of.lines):
        yield "No temperature is recorded, and it was heated."
    for line in of.lines:
        asked = line.do == "check" or (line.do == "hold" and line.until)
        if asked and line.line not in of.seen:
            yield f"What was seen at line {line.line} ({line.until}) is not recorded."


def _figures(of: Gathered) -> list[dict[str, Any]]:
    """What was measured in the pot, and of the lot before the first fill of it."""
    found = select(FigureRow).where(
        FigureRow.subject_kind == "batch",
        FigureRow.subject == of.batch.code,
        standing(FigureRow),
    )
    return [
        {
            "figure": row.number,
            "label": properties()[row.property].label,
            "value": row.entered_value,
            "unit": row.entered_unit,
            "basis": row.basis,
            "method": row.method,
            "by": row.by,
            **when(row),
        }
        for row in of.session.exec(found.order_by(col(FigureRow.id)))
    ]


def _adjustments(of: Gathered) -> list[dict[str, Any]]:
    """What the batch was brought to, each reading with what went in after it."""
    shown = (
        shown_adjustment(of.session, of.batch, row) for row in adjustments(of.session, of.batch)
    )
    told = [one.model_dump(mode="json", include=_OF_ADJUSTMENTS) for one in shown]
    return [{**one, "steps": [_turn(step) for step in one["steps"]]} for one in told]


def _turn(step: Mapping[str, Any]) -> dict[str, Any]:
    added = [
        {name: one[name] for name in ("entry", "material", "lot", "weighed", "by")}
        for one in step["added"]
    ]
    return {
        **{name: step[name] for name in ("step", "figure", "read", "off", "by")},
        "added": added,
    }


def _plain(shown: Iterable[Any]) -> list[dict[str, Any]]:
    return [one.model_dump(mode="json", by_alias=True) for one in shown]


def _series(series: Series) -> dict[str, Any]:
    """A series in short, with a digest over every point of it."""
    readings = series.readings
    lines = [f"{one.at.isoformat()} {plain(one.celsius)}\n" for one in readings]
    low = min(readings, key=lambda one: one.celsius)
    high = max(readings, key=lambda one: one.celsius)
    return {
        "from": series.name,
        "count": len(readings),
        "first_at": instant(readings[0].at),
        "last_at": instant(readings[-1].at),
        "lowest": _celsius(low),
        "highest": _celsius(high),
        "sha256": hashlib.sha256("".join(lines).encode()).hexdigest(),
        "points": [
            {"at": instant(one.at), "temperature": _celsius(one), "remark": one.remark}
            for one in _thinned(readings, (low, high))
        ],
    }


def _celsius(one: Reading) -> dict[str, str]:
    return {"value": plain(one.celsius), "unit": "°C"}


def _thinned(readings: Sequence[Reading], kept: Sequence[Reading]) -> list[Reading]:
    """Every so manieth point, besides the first and last, the extremes and those remarked on."""
    stride = -(-len(readings) // MOST_POINTS)
    last = len(readings) - 1
    return [
        one
        for place, one in enumerate(readings)
        if place % stride == 0 or place == last or one.remark or one in kept
    ]


def departures(of: Gathered) -> Item:
    """A12: what went beside the plan, of the batch, its lot and its packs, with what was concluded.

    Without a deviation the item stands once the batch has ended: then somebody has said so.
    """
    subjects = [of.batch.code, *(lot.number for lot in of.packed)]
    rows = [deviations.shown(of.session, row) for row in deviations.every(of.session, *subjects)]
    lacks = [
        f"{row.deviation} is open: POST /v1/deviations/{row.deviation}/conclusions."
        for row in rows
        if row.open
    ]
    if of.batch.state not in ENDED and not rows:
        lacks.append("It has not ended: what goes beside the plan may still come.")
    said = "None was opened." if not rows and not lacks else None
    return item("A12", lacks, {"said": said, "deviations": [amounts for amounts in _plain(rows)]})
