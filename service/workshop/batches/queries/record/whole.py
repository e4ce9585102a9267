"""A batch as it is shown by itself."""

from service.store.session import ReadSession
from service.workshop.batches._tables import Batch
from service.workshop.batches.bodies.whole import BatchShown, GoalStands
from service.workshop.batches.queries.pot.adjustments import adjustments
from service.workshop.batches.queries.pot.events import (
    colour_ladder,
    events,
    shown_drops,
    shown_events,
)
from service.workshop.batches.queries.pot.shown_adjustments import shown_adjustment
from service.workshop.batches.queries.record.shown import shown


def shown_whole(session: ReadSession, batch: Batch) -> BatchShown:
    """A batch with the goals it was brought to and what was seen in its pot."""
    plain = shown(session, batch)
    return BatchShown(
        **plain.model_dump(),
        adjustments=_goals(session, batch),
        events=list(shown_events(session, batch, events(session, batch)).values()),
        colour_ladder=list(shown_drops(session, batch, colour_ladder(session, batch)).values()),
    )


def _goals(session: ReadSession, batch: Batch) -> list[GoalStands]:
    every = [shown_adjustment(session, batch, row) for row in adjustments(session, batch)]
    return [
        GoalStands(
            adjustment=goal.adjustment,
            label=goal.label,
            target=goal.target,
            material=goal.material,
            state=goal.state,
            last_read=goal.steps[-1].read if goal.steps else None,
        )
        for goal in every
    ]
