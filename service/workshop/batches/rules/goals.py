"""Goals that a pot is adjusted to: by which law an addition moves each, and how it stands: pure."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.errors import Conflict, NotFound
from service.science.adjusting import Adding, addition_to_target, counted_as
from service.science.blending import MixingRule, mixing_rule
from service.science.cup_equations import seconds_in_cup, viscosity_in_cup
from service.science.errors import ScienceError
from service.science.results import Standing
from service.science.rounding import plain, round_half_even

Adjustable = Literal[
    "flow_time", "kinematic_viscosity", "viscosity", "non_volatile", "density", "acid_value"
]
State = Literal[
    "unread", "reached", "read-again", "proposed", "undecided", "out-of-reach", "voided"
]
TIMED = "flow_time"
ACID = "acid_value"
ASSAY = "assay"
MASS = "mass"
# Two readings further apart than this are of two liquids, where how it flows is read.
_ALIKE_K = Decimal(1)


# By what it is known as what an addition counts.
By = Literal["figure", "alkali", "answer"]


class UnknownAdjustment(NotFound):
    slug = "adjustment-unknown"
    title = "The batch has no such adjustment"
    about = "Adjustments are numbered within their batch, from 1."


class BatchEnded(Conflict):
    slug = "batch-ended"
    title = "The batch has ended and is adjusted no longer"
    about = (
        "A goal is a plan, and what a batch made is a lot now. What went in before the end is "
        "recorded as a weighing; what is added to the lot makes a lot of its own."
    )


@dataclass(frozen=True, slots=True)
class Goal:
    """How a property is moved by an addition: the law, and which figure of what is added counts."""

    quantity: str  # as the table of mixing rules calls it
    law: str
    figure: str

    def rule(self, by: By) -> MixingRule:
        """The rule of the sum, how well it stands, and why."""
        found = mixing_rule(self.quantity)
        if by == "alkali":
            return found._replace(
                rule=f"acid taken up by equivalents, then {found.rule}",
                status=Standing.THEORETICAL.value,
                why="all of it must have reacted before the pot is read; water that leaves is not "
                "taken off",
            )
        if by == "answer":
            why = f"by a single answer of this pot, as near as that was read; {found.why}"
            return found._replace(status=Standing.APPROXIMATE.value, why=why)
        return found


GOALS: Mapping[str, Goal] = {
    TIMED: Goal("cup time", "logarithm", "kinematic_viscosity"),
    "kinematic_viscosity": Goal("viscosity", "logarithm", "kinematic_viscosity"),
    "viscosity": Goal("viscosity", "logarithm", "viscosity"),
    "non_volatile": Goal("non-volatile", "mean", "non_volatile"),
    "density": Goal("density", "reciprocal", "density"),
    ACID: Goal("acid value", "mean", "acid_value"),
}
FLOWS = frozenset({TIMED, "kinematic_viscosity", "viscosity"})


@dataclass(frozen=True, slots=True)
class Pot:
    """What a pot holds, and what it read."""

    mass_g: Decimal
    value: Decimal
    cup: str | None = None

    @property
    def mixed_as(self) -> Decimal:
        """The figure that is mixed: of a cup the viscosity, never the seconds."""
        return as_mixed(self.value, self.cup)


def as_mixed(value: Decimal, cup: str | None) -> Decimal:
    """Raises OutOfRange for seconds that the cup does not measure."""
    return value if cup is None else viscosity_in_cup(cup, value, "value")


def proposed(goal: Goal, pot: Pot, *, target: Decimal, added: Decimal) -> Adding:
    """What to add, the figures that the first part comes to as the pot is read.

    Raises OutOfRange where the target does not lie between, or the cup does not measure it.
    """
    aim = as_mixed(target, pot.cup)
    found = addition_to_target(pot.mass_g, pot.mixed_as, target=aim, added=added, law=goal.law)
    if pot.cup is None:
        return found
    first, last = found.first_from_value, found.first_to_value
    return found._replace(
        first_from_value=seconds_in_cup(pot.cup, first),
        first_to_value=seconds_in_cup(pot.cup, last),
    )


def answered(goal: Goal, before: Pot, *, after: Decimal, added_g: Decimal) -> Decimal | None:
    """As what the last addition counted, going by what the pot answered; None where that tells
    nothing."""
    try:
        return counted_as(
            before.mass_g,
            before.mixed_as,
            after=as_mixed(after, before.cup),
            added_g=added_g,
            law=goal.law,
        )
    except ScienceError:
        return None


def reached(value: Decimal, *, target: Decimal, within: Decimal) -> bool:
    """Whether a reading is as near to the goal as was asked; the edge is near enough."""
    return abs(value - target) <= within


def closed_percent(before: Decimal, now: Decimal, *, target: Decimal) -> Decimal | None:
    """How much of the way to the goal an addition went, in whole percent; more than 100 where it
    went beyond, below 0 where it led away. None where there was no way to go."""
    if before == target:
        return None
    return round_half_even(100 * (before - now) / (before - target), Decimal(1))


def unlike_warm(before_c: Decimal | None, now_c: Decimal | None) -> bool:
    """Whether two temperatures are known, and known to differ."""
    return before_c is not None and now_c is not None and abs(before_c - now_c) > _ALIKE_K


def warmth_note(before_c: Decimal | None, now_c: Decimal | None) -> str | None:
    """What is to be said of two readings of how a pot flows that were not taken alike warm."""
    if before_c is None or now_c is None or not unlike_warm(before_c, now_c):
        return None
    return (
        f"read at {_degrees(now_c)} °C, before at {_degrees(before_c)} °C: a varnish changes by 4 "
        "to 8 % for each degree, so read it alike warm"
    )


def figure_warmth_note(
    name: str, figure_c: Decimal | None, read_c: Decimal | None, *, by_figure: bool
) -> str | None:
    """What is to be said where the sum mixes figures of which nobody knows that they are alike
    warm, or of which that is known not to be so."""
    lacks = [f"{name} holds"] if by_figure and figure_c is None else []
    lacks += ["the pot was read"] if read_c is None else []
    if lacks:
        told = " and ".join(f"at which temperature {each}" for each in lacks)
        return f"it is not said {told}; the sum takes all that it mixes as alike warm"
    if figure_c is None or read_c is None or not unlike_warm(figure_c, read_c):
        return None
    return (
        f"{name} is of {_degrees(figure_c)} °C and the pot was read at {_degrees(read_c)} °C: the "
        f"sum takes both as alike warm, so read the pot at {_degrees(figure_c)} °C"
    )


def _degrees(celsius: Decimal) -> str:
    """A temperature with the digits that say something."""
    return plain(celsius.normalize() + 0)
