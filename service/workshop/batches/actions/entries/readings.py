"""Readings in the pot: figures of the batch, whose method names the stage they end."""

from service.errors import Invalid, Remedy, at
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.actions.entries.late import judge
from service.workshop.batches.bodies.readings import BatchFigureIn
from service.workshop.batches.queries.record.late import end_of
from service.workshop.batches.rules import read_after
from service.workshop.materials.actions import record_figure
from service.workshop.materials.queries import FigureRow


def record_reading(
    session: WriteSession, code: str, wanted: BatchFigureIn
) -> tuple[Desk, FigureRow]:
    """What is measured after the end is of what was made; what was read before it and comes now
    is late. Raises UnknownBatch, Invalid for a stage that the batch does not go through."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    _check_stage(session, desk.batch, wanted.stage)
    told = wanted.model_copy(update={"method": read_after(wanted.stage, wanted.method)})
    row = record_figure(session, ("batch", desk.batch.code), told)
    end = end_of(session, desk.batch)
    if end is not None and end.lies_after(row.happened_at, row.about_seconds):
        judge(desk, row)
    return desk, row


def _check_stage(session: WriteSession, batch: Batch, stage: str | None) -> None:
    order = [name for name, _ in queries.planned_stages(session, batch)]
    if stage is None or stage in order:
        return
    wrong = f"{batch.code} goes through no stage {stage}."
    hint = f"Its stages: {', '.join(order)}."
    ways = tuple(Remedy(f"it was read after {name}", {"stage": name}) for name in order)
    raise Invalid(wrong, at("#/stage", wrong, "stage-not-listed", hint=hint, remedies=ways))
