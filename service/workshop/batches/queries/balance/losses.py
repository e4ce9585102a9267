"""The loss of a version as one batch measured it, and what is recorded of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlmodel import select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch
from service.workshop.batches.bodies.entries import WrittenFigure
from service.workshop.batches.queries.record import records
from service.workshop.batches.rules import loss_method, loss_percent
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties

LOSS = "loss"


@dataclass(frozen=True, slots=True)
class Measured:
    """The loss of a whole charge in percent, or why it cannot be worked out."""

    percent: Decimal | None
    lacks: str | None = None


def version_subject(batch: Batch) -> tuple[str, str]:
    """The version that a batch follows, as figures name it."""
    return "version", f"{batch.recipe}/{batch.version}"


def measured_loss(session: ReadSession, batch: Batch) -> Measured:
    """What was weighed in less what came out, in percent of what was weighed in."""
    out, entries = records.yield_of(session, batch), records.weighings(session, batch)
    if out is None:
        return Measured(None, "there is no yield")
    if not entries:
        return Measured(None, "nothing was weighed in")
    done = {entry.line for entry in entries}
    missing = [
        str(line.line)
        for line in records.lines(session, batch)
        if line.do == "weigh" and line.line not in done
    ]
    if missing:
        several = len(missing) > 1
        told = f"line{'s' if several else ''} {', '.join(missing)}"
        return Measured(None, f"{told} {'have' if several else 'has'} no weighing")
    charged = sum(entry.amount_mg for entry in entries)
    return Measured(loss_percent(charged, out.amount_mg))


def loss_figure(session: ReadSession, batch: Batch) -> FigureRow | None:
    """What stands as the loss that this batch measured."""
    kind, subject = version_subject(batch)
    found = select(FigureRow).where(
        FigureRow.subject_kind == kind,
        FigureRow.subject == subject,
        FigureRow.property == LOSS,
        FigureRow.method == loss_method(batch.code),
        standing(FigureRow),
    )
    return session.exec(found).first()


def shown_written(rows: Sequence[FigureRow]) -> list[WrittenFigure]:
    """Figures that an entry wrote, in short."""
    return [
        WrittenFigure(
            figure=row.number,
            subject=row.subject,
            property=row.property,
            label=properties()[row.property].label,
            value=row.entered_value,
            unit=row.entered_unit,
            basis=row.basis,
            void=row.void,
        )
        for row in rows
    ]
