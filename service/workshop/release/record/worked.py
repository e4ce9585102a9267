"""What was done: times (A1), lots (A3), weights (A4), persons (A11)."""

from collections.abc import Iterator, Sequence
from typing import Any

from service.workshop.batches import queries as batches
from service.workshop.batches.queries import BatchLine, Weighing
from service.workshop.batches.queries.record.shown import about
from service.workshop.batches.rules import verdict
from service.workshop.release.record.gathered import Gathered, Step, when
from service.workshop.release.record.items import Item, amount, instant, item

_HEATED = frozenset({"heat", "hold", "cool"})
_TIMED = _HEATED | {"wait", "strain"}


def times(of: Gathered) -> Item:
    """A1: when it began and ended, and when each step that is not weighed was done. Until its yield
    is entered it cannot end, and lacks that (A7)."""
    begun, ended = of.begun, of.ended
    lacks = [] if begun else ["It has not begun."]
    lacks += ["It has not ended."] if ended is None and of.out is not None else []
    lacks += [f"Line {line.line} ({line.do}) has no time." for line in _undated(of)]
    if ended:
        lacks += [f"The end of {one.stage} has no time." for one in of.stages if one.end is None]
    data = {
        "begun_at": instant(begun.happened_at if begun else None),
        "begun_about": about(begun.about_seconds if begun else None),
        "ended_at": instant(ended.happened_at if ended else None),
        "ended_about": about(ended.about_seconds if ended else None),
        "steps": [step.timed() for step in of.steps],
    }
    return item("A1", lacks, data)


def _undated(of: Gathered) -> Iterator[BatchLine]:
    """Lines of which no entry, no stage and no log of the cook tells when they were done; what is
    weighed, checked or yields lacks more than its time then, and is told there."""
    staged = {one.stage for one in of.stages}
    for line in of.lines:
        logged = line.do in _HEATED and of.cook.series
        dated = logged or line.line in of.seen or line.stage in staged
        if line.do in _TIMED and not dated:
            yield line


def lots_in(of: Gathered) -> Item:
    """A3: what went in, from which lots; what a lot was made of stands in its own record."""
    drawn: dict[int, int] = {}
    for entry in of.weighings:
        drawn[entry.lot] = drawn.get(entry.lot, 0) + entry.amount_mg
    rows = [
        {
            "material": lot.material,
            "lot": lot.number,
            "kind": lot.kind,
            "quality": lot.quality,
            "expires_on": lot.expires_on and lot.expires_on.isoformat(),
            "amount": amount(batches.grams(drawn[lot_id])),
        }
        for lot_id, lot in sorted(of.lots_drawn.items())
    ]
    lacks = [] if rows else ["No lot is recorded as weighed in."]
    return item("A3", lacks, {"lots": rows})


def weights(of: Gathered) -> Item:
    """A4: each line with its target and tolerance, and what was weighed; what was never planned
    comes last."""
    planned = [line for line in of.lines if line.do == "weigh"]
    by_line: dict[int, list[Weighing]] = {}
    for entry in of.weighings:
        by_line.setdefault(entry.line, []).append(entry)
    beside = sorted(by_line.keys() - {line.line for line in planned})
    rows = [_weighed(of, line, by_line.get(line.line, [])) for line in planned]
    rows += [
        {
            "line": number,
            "material": by_line[number][0].material,
            "target": None,
            "allow": None,
            "weighed": amount(batches.grams(sum(entry.amount_mg for entry in by_line[number]))),
            "verdict": "not planned",
            "entries": [_entry(of, entry) for entry in by_line[number]],
        }
        for number in beside
    ]
    lacks = [
        f"Line {line.line} ({line.material}) has no weight."
        for line in planned
        if line.target_mg is not None and line.line not in by_line
    ]
    if not of.weighings and not lacks:
        lacks = ["Nothing was weighed in."]
    return item("A4", lacks, {"lines": rows})


def _weighed(of: Gathered, line: BatchLine, entries: Sequence[Weighing]) -> dict[str, Any]:
    aim = of.aims[line.line]
    total = sum(entry.amount_mg for entry in entries)
    judged = entries and aim.target_mg is not None and aim.tolerance_mg is not None
    return {
        "line": line.line,
        "material": line.material,
        "target": None if aim.target_mg is None else amount(batches.grams(aim.target_mg)),
        "planned": None if line.target_mg is None else amount(batches.grams(line.target_mg)),
        "allow": None if aim.tolerance_mg is None else amount(batches.grams(aim.tolerance_mg)),
        "condition": line.condition,
        "weighed": amount(batches.grams(total)) if entries else None,
        "verdict": verdict(total, aim.target_mg or 0, aim.tolerance_mg or 0) if judged else "none",
        "entries": [_entry(of, entry) for entry in entries],
    }


def _entry(of: Gathered, row: Weighing) -> dict[str, Any]:
    return {
        "entry": row.row_id,
        "material": row.material,
        "lot": of.lots_drawn[row.lot].number,
        "weighed": {"value": row.entered_value, "unit": row.entered_unit},
        "gross": row.gross,
        "tare": row.tare,
        "balance": row.balance,
        "substitute": row.substitute,
        "by": row.by,
        "checked_by": row.checked_by,
        **when(row),
        "entered_at": instant(row.entered_at),
        "late": row.row_id in of.late,
        "corrects": row.corrects,
        "reason": row.reason,
    }


def persons(of: Gathered) -> Item:
    """A11: who did each step and who checked it; where nobody else did, that is said."""
    steps = of.steps
    lacks = [] if steps else ["Nobody has done anything yet."]
    nameless = [step.what for step in steps if step.entry.by is None]
    if nameless:
        lacks.append(f"Nobody is named at: {'; '.join(nameless)}.")
    return item("A11", lacks, {"steps": [_did(step) for step in steps]})


def _did(step: Step) -> dict[str, Any]:
    by, checked = step.entry.by, step.checked_by
    said = "not said" if by is None else f"{by} did it"
    if checked is None:
        said += ", nobody else checked it"
    else:
        said += f", {checked} checked it" if checked != by else " and checked it"
    return {
        "what": step.what,
        "line": step.line,
        **when(step.entry),
        "by": by,
        "checked_by": checked,
        "said": said,
    }
