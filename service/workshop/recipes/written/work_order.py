"""The stages of the work in their order, and what each may lose: pure."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from service.science.formulation import OXYGEN, STAGES

# What a loss in short is a loss of; in short a gain is oxygen taken up.
SHORT = {"loss_cook": ("cook", "fumes"), "loss_strain": ("strain", "straining")}
_TAKE_WATER = frozenset({"wash", "precipitate"})


def in_usual_order(stages: Iterable[str]) -> list[str]:
    """Stages, each once, in the usual order of the work."""
    return sorted(set(stages), key=STAGES.index)


def with_stages(listed: Sequence[str], wanted: Iterable[str]) -> list[str]:
    """A list of stages with those wanted beside them, each before the first that usually comes
    after it."""
    found = list(listed)
    for stage in in_usual_order(set(wanted) - set(listed)):
        later = (n for n, held in enumerate(found) if STAGES.index(held) > STAGES.index(stage))
        found.insert(next(later, len(found)), stage)
    return found


def short_cause(field: str, percent: Decimal) -> tuple[str, str]:
    """The stage and the cause of a loss that was sent in short."""
    stage, cause = SHORT[field]
    return stage, OXYGEN if percent < 0 else cause


def loss_problem(stage: str, cause: str, percent: Decimal) -> str | None:
    """Why a stage cannot lose or gain this, or None."""
    if cause == OXYGEN:
        return "oxygen is taken up, never lost" if percent > 0 else None
    if percent >= 0 or (cause == "water" and stage in _TAKE_WATER):
        return None
    return f"nothing is gained by {cause} in {stage}"


def later_than(line: int, stage: str, *, of: Mapping[int, str], order: Sequence[str]) -> list[int]:
    """Which of these lines (their stages by number) are not in the pot yet when a line goes in."""
    own = (order.index(stage), line)
    return [number for number, its in of.items() if (order.index(its), number) >= own]
