"""The curve of a cook: as data, as rows of a table, and as it is drawn."""

import csv
import io
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from itertools import pairwise

from service.office.workshop_card.queries import zone
from service.press.csv import guard
from service.press.curves import Curve, Level, Line, Mark, Point, render
from service.science.rounding import plain, round_half_even
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.batches._tables import Batch, BatchLine
from service.workshop.batches.bodies.cook_curve import (
    CookCurveOut,
    CookQuestion,
    CurveMark,
    CurvePlan,
    CurveSeries,
)
from service.workshop.batches.queries.cook import readings as cook_readings
from service.workshop.batches.queries.cook.analysis import cook_analysis
from service.workshop.batches.queries.cook.readings import (
    BY_HAND,
    Cook,
    Reading,
    Series,
    minutes,
)
from service.workshop.batches.queries.pot.events import events
from service.workshop.batches.queries.record import records

COLUMNS = ("series", "at", "minutes", "temperature_c", "remark")
_THOUSANDTH = Decimal("0.001")


def cook_curve_data(session: ReadSession, batch: Batch) -> CookCurveOut:
    """The curve as data, every reading that stands."""
    cook = cook_readings.cook(session, batch)
    start = _start(cook)
    return CookCurveOut(
        batch=batch.code,
        start=start,
        series=[
            CurveSeries(
                name=one.name,
                points=[(float(_since(each, start)), float(each.celsius)) for each in one.readings],
            )
            for one in cook.series
        ],
        marks=[
            CurveMark(
                at=each.at,
                minutes=float(_since(each, start)),
                temperature_c=float(each.celsius),
                series=name,
                remark=each.remark,
            )
            for name, each in _marked(session, cook)
        ],
        plan=[
            CurvePlan(line=line.line, do=line.do, temperature=_celsius(line.to_c))
            for line in _planned(session, batch)
            if line.to_c is not None
        ],
        set_aside=cook.set_aside,
    )


def cook_curve_csv(session: ReadSession, batch: Batch) -> bytes:
    """The same as a table, a row a reading."""
    cook = cook_readings.cook(session, batch)
    start = _start(cook)
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for one in cook.series:
        for each in one.readings:
            at = each.at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
            shown = (plain(_since(each, start)), plain(each.celsius), guard(each.remark or ""))
            writer.writerow((guard(one.name), at, *shown))
    return page.getvalue().encode()


def cook_curve(session: ReadSession, batch: Batch, *, earlier: int = 0) -> Curve:
    """The curve as it is drawn, beside that of so many earlier batches of the version; of a batch
    without a log, empty axes that say so."""
    cook = cook_readings.cook(session, batch)
    start = _start(cook)
    devices = [one for one in cook.series if one.name != BY_HAND] or list(cook.series)
    lines = [Line(one.name, _pieces(one, start)) for one in devices]
    for other in cook_readings.earlier_batches(session, batch, earlier) if earlier else ():
        beside = cook_readings.cook(session, other).chosen(None)
        if beside is not None:
            name = f"{other.code}, {beside.name}"
            lines.append(Line(name, _pieces(beside, beside.readings[0].at), beside=True))
    return Curve(
        title=f"Cook of {batch.code}",
        description=_in_words(session, cook),
        x_label=_x_label(session, start),
        y_label="°C",
        lines=lines,
        marks=[
            Mark((_since(each, start), each.celsius), _told(session, each))
            for _, each in _marked(session, cook)
        ],
        levels=[
            Level(line.to_c, f"{plain(line.to_c)} °C, line {line.line}")
            for line in _planned(session, batch)
            if line.to_c is not None
        ],
    )


def cook_curve_svg(session: ReadSession, batch: Batch, *, earlier: int = 0) -> bytes:
    """The curve as an SVG document."""
    return render(cook_curve(session, batch, earlier=earlier))


def _start(cook: Cook) -> datetime | None:
    return cook.series[0].readings[0].at if cook.series else None


def _since(each: Reading, start: datetime | None) -> Decimal:
    since = Decimal(0) if start is None else minutes(each.at, start)
    return round_half_even(since, _THOUSANDTH).normalize() + 0


def _pieces(series: Series, start: datetime | None) -> list[list[Point]]:
    """The points of a series, broken where it has gaps."""
    before_it = Decimal(0) if start is None else minutes(series.readings[0].at, start)
    points = [(before_it + at, celsius) for at, celsius in series.log]
    gap = series.gap
    pieces: list[list[Point]] = [points[:1]]
    for before, after in pairwise(points):
        if gap is not None and after[0] - before[0] > gap:
            pieces.append([])
        pieces[-1].append(after)
    return pieces


def _marked(session: ReadSession, cook: Cook) -> Iterator[tuple[str, Reading]]:
    """What someone read, what was remarked and what happened, in the order of time."""
    found = [
        (one.name, each)
        for one in cook.series
        for each in one.readings
        if one.name == BY_HAND or each.remark
    ]
    found += [("event", each) for each in _happened(session, cook)]
    yield from sorted(found, key=lambda pair: pair[1].at)


def _happened(session: ReadSession, cook: Cook) -> Iterator[Reading]:
    """The events of the batch that have a place on the curve: their own temperature, else that of
    the line there."""
    for row in events(session, cook.batch):
        celsius = row.temperature_c
        if celsius is None and cook.series:
            celsius = _at(cook.series[0], row.happened_at)
        if celsius is not None:
            text = row.event.replace("-", " ") + (f": {row.text}" if row.text else "")
            yield Reading(row.happened_at, celsius, text, row.about_seconds)


def _at(series: Series, at: datetime) -> Decimal | None:
    """The temperature of a series at an instant between two of its readings, to a tenth."""
    read = series.readings
    if len(read) < 2 or not read[0].at <= at <= read[-1].at:
        return None
    place = min(bisect_right(read, at, key=lambda one: one.at), len(read) - 1)
    before, after = read[place - 1], read[place]
    share = minutes(at, before.at) / minutes(after.at, before.at)
    between = before.celsius + (after.celsius - before.celsius) * share
    return round_half_even(between, Decimal("0.1"))


def _planned(session: ReadSession, batch: Batch) -> list[BatchLine]:
    """The lines of the sheet that say a temperature, each temperature once."""
    seen: dict[Decimal, BatchLine] = {}
    for line in records.lines(session, batch):
        if line.to_c is not None:
            seen.setdefault(line.to_c, line)
    return list(seen.values())


def _celsius(value: Decimal) -> Amount:
    return Amount(value=plain(value), unit="°C")


def _told(session: ReadSession, each: Reading) -> str:
    clock = each.at.astimezone(zone(session)).strftime("%H:%M")
    about = "about " if each.about_seconds else ""
    remark = f", {each.remark}" if each.remark else ""
    return f"{about}{clock}, {plain(each.celsius)} °C{remark}"


def _x_label(session: ReadSession, start: datetime | None) -> str:
    if start is None:
        return "minutes"
    there = zone(session)
    local = start.astimezone(there)
    return f"minutes since {local:%H:%M} on {local:%Y-%m-%d} ({there.key})"


def _in_words(session: ReadSession, cook: Cook) -> str:
    """What the curve shows, for whoever does not see it."""
    found = cook_analysis(session, cook.batch, CookQuestion(earlier=0), cook=cook)
    if found.highest is None or found.span is None:
        return "No temperature was read."
    told: Sequence[str] = [
        f"{found.readings} readings of {found.series} over {found.span.value} min.",
        f"Highest {found.highest.temperature.value} °C after {found.highest.after.value} min.",
        *(
            f"{'At least ' if one.at_least else ''}{one.time.value} min above "
            f"{one.threshold.value} °C."
            for one in found.above
        ),
        *(f"Nothing was read for {one.time.value} min." for one in found.gaps[:5]),
    ]
    return " ".join(told)
