"""Which cautions stand on a stage of the sheet, and in which order."""

from decimal import Decimal
from typing import Any

from service.workshop.batches import queries
from service.workshop.batches.queries.plan.cautions import stage_cautions

WEIGHED = queries.BatchLine(batch=1, line=4, position=4, stage="thin", do="weigh")
POUR = queries.BatchLine(
    batch=1, line=7, position=3, stage="thin", do="cool", to_c=Decimal(115), figure="F-1"
)


def frozen(rule: str, **more: Any) -> dict[str, Any]:
    """A caution of a frozen scaling."""
    return {"line": None, "text": f"{rule}, as worked out", "rule": rule, **more}


def rules_of(stage: str, lines: list[queries.BatchLine], *frozen: dict[str, Any]) -> list[str]:
    return [caution.rule for caution in stage_cautions(stage, lines, frozen)]


def test_the_most_dangerous_come_first_and_only_those_of_the_stage() -> None:
    found = rules_of(
        "cook",
        [],
        frozen("lead", stage="cook"),
        frozen("hot-oil-water", stage="cook"),
        frozen("oily-rags", stage="strain"),
    )
    assert found == ["hot-oil-water", "open-cook", "lead"]


def test_the_pour_of_the_batch_stands_in_place_of_that_of_the_scaling() -> None:
    scaled = frozen("solvent-into-hot-varnish", stage="thin", why="it was at 240 °C")
    found = stage_cautions("thin", [POUR, WEIGHED], [frozen("oily-rags", stage="thin"), scaled])
    assert [caution.rule for caution in found] == ["solvent-into-hot-varnish", "oily-rags"]
    assert found[0].text == "Off the heat, no flame, 120 °C or below."


def test_cautions_that_were_frozen_without_a_stage_go_by_their_line() -> None:
    older = [frozen("solvent-in-use", line=4), frozen("kettle-headroom")]
    assert rules_of("thin", [WEIGHED], *older) == ["solvent-in-use"]
    assert rules_of("cook", [], *older) == ["open-cook", "kettle-headroom"]


def test_a_rule_without_a_rank_comes_last() -> None:
    found = rules_of("mix", [], frozen("not-ranked", stage="mix"), frozen("lead", stage="mix"))
    assert found == ["lead", "not-ranked"]
