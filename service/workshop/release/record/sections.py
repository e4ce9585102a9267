"""The items of a batch record as blocks for the press, each from the data it was frozen with."""

from collections.abc import Callable, Iterator, Mapping

from service.press.blocks import Block, Paragraph
from service.workshop.release.record import pack_sections
from service.workshop.release.record.cells import (
    WHEN,
    Data,
    date_and_time,
    facts,
    grouped,
    table,
    told_when,
)


def _approved(data: Data) -> Iterator[Block]:
    yield facts(
        {
            "Recipe": f"{data['recipe']}, version {data['version']}",
            "Written by": data["created_by"],
            "Checked and approved by": data["checked_by"],
            "Approved (UTC)": date_and_time(data["checked_at"]),
            "SHA-256 of the version": grouped(data["sha256"]),
            "Scaled as": data["scaling"],
            "SHA-256 of the scaling": grouped(data["scaling_sha256"]),
        }
    )
    if data["copy"]:
        yield from _copy(data["copy"])


def _copy(copy: Data) -> Iterator[Block]:
    lines = [{**line, "amount": _written(line)} for line in copy["lines"]]
    columns = {"line": "Line", "material": "Material", "amount": "Amount", "stage": "Stage"}
    yield from table({**columns, "condition": "How"}, lines, "What goes in, as approved")
    steps = [{**step, "told": _told(step)} for step in copy["steps"]]
    yield from table(
        {"line": "Line", "do": "Do", "told": "How far", "stage": "Stage"},
        steps,
        "What is done, as approved",
    )


def _written(line: Data) -> str:
    if line["parts"] is not None:
        return f"{line['parts']} part{'' if line['parts'] == '1' else 's'}"
    return "by rule" if line["percent"] is None else f"{line['percent']} %"


def _told(step: Data) -> str:
    to, ramp, long = (
        step[name] and f"{step[name]['value']} {step[name]['unit']}"
        for name in ("to", "ramp", "for")
    )
    parts = [to and f"to {to}", ramp and f"at {ramp}", long, step["until"], step["text"]]
    return ", ".join(filter(None, parts))


def _times(data: Data) -> Iterator[Block]:
    yield from table({"at": WHEN, "what": "What", "line": "Line", "stage": "Stage"}, data["steps"])


def _tools(data: Data) -> Iterator[Block]:
    names = {"code": "Code", "kind": "Kind", "reads_to": "Reads to", "holds": "Holds"}
    dates = {"calibrated_on": "Calibrated", "calibrated_until": "Until"}
    yield from table({**names, **dates}, data["equipment"])
    if data["devices"]:
        yield Paragraph(f"Temperatures were logged by {', '.join(data['devices'])}.")


def _lots(data: Data) -> Iterator[Block]:
    names = {"material": "Material", "lot": "Lot", "amount": "Amount", "quality": "Quality"}
    yield from table({**names, "expires_on": "Expires"}, data["lots"])


def _weights(data: Data) -> Iterator[Block]:
    names = {"line": "Line", "material": "Material", "target": "Target", "allow": "Allowed ±"}
    yield from table({**names, "weighed": "Weighed", "verdict": "Verdict"}, data["lines"])
    entries = [
        {**entry, "line": line["line"], "when": _entered(entry)}
        for line in data["lines"]
        for entry in line["entries"]
    ]
    yield from table(
        {
            "line": "Line",
            "weighed": "Weighed",
            "lot": "Lot",
            "balance": "Balance",
            "by": "By",
            "checked_by": "Checked",
            "when": WHEN,
        },
        entries,
        "Each weighing",
    )
    for entry in entries:
        if entry["reason"]:
            yield Paragraph(f"Line {entry['line']} was corrected: {entry['reason']}")


def _entered(entry: Data) -> str:
    late = f", late: entered {date_and_time(entry['entered_at'])}" if entry["late"] else ""
    return told_when(entry) + late


def _readings(data: Data) -> Iterator[Block]:
    for series in data["log"]:
        yield from _series(series)
    yield from table({"line": "Line", "saw": "Seen", "by": "By", "at": WHEN}, data["seen"])
    figures = [{**figure, "read": figure} for figure in data["figures"]]
    yield from table(
        {"label": "Measured", "read": "Value", "method": "Method", "by": "By", "at": WHEN}, figures
    )
    yield from table(
        {"event": "Event", "text": "Remark", "by": "By", "at": WHEN},
        [{**event, "at": event["happened_at"]} for event in data["events"]],
    )
    for one in data["adjustments"]:
        aim = f"{one['label']} brought to {one['target']['value']} {one['target']['unit']}"
        steps = [{**step, "went_in": _added(step)} for step in one["steps"]]
        names = {"step": "Reading", "read": "Read", "went_in": "Then added", "by": "By"}
        yield from table(names, steps, f"{aim} with {one['material']}: {one['state']}")
    drops = [
        {**drop, **(drop["colour"] or {}), "at": drop["happened_at"]} for drop in data["colour"]
    ]
    yield from table(
        {
            "minutes": "Minute",
            "temperature": "At",
            "scale": "Scale",
            "reading": "Colour",
            "at": WHEN,
        },
        drops,
        "The colour of drops",
    )


def _added(step: Data) -> str:
    amounts = (one["weighed"] for one in step["added"])
    return ", ".join(f"{amount['value']} {amount['unit']}" for amount in amounts)


def _series(series: Data) -> Iterator[Block]:
    yield facts(
        {
            "Temperatures from": series["from"],
            "Readings": f"{series['count']}, {date_and_time(series['first_at'])} to "
            f"{date_and_time(series['last_at'])} UTC",
            "Lowest": series["lowest"],
            "Highest": series["highest"],
            "SHA-256 of all readings": grouped(series["sha256"]),
        }
    )
    rows = series["points"]
    yield from table({"at": WHEN, "temperature": "Temperature", "remark": "Remark"}, rows)


def _yields(data: Data) -> Iterator[Block]:
    names = {"stage": "Stage", "before": "Was in", "weighed_in": "Went in", "out": "Came out"}
    shares = {"of_charge": "Of what was in", "theory": "By plan", "of_theory": "Of theory"}
    yield from table({**names, **shares}, data["stages"])
    parts = [{**part, "stage": one["stage"]} for one in data["stages"] for part in one["parts"]]
    names = {"stage": "Stage", "part": "Part", "amount": "Amount", "goes": "Goes", "lot": "Lot"}
    yield from table(names, parts)
    if data["yield"]:
        found = data["yield"]
        yield facts(
            {
                "What came out": found["amount"],
                "What should have": found["theory"],
                "Of theory": found["of_theory"],
                "Weighed by": found["by"],
                WHEN: told_when(found),
            }
        )


def _persons(data: Data) -> Iterator[Block]:
    yield from table({"at": WHEN, "what": "What", "said": "Who"}, data["steps"])


def _departures(data: Data) -> Iterator[Block]:
    if data["said"]:
        yield Paragraph(data["said"])
    names = {"deviation": "No", "subject": "Of", "text": "What", "conclusion": "Conclusion"}
    yield from table({**names, "concluded_by": "By"}, data["deviations"])


SECTIONS: Mapping[str, Callable[[Data], Iterator[Block]]] = {
    "A0": _approved,
    "A1": _times,
    "A2": _tools,
    "A3": _lots,
    "A4": _weights,
    "A5": _readings,
    "A6": pack_sections.places,
    "A7": _yields,
    "A8": pack_sections.labels,
    "A9": pack_sections.containers,
    "A10": pack_sections.samples,
    "A11": _persons,
    "A12": _departures,
    "A13": pack_sections.examinations,
}
