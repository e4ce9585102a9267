"""Charges of made-up recipes, worked through as a version is."""

from collections.abc import Sequence
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from service.science.pots import Substance
from service.workshop.recipes.inside.working import Rows, work
from service.workshop.recipes.rules import Charge


def charges(
    amounts: Sequence[Decimal], stages: Sequence[str], *, cook: Decimal, strain: Decimal
) -> list[Charge]:
    """Lines in parts, in stages named one by one, with a loss in the cook and in straining."""
    lines: Any = [
        SimpleNamespace(
            line=n, material=f"MAT-{n}", basis="parts", amount=amount, rule=None, stage=stage
        )
        for n, (amount, stage) in enumerate(zip(amounts, stages, strict=False), 1)
    ]
    order: Any = [SimpleNamespace(stage=stage) for stage in ("cook", "thin", "strain")]
    losses: Any = [
        SimpleNamespace(stage=stage, cause="fumes", percent=percent)
        for stage, percent in (("cook", cook), ("strain", strain))
    ]
    version: Any = None
    known = {line.material: Substance(line.material) for line in lines}
    return list(work(Rows(version, lines, order, losses, {}), known).charges)
