"""What a complete batch tells of its version: the loss, measured, kept true when entries change."""

from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.workshop.batches import queries
from service.workshop.batches._tables import Transition
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.stages.by_products import settle_origins
from service.workshop.batches.rules import loss_method
from service.workshop.batches.rules.clocks import Moment
from service.workshop.deviations.bodies import Flag
from service.workshop.materials import actions as materials
from service.workshop.materials.bodies import FigureCorrection, FigureIn
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import figure_problem, properties

_CHANGED = "what was weighed in, or the yield, was corrected"


def measure_loss(desk: Desk, reason: str | None = None) -> None:
    """Write, correct or void the loss of the version as this batch measured it.

    The batch happened as it did, so where no figure can be written a flag says why.
    """
    settle_origins(desk)
    if desk.batch.state != "complete":
        return
    found = queries.measured_loss(desk.session, desk.batch)
    wrong = found.lacks
    if found.percent is not None:
        wrong = figure_problem(properties()[queries.LOSS], _quantity(plain(found.percent)))
    if wrong is not None:
        text = f"The loss of the version is not recorded from this batch: {wrong.rstrip('.')}."
        desk.flags.append(Flag(code="loss-not-measured", text=text))
    value = None if wrong is not None or found.percent is None else plain(found.percent)
    row = _write(desk, value, reason or _CHANGED)
    if row is not None:
        desk.figures.append(row)


def _write(desk: Desk, value: str | None, reason: str) -> FigureRow | None:
    """The figure as it must stand; None where nothing had to be written."""
    session, old = desk.session, queries.loss_figure(desk.session, desk.batch)
    if old is None:
        return None if value is None else _record(desk, value)
    now = None if value is None else _figure(desk, value)
    if now is not None and (_quantity(value or "").value, now.dated) == (old.value, old.dated):
        return None
    wanted = FigureCorrection(
        replaces=now,
        void=value is None,
        reason=reason[:200],
        by=desk.by,
    )
    return materials.correct_figure(session, old.number, wanted)


def _record(desk: Desk, value: str) -> FigureRow:
    subject = queries.version_subject(desk.batch)
    return materials.record_figure(desk.session, subject, _figure(desk, value))


def _figure(desk: Desk, value: str) -> FigureIn:
    """Measured when the batch was completed, whenever it is written."""
    ended = _completion(desk)
    return FigureIn(
        property=queries.LOSS,
        value=value,
        unit="%",
        basis="measured",
        method=loss_method(desk.batch.code),
        dated=desk.at(Moment(ended.happened_at)).day,
        by=desk.by,
        happened_at=ended.happened_at,
    )


def _completion(desk: Desk) -> Transition:
    moves = queries.transitions(desk.session, desk.batch)
    return next(move for move in moves if move.to_state == "complete")


def _quantity(value: str) -> Quantity:
    return units.quantity(value, "%", "fraction")
