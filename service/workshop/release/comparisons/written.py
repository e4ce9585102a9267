"""What is written in two versions: lines, steps and stages side by side."""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Generic, TypeVar

from service.web.fields import Amount
from service.workshop.recipes.bodies import VersionOut
from service.workshop.recipes.bodies.lines import LineOut
from service.workshop.recipes.bodies.stages import StageOut, StepOut
from service.workshop.release.comparisons.bodies import (
    ComparedLine,
    ComparedStage,
    ComparedStep,
    Status,
)
from service.workshop.release.comparisons.figures import difference
from service.workshop.release.comparisons.matching import Pair, pairs

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Written(Generic[T]):
    """A row with what of it can change, by name."""

    row: T
    told: Mapping[str, Hashable]

    @property
    def whole(self) -> Hashable:
        return tuple(self.told.items())


def lines(left: VersionOut, right: VersionOut) -> list[ComparedLine]:
    """By material: first those in which nothing changed, then those in the same stage."""
    found = pairs(
        _lines(left),
        _lines(right),
        lambda line: (line.row.material, line.whole),
        lambda line: (line.row.material, line.row.stage),
        lambda line: line.row.material,
    )
    return [
        ComparedLine.model_validate(
            {
                "material": pair.either.row.material,
                "name": pair.either.row.name,
                "share_difference": difference(*(_share(line) for line in pair.sides)),
                **_compared(pair),
            }
        )
        for pair in found
    ]


def _share(line: Written[LineOut] | None) -> Amount | None:
    return None if line is None else line.row.share


def _lines(version: VersionOut) -> list[Written[LineOut]]:
    called = {line.line: line.material for line in version.lines}
    return [Written(line, _of_line(line, called)) for line in version.lines]


def _of_line(line: LineOut, called: Mapping[int, str]) -> dict[str, Hashable]:
    """The lines that a rule looks at count by their materials: their numbers shift."""
    rule: dict[str, Any] = line.derive.model_dump() if line.derive else {}
    if "of" in rule:
        rule["of"] = [called.get(number) for number in rule["of"]]
    amount = line.parts or line.percent
    return {
        "amount": None if amount is None else Decimal(amount),
        "basis": "rule" if line.derive else "parts" if line.parts else "percent",
        "rule": repr(rule),
        "stage": line.stage,
        "tolerance": _text(line.tolerance),
        "condition": line.condition,
    }


def _text(amount: Amount | None) -> str | None:
    return None if amount is None else f"{amount.value} {amount.unit}"


def _compared(pair: Pair[Written[T]]) -> dict[str, Any]:
    """Both sides as they stand, and the names of what is different in them."""
    changed = _changes(pair)
    return {
        "status": _status(pair, changed),
        "changed": changed,
        "left": pair.left and pair.left.row,
        "right": pair.right and pair.right.row,
    }


def _changes(pair: Pair[Written[T]]) -> list[str]:
    if pair.left is None or pair.right is None:
        return []
    before, after = pair.left.told, pair.right.told
    found = [name for name in before if before[name] != after[name]]
    return [*found, "order"] if pair.moved else found


def _status(pair: Pair[Written[T]], changed: Sequence[str]) -> Status:
    if pair.left is None:
        return "only right"
    if pair.right is None:
        return "only left"
    return "changed" if changed else "same"


def steps(left: VersionOut, right: VersionOut) -> list[ComparedStep]:
    """First those in which nothing changed, then those that do the same in the same stage."""
    found = pairs(
        [Written(step, _of_step(step)) for step in left.steps],
        [Written(step, _of_step(step)) for step in right.steps],
        lambda step: (step.row.do, step.whole),
        lambda step: (step.row.do, step.row.stage),
        lambda step: step.row.do,
    )
    return [
        ComparedStep.model_validate({"do": pair.either.row.do, **_compared(pair)}) for pair in found
    ]


def _of_step(step: StepOut) -> dict[str, Hashable]:
    return {
        "to": _text(step.to),
        "ramp": _text(step.ramp),
        "for": _text(step.for_),
        "until": step.until,
        "text": step.text,
        "stage": step.stage,
    }


def stages(left: VersionOut, right: VersionOut) -> list[ComparedStage]:
    """By name: a stage stands in a version once."""
    found = pairs(
        [Written(row, _of_stage(row)) for row in left.stages],
        [Written(row, _of_stage(row)) for row in right.stages],
        lambda stage: stage.row.stage,
    )
    return [
        ComparedStage.model_validate({"stage": pair.either.row.stage, **_compared(pair)})
        for pair in found
    ]


def _of_stage(row: StageOut) -> dict[str, Hashable]:
    losses = tuple((loss.cause, _text(loss.percent)) for loss in row.losses)
    return {"lasts": _text(row.lasts), "losses": losses, "remark": row.remark}
