"""What a page lists beside its lines: what went in that none of them plans, and events."""

from collections.abc import Sequence
from typing import Any

from service.workshop.batches.actions.entries.desk import Place
from service.workshop.batches.actions.entries.weighings import Portion
from service.workshop.batches.bodies.events import EventAtIn
from service.workshop.batches.bodies.pages import BesideIn
from service.workshop.batches.rules import BESIDE_THE_PLAN
from service.workshop.batches.rules.resending import written


def beside(
    several: Sequence[BesideIn], number: int, checked_by: str | None
) -> tuple[Portion, Place]:
    """What went in beside the plan, with its place in the body."""
    one = several[number]

    def wrap(patch: dict[str, Any]) -> Any:
        sent = [written(each) for each in several]
        sent[number] = {**sent[number], **patch}
        return {"beside": sent}

    portion = Portion(
        one.read(one.weighed),
        line=BESIDE_THE_PLAN,
        material=one.material,
        lot=one.lot,
        balance=one.balance,
        checked_by=one.checked_by or checked_by,
        adjustment=one.adjustment,
    )
    return portion, Place(f"#/beside/{number}", wrap)


def event_place(events: Sequence[EventAtIn], number: int) -> Place:
    """Where an event of a page stands, and the list with a change of it written out."""

    def wrap(patch: dict[str, Any]) -> Any:
        sent = [written(each) for each in events]
        sent[number] = {**sent[number], **patch}
        return {"events": sent}

    return Place(f"#/events/{number}", wrap)
