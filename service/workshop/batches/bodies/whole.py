"""A batch shown by itself: with what was seen in its pot, and the goals it was brought to."""

from pydantic import Field

from service.web.fields import Figure, Out
from service.workshop.batches.bodies.events import DropOut, EventOut
from service.workshop.batches.bodies.plans import BatchOut
from service.workshop.batches.rules.goals import State


class GoalStands(Out):
    """A goal in short; the whole is at its own address."""

    adjustment: int
    label: str
    target: Figure
    material: str
    state: State
    last_read: Figure | None


class BatchShown(BatchOut):
    adjustments: list[GoalStands]
    events: list[EventOut] = Field(description="Those that stand, as they happened.")
    colour_ladder: list[DropOut] = Field(description="The rungs that stand.")
