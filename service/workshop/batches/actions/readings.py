"""Readings in the pot: figures of the batch, whose method names the stage they end."""

from service.errors import Invalid, Remedy, at
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch
from service.workshop.batches.bodies.readings import BatchFigureIn
from service.workshop.batches.rules import read_after
from service.workshop.materials.actions import record_figure
from service.workshop.materials.queries import FigureRow


def record_reading(session: WriteSession, code: str, wanted: BatchFigureIn) -> FigureRow:
    """Raises UnknownBatch, Invalid for a stage that the batch does not go through."""
    batch = queries.batch(session, code)
    _check_stage(session, batch, wanted.stage)
    told = wanted.model_copy(update={"method": read_after(wanted.stage, wanted.method)})
    return record_figure(session, ("batch", batch.code), told)


def _check_stage(session: WriteSession, batch: Batch, stage: str | None) -> None:
    order = [name for name, _ in queries.stages(session, batch)]
    if stage is None or stage in order:
        return
    wrong = f"{batch.code} goes through no stage {stage}."
    hint = f"Its stages: {', '.join(order)}."
    ways = tuple(Remedy(f"it was read after {name}", {"stage": name}) for name in order)
    raise Invalid(wrong, at("#/stage", wrong, "stage-not-listed", hint=hint, remedies=ways))
