"""What a sheet cautions of, stage by stage, the most dangerous first."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from service.science.formulation import HOT
from service.science.rounding import plain
from service.workshop.batches._tables import BatchLine
from service.workshop.batches.bodies.plans import Caution
from service.workshop.batches.rules import POUR_MARGIN_K, danger

_OPEN_COOK = Caution(
    text="Lid and extinguisher within reach. Never leave a cooking kettle.", rule="open-cook"
)


def stage_cautions(
    stage: str, lines: Sequence[BatchLine], frozen: Sequence[Mapping[str, Any]]
) -> list[Caution]:
    """Those of a stage: of its pour, of the frozen scaling, and the one of every open cook. Of
    the pour the batch knows more than the scaling, so its own stands in the scaling's place."""
    found = {caution.rule: caution for caution in map(pour_caution, filter(is_pour, lines))}
    for each in frozen:
        if _is_of(each, stage, lines):
            caution = Caution(text=each["text"], rule=each["rule"], why=each.get("why"))
            found.setdefault(caution.rule, caution)
    if stage in HOT:
        found.setdefault(_OPEN_COOK.rule, _OPEN_COOK)
    return sorted(found.values(), key=lambda caution: danger(caution.rule))


def _is_of(caution: Mapping[str, Any], stage: str, lines: Sequence[BatchLine]) -> bool:
    """A scaling frozen before cautions had a stage names a line, or nothing."""
    if caution.get("stage") is not None:
        return bool(caution["stage"] == stage)
    if caution["line"] is None:
        return stage in HOT
    return any(line.do == "weigh" and line.line == caution["line"] for line in lines)


def is_pour(line: BatchLine) -> bool:
    """Whether a line was added to say how hot a solvent may be poured."""
    return line.do == "cool" and (line.figure is not None or line.to_c is None)


def pour_limit(line: BatchLine) -> Decimal | None:
    """The hottest that a cool line lets the kettle be at the pour."""
    if line.to_c is None or line.figure is None:
        return line.to_c
    return line.to_c + POUR_MARGIN_K


def pour_caution(line: BatchLine) -> Caution:
    """What is said beside a pour; without a limit it says what is missing, never a number."""
    limit = pour_limit(line)
    if limit is None:
        text = (
            "Off the heat, no flame. How hot it may be poured is undecided: the initial boiling "
            f"point of {line.until} is not known."
        )
    else:
        text = f"Off the heat, no flame, {plain(limit)} °C or below."
    return Caution(text=text, rule="solvent-into-hot-varnish")
