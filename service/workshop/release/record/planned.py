"""What was approved and planned: the copy of the recipe version (A0) and the equipment (A2)."""

from collections.abc import Iterator
from typing import Any

from service.office.documents.queries import content, latest
from service.office.equipment.queries import equipment, shown
from service.workshop.recipes import queries as recipes
from service.workshop.release.record.gathered import Gathered
from service.workshop.release.record.items import Item, amount, instant, item

_HEATED = frozenset({"heat", "hold", "cool"})


def approved(of: Gathered) -> Item:
    """A0: the frozen version as it was approved, and the frozen scaling of this batch."""
    batch, document = of.batch, of.version
    row = recipes.version(of.session, batch.recipe, batch.version)
    scaling = latest(of.session, "scaling", batch.scaling)
    lacks = [] if row.approved_at else [f"{batch.recipe}/{batch.version} was never approved."]
    return item(
        "A0",
        lacks,
        {
            "recipe": batch.recipe,
            "version": batch.version,
            "created_by": row.created_by,
            "checked_by": row.approved_by,
            "checked_at": instant(row.approved_at),
            "sha256": document.sha256 if document else None,
            "scaling": batch.scaling,
            "scaling_sha256": scaling.sha256 if scaling else None,
            "copy": content(document) if document else None,
        },
    )


def tools(of: Gathered) -> Item:
    """A2: kettle and balances with what they read to, and the devices that logged."""
    codes = dict.fromkeys(filter(None, [of.batch.kettle, *_used(of)]))
    rows = [_tool(of, code) for code in codes]
    devices = [series.name for series in of.cook.series if series.name != "by hand"]
    data = {"equipment": rows, "devices": devices}
    return item("A2", _tools_lacking(of, rows), data)


def _used(of: Gathered) -> Iterator[str | None]:
    """The codes of what was used, as the entries name them."""
    for entry in of.weighings:
        yield entry.balance
    for one in of.stages:
        yield from one.begun.equipment
        yield one.begun.balance
        yield from (row.balance for row in (*one.weigh_ins, *one.out))


def _tool(of: Gathered, code: str) -> dict[str, Any]:
    row = shown(equipment(of.session, code))
    return {
        "code": row.code,
        "kind": row.kind,
        "name": row.name,
        "holds": amount(row.holds),
        "reads_to": amount(row.reads_to),
        "calibrated_on": row.calibrated_on and row.calibrated_on.isoformat(),
        "calibrated_until": row.calibrated_until and row.calibrated_until.isoformat(),
    }


def _tools_lacking(of: Gathered, rows: list[dict[str, Any]]) -> Iterator[str]:
    if of.batch.kettle is None and any(line.do in _HEATED for line in of.lines):
        yield "No kettle is named, and it was heated."
    if not of.weighings:
        yield "Nothing was weighed, so no balance was used."
    unnamed = sorted({entry.line for entry in of.weighings if entry.balance is None})
    if unnamed:
        yield f"No balance is named at line {', '.join(map(str, unnamed))}."
    for row in rows:
        if row["kind"] == "balance" and row["reads_to"] is None:
            yield f"What {row['code']} reads to is not known: PATCH /v1/equipment/{row['code']}."
