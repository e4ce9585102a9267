"""What was filled: the place (A6), labels (A8), containers (A9), samples (A10), packs (A13)."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Any

from service.office.documents.queries import content, latest
from service.office.workshop_card.queries import zone
from service.web.amounts import litres
from service.workshop.labels import queries as labels
from service.workshop.labels.bodies import LabellingOut
from service.workshop.lots import queries as lots
from service.workshop.lots.checks import queries as checks
from service.workshop.lots.checks.queries import Examination, PlaceCheck, Sample
from service.workshop.release.record.gathered import Filling, Gathered, when
from service.workshop.release.record.items import Item, OfFill, amount, filled_item
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

_MOMENTS = ("before", "after")
_PLACES = ("filling", "labelling")


def places(of: Gathered) -> Item:
    """A6: that the place was looked at before and after each fill and its labelling, by whom.

    Before a fill the packed lot has no number, so a check on the bulk lot counts for the fills of
    its day.
    """
    subjects = [*([of.lot] if of.lot else []), *of.packed]
    rows = checks.standing_of(of.session, PlaceCheck, subjects)
    numbers = {lot.row_id: lot.number for lot in subjects}
    shown = [
        {
            "lot": numbers[row.lot],
            "place": row.place,
            "moment": row.moment,
            "clear": row.clear,
            "text": row.text,
            "by": row.by,
            **when(row),
        }
        for row in rows
    ]
    fills = [OfFill({}, _unchecked(of, one, rows), one.released) for one in of.fillings]
    return filled_item("A6", fills, {"checks": shown})


def _unchecked(of: Gathered, one: Filling, rows: Sequence[PlaceCheck]) -> list[str]:
    number, fill = one.packed.number, one.fill
    day = _day(of, fill.happened_at)
    told = {
        (place, row.moment)
        for row in rows
        if row.lot == one.packed.id or (row.lot == fill.bulk and _day(of, row.happened_at) == day)
        for place in (_PLACES if row.place == "both" else (row.place,))
        if row.by is not None
    }
    return [
        f"The place of {place} was not checked {moment} {number}, or by nobody named: "
        f"POST /v1/lots/{number}/place-checks."
        for place in _PLACES
        for moment in _MOMENTS
        if (place, moment) not in told
    ]


def _day(of: Gathered, at: datetime) -> date:
    return at.astimezone(zone(of.session)).date()


def labelling(of: Gathered) -> Item:
    """A8: what the frozen label says, and how many were printed, used and spoiled."""
    fills = [_labelled(of, one) for one in of.fillings]
    return filled_item("A8", fills, {"lots": [fill.data for fill in fills]})


def _labelled(of: Gathered, one: Filling) -> OfFill:
    session, number = of.session, one.packed.number
    label = labels.counted(session, one.packed) or latest(session, "label", number)
    runs = labels.labellings(session, one.packed)
    lacks = [] if label else [f"No label of {number} is frozen: POST /v1/lots/{number}/labels."]
    if not runs:
        lacks.append(f"Labels of {number} were not counted: POST /v1/lots/{number}/labellings.")
    used, spoiled = sum(run.used for run in runs), sum(run.spoiled for run in runs)
    printed = sum(run.printed for run in runs)
    data = {
        "lot": number,
        "revision": label.revision if label else None,
        "sha256": label.sha256 if label else None,
        "print": content(label)["print"] if label else None,
        "packs": one.fill.count,
        "printed": printed,
        "used": used,
        "spoiled": spoiled,
        "unaccounted": printed - used - spoiled,
        "runs": [{**_run(labels.shown_labelling(session, run)), **when(run)} for run in runs],
    }
    return OfFill(data, lacks, one.released)


def _run(shown: LabellingOut) -> dict[str, Any]:
    names = {"revision", "printed", "used", "spoiled", "label_lot", "by"}
    return shown.model_dump(mode="json", include=names)


def containers(of: Gathered) -> Item:
    """A9: which jars and lids, how many, from which lots."""
    fills = [OfFill(_contained(of, one), (), one.released) for one in of.fillings]
    return filled_item("A9", fills, {"lots": [fill.data for fill in fills]})


def _contained(of: Gathered, one: Filling) -> dict[str, Any]:
    fill, packed = one.fill, one.packed
    container = stock.lot_by_id(of.session, fill.container_lot)
    closure = stock.lot_by_id(of.session, fill.closure_lot) if fill.closure_lot else None
    return {
        "lot": packed.number,
        "pack": fill.pack,
        "net": amount(litres(packed.nominal_ul)),
        "count": fill.count,
        "container": container.material,
        "container_lot": container.number,
        "closure": closure and closure.material,
        "closure_lot": closure and closure.number,
        "by": fill.by,
        **when(fill),
    }


def samples(of: Gathered) -> Item:
    """A10: what was taken of the bulk and of its packs, and where it is kept."""
    subjects = {lot.row_id: lot for lot in [*([of.lot] if of.lot else []), *of.packed]}
    rows = checks.standing_of(of.session, Sample, list(subjects.values()))
    data = {"samples": [_sampled(subjects[row.lot], row) for row in rows]}
    if rows:
        return Item("A10", "yes", (), data)
    lacks = [
        f"No sample of {one.packed.number} or its bulk: POST /v1/lots/{one.packed.number}/samples."
        for one in of.fillings
    ]
    fills = [OfFill({}, [lack], one.released) for lack, one in zip(lacks, of.fillings, strict=True)]
    return filled_item("A10", fills, data)


def _sampled(lot: Lot, row: Sample) -> dict[str, Any]:
    shown = checks.shown_sample(row, lot).model_dump(mode="json")
    names = ("lot", "kind", "amount", "kept_at", "keep_until", "text", "by")
    return {**{name: shown[name] for name in names}, **when(row)}


def examinations(of: Gathered) -> Item:
    """A13: the check of the fill, leaks and looks of the filled packs."""
    fills = [_examined(of, one) for one in of.fillings]
    return filled_item("A13", fills, {"lots": [fill.data for fill in fills]})


def _examined(of: Gathered, one: Filling) -> OfFill:
    session, number = of.session, one.packed.number
    check = lots.shown_fill(session, one.fill, weights=False).check.model_dump(mode="json")
    rows = checks.standing_of(session, Examination, [one.packed])
    shown = [
        {
            "examined": row.examined,
            "leaking": row.leaking,
            "marred": row.marred,
            "appearance": row.appearance,
            "by": row.by,
            **when(row),
        }
        for row in rows
    ]
    call = f"POST /v1/lots/{number}/examinations"
    lacks = [] if rows else [f"No pack of {number} was looked at: {call}."]
    fill_check = {name: check[name] for name in _CHECKED}
    data = {"lot": number, "fill_check": fill_check, "examinations": shown}
    return OfFill(data, lacks, one.released)


_CHECKED = ("verdict", "why", "rule", "weighed", "below_first", "below_second")


def filled(of: Gathered) -> Iterator[dict[str, Any]]:
    """The packed lots, as they stand."""
    for one in of.fillings:
        yield {
            "lot": one.packed.number,
            "pack": one.fill.pack,
            "count": one.fill.count,
            "quality": one.packed.quality,
        }
