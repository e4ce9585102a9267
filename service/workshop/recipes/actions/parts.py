"""The rows of a draft: lines, steps, stages, losses and proved bands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science import units
from service.science.units import Quantity
from service.store.session import WriteSession
from service.workshop.recipes._tables import Line, Loss, ProvedBand, StageRow, Step, Version
from service.workshop.recipes.bodies import VersionIn
from service.workshop.recipes.bodies.amounts import as_kept
from service.workshop.recipes.bodies.evidence import ProvedIn
from service.workshop.recipes.bodies.lines import LineIn
from service.workshop.recipes.bodies.stages import StageIn, StepIn


@dataclass(frozen=True, slots=True)
class PlannedStage:
    """A stage in its place: as it was sent, if it was, and its losses in percent by cause."""

    stage: str
    sent: StageIn | None
    losses: Mapping[str, Decimal]


def seconds(quantity: Quantity) -> int:
    return int(units.canonical(quantity).to_integral_value())


def _kept(quantity: Quantity | None) -> Decimal | None:
    """A value in its canonical unit, with the digits that a row keeps."""
    return None if quantity is None else as_kept(quantity)


def write_parts(
    session: WriteSession, row: Version, wanted: VersionIn, stages: Sequence[PlannedStage]
) -> None:
    """Write what belongs to a version."""
    for number, line in enumerate(wanted.lines, 1):
        session.add(_line(row, number, line))
    for number, step in enumerate(wanted.steps, len(wanted.lines) + 1):
        session.add(_step(row, number, step))
    for position, stage in enumerate(stages, 1):
        session.add(_stage(row, position, stage))
        for cause, percent in stage.losses.items():
            session.add(_loss(row, stage, cause=cause, percent=percent))
    for band in wanted.proved:
        session.add(_band(row, band))
    session.flush()  # the answer shows them


def _line(row: Version, number: int, line: LineIn) -> Line:
    rule = line.derive
    return Line(
        version=row.row_id,
        line=number,
        material=line.material,
        basis=line.basis,
        amount=line.amount,
        rule=rule.rule if rule else None,
        of_lines=tuple(str(each) for each in rule.looks_at) if rule else (),
        rule_on=getattr(rule, "on", None),
        excess=rule.beyond if rule else None,
        stage=line.stage or "cook",
        tolerance=_kept(line.tolerance),
        condition=line.sign,
    )


def _step(row: Version, number: int, step: StepIn) -> Step:
    at_c = step.heat or step.cool
    lasts = step.hold or step.wait
    return Step(
        version=row.row_id,
        line=number,
        stage=step.own_stage,
        do=step.do,
        to_c=_kept(at_c),
        seconds=None if lasts is None else seconds(lasts),
        ramp_k_min=_kept(step.ramp),
        until=step.strain or step.note or step.check or step.until,
    )


def _stage(row: Version, position: int, stage: PlannedStage) -> StageRow:
    sent = stage.sent
    return StageRow(
        version=row.row_id,
        position=position,
        stage=stage.stage,
        seconds=seconds(sent.lasts) if sent and sent.lasts else None,
        remark=sent.remark if sent else None,
    )


def _loss(row: Version, stage: PlannedStage, *, cause: str, percent: Decimal) -> Loss:
    return Loss(version=row.row_id, stage=stage.stage, cause=cause, percent=percent)


def _band(row: Version, band: ProvedIn) -> ProvedBand:
    low, high = band.band()
    return ProvedBand(
        version=row.row_id,
        material=band.material,
        property=band.property,
        low=as_kept(low),
        high=as_kept(high),
    )
