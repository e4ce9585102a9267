"""What came out (A7): of each stage where it was weighed, and of the whole."""

from typing import Any

from service.workshop.batches import queries as batches
from service.workshop.batches.bodies.stages import StageOut, StageYield
from service.workshop.batches.queries.plan.targets import theory_mg
from service.workshop.batches.rules import yield_percent
from service.workshop.release.record.gathered import Gathered, when
from service.workshop.release.record.items import Item, amount, item


def yields(of: Gathered) -> Item:
    """A7: each yield in percent of what should have come out by the plan."""
    out, theory = of.out, theory_mg(of.session, of.batch)
    found = None
    if out is not None:
        found = {
            "amount": {"value": out.entered_value, "unit": out.entered_unit},
            "theory": amount(batches.grams(theory)),
            "of_theory": amount(batches.percent(yield_percent(out.amount_mg, theory))),
            "by": out.by,
            **when(out),
        }
    lacks = [] if out else [f"No yield is recorded: POST /v1/batches/{of.batch.code}/yields."]
    worked = batches.shown_stages(of.session, of.batch).values()
    stages = [_stage(one, one.yield_) for one in worked if one.yield_ is not None]
    return item("A7", lacks, {"yield": found, "stages": stages})


def _stage(one: StageOut, found: StageYield) -> dict[str, Any]:
    """What was in a stage and what came out of it, part by part."""
    return {
        "number": one.number,
        "stage": one.stage,
        "before": amount(one.in_),
        "weighed_in": amount(one.weighed_in),
        "parts": [
            {"part": each.part, "amount": amount(each.weighed), "goes": each.goes, "lot": each.lot}
            for each in one.out
        ],
        "out": amount(found.out),
        "of_charge": amount(found.of_charge),
        "theory": amount(found.theory),
        "of_theory": amount(found.of_theory),
    }
