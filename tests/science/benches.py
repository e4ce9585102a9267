"""Lines and steps of plans, as the tests of the bench take them."""

from decimal import Decimal
from typing import Any

from service.science.bench_cautions import (
    BenchCaution,
    BenchCautions,
    PlannedLine,
    PlannedStep,
)


def line(family: str | None, material: str = "it", **more: Any) -> PlannedLine:
    """What goes into the cook, unless another stage is named."""
    return PlannedLine(1, more.pop("stage", "cook"), material, Decimal(500), family, **more)


def step(to_c: int | None = None, do: str = "heat", stage: str = "cook") -> PlannedStep:
    """A heating of the cook, unless something else is named."""
    return PlannedStep(9, stage, do, None if to_c is None else Decimal(to_c))


OIL = line("drying-oil", "linseed oil", autoxidising=True, autoignition_c=Decimal(343))
ROSIN = line("resin", "gum rosin", autoignition_c=Decimal(342))
TURPENTINE = line(
    "solvent",
    "turpentine",
    stage="thin",
    flash_point_c=Decimal(35),
    boiling_point_c=Decimal(150),
    autoignition_c=Decimal(253),
)
SPIRIT = line("solvent", "spirit", stage="dissolve", is_ethanol=True, flash_point_c=Decimal(12))
HEAT, MIXED = step(240), step(60, stage="mix")


def named(found: BenchCautions, rule: str) -> list[BenchCaution]:
    """The cautions of one rule."""
    return [each for stage in found.stages for each in stage.cautions if each.rule == rule]
