"""From when on what a batch made is ripe: as its maturing says, else as the recipe plans it."""

from datetime import date, datetime, timedelta

from service.office.workshop_card.queries import zone
from service.workshop.batches import queries
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.queries.stages.stages import MATURE
from service.workshop.stock import actions as stock_actions


def planned_ripe(desk: Desk, since: datetime) -> date | None:
    """The day on which maturing that began then is over by the recipe; None where it plans none."""
    for stage, listed in queries.planned_stages(desk.session, desk.batch):
        if stage == MATURE and listed is not None and listed.seconds:
            over = since + timedelta(seconds=listed.seconds)
            return over.astimezone(zone(desk.session)).date()
    return None


def ripe_on(desk: Desk) -> date | None:
    """The day for the lot that is made now."""
    worked = queries.stages(desk.session, desk.batch)
    if any(one.stage == MATURE for one in worked):
        return queries.ready_on(desk.session, desk.batch)
    return planned_ripe(desk, desk.moment.at)


def settle_ready_on(desk: Desk) -> None:
    """Restate it for a lot that is made already, once a stage of maturing says another day."""
    made = queries.made_lot(desk.session, desk.batch)
    if made is not None:
        stock_actions.set_ready_on(desk.session, made, queries.ready_on(desk.session, desk.batch))
