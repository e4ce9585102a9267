"""A pot is adjusted: a goal is set, the pot read, something added, the pot read again."""

from typing import Any

from pydantic_core import PydanticCustomError

from service.errors import Invalid, Remedy, at
from service.science import units
from service.science.units import Quantity
from service.store.columns import nine_places
from service.store.session import WriteSession
from service.web.fields import refused_at
from service.workshop.batches import queries
from service.workshop.batches._tables_pot import Adjustment, AdjustmentReading
from service.workshop.batches.actions.amending.allowed import amended
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.entries.desk import Desk, Place, open_desk
from service.workshop.batches.actions.entries.late import judge
from service.workshop.batches.actions.entries.weighings import Portion, Weighed, record_weighing
from service.workshop.batches.bodies.adjustments import (
    AdditionIn,
    AdjustmentCorrection,
    AdjustmentIn,
    AdjustmentReadingIn,
    AdjustmentReplacement,
    ReadIn,
    check_timed,
    read_band,
    read_value,
)
from service.workshop.batches.rules import ENDED, WrongMaterial
from service.workshop.batches.rules.goals import MASS, BatchEnded, UnknownAdjustment
from service.workshop.batches.rules.netting import Read
from service.workshop.materials import actions as materials_actions
from service.workshop.materials import queries as materials
from service.workshop.materials.bodies import FigureIn
from service.workshop.stock import queries as stock


def open_adjustment(
    session: WriteSession, code: str, wanted: AdjustmentIn
) -> tuple[Desk, Adjustment]:
    """Set a goal. Raises UnknownBatch, BatchEnded, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    _check_open(desk)
    material = materials.named_in_body(session, wanted.material, pointer="#/material")
    row = Adjustment(
        batch=desk.batch.row_id,
        number=queries.next_adjustment(session, desk.batch),
        property=wanted.property,
        **_band(
            read_value(wanted.target, wanted.property, "target"),
            read_band(wanted.within, wanted.property),
        ),
        material=material.code,
        cup=wanted.cup,
        method=wanted.method or f"flow cup {wanted.cup}",
        **desk.stamp(),
    )
    session.add(row)
    session.flush()  # readings are read back with it
    judge(desk, row)
    if wanted.reading is not None:
        _keep_reading(desk, row, wanted.reading)
    return desk, row


def _check_open(desk: Desk) -> None:
    """A goal set before the end may still be told of; one set after it is a plan of nothing."""
    end = queries.span(desk.session, desk.batch)
    ended = end.end if end is not None else None
    if desk.batch.state in ENDED and (ended is None or desk.moment.at > ended):
        raise BatchEnded(f"{desk.batch.code} is {desk.batch.state}.")


def _band(target: Quantity, within: Quantity) -> dict[str, Any]:
    return {
        "target": nine_places(units.canonical(target)),
        "within": nine_places(units.canonical(within)),
        "target_entered": str(target),
        "within_entered": str(within),
    }


def add_reading(
    session: WriteSession, code: str, number: int, wanted: AdjustmentReadingIn
) -> tuple[Desk, Adjustment]:
    """The pot read again. Raises UnknownBatch, UnknownAdjustment, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    row = queries.adjustment(session, desk.batch, number)
    try:
        wanted.read(row.property)
    except PydanticCustomError as error:
        raise refused_at(error, "#") from None
    _keep_reading(desk, row, wanted)
    return desk, row


def _keep_reading(desk: Desk, row: Adjustment, wanted: ReadIn) -> None:
    """A figure of the batch, as all that is read of it; what the pot weighed is another."""
    if wanted.mass is not None:
        _keep_figure(desk, MASS, str(wanted.mass), method="the pot weighed")
    figure = _keep_figure(
        desk,
        row.property,
        str(wanted.read(row.property)),
        method=row.method,
        temperature=wanted.temperature,
    )
    link = AdjustmentReading(batch=desk.batch.row_id, adjustment=row.number, figure=figure.row_id)
    desk.session.add(link)
    desk.session.flush()  # the answer follows the readings


def _keep_figure(desk: Desk, name: str, value: str, **more: Any) -> materials.FigureRow:
    wanted = FigureIn(
        property=name,
        value=value,
        basis="measured",
        dated=desk.day,
        by=desk.by,
        happened_at=desk.moment.at,
        **more,
    )
    subject = ("batch", desk.batch.code)
    figure = materials_actions.record_figure(desk.session, subject, wanted)
    judge(desk, figure)
    desk.figures.append(figure)
    return figure


def check_adjustment(desk: Desk, number: int | None, *, pointer: str) -> None:
    """Raises Invalid for the number of a goal that the batch has not."""
    if number is None:
        return
    try:
        queries.adjustment(desk.session, desk.batch, number)
    except UnknownAdjustment as missing:
        there = [row.number for row in queries.adjustments(desk.session, desk.batch)]
        hint = f"There are: {', '.join(map(str, there))}." if there else "Leave it out."
        faults = at(pointer, missing.detail, missing.slug, hint=hint)
        raise Invalid(missing.detail, faults) from None


def add_addition(
    session: WriteSession, code: str, number: int, wanted: AdditionIn
) -> tuple[Desk, Adjustment, Weighed]:
    """What went in for the goal. Raises UnknownBatch, UnknownAdjustment, WrongMaterial, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    row = queries.adjustment(session, desk.batch, number)
    portion = Portion(
        Read(wanted.amount),
        material=_went_in(desk, row, wanted),
        lot=wanted.lot,
        balance=wanted.balance,
        checked_by=wanted.checked_by,
        adjustment=row.number,
    )
    found = record_weighing(desk, portion, Place())
    measure_loss(desk)
    return desk, row, found


def _went_in(desk: Desk, row: Adjustment, wanted: AdditionIn) -> str:
    """The material of the goal, or the one of the lot that is named, where it was meant."""
    if wanted.lot is None:
        return row.material
    lot = stock.lot_in_body(desk.session, wanted.lot, pointer="#/lot")
    if lot.material == row.material:
        return row.material
    if wanted.substitute:
        text = f"{lot.material} in place of {row.material}, for adjustment {row.number}."
        desk.deviate("substitute", text)
        return lot.material
    open_ones = stock.open_lots(desk.session, row.material)[:3]
    slips = [
        Remedy(f"the pen slipped: it came from {each.lot.number}", {"lot": each.lot.number})
        for each in open_ones
    ]
    then = "Kept as it happened; opens a deviation that release must conclude."
    fact = Remedy(f"{lot.material} really went in", {"substitute": True}, then)
    wrong = f"Adjustment {row.number} adds {row.material}; {lot.number} is {lot.material}."
    faults = at("#/lot", wrong, "wrong-material", remedies=(*slips, fact))
    raise WrongMaterial(f"Nothing was written. {wrong}", faults)


def correct_adjustment(
    session: WriteSession, code: str, number: int, wanted: AdjustmentCorrection
) -> tuple[Desk, Adjustment]:
    """The goal put right or given up. Raises UnknownBatch, UnknownAdjustment, AlreadyCorrected,
    ScopeNeeded, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=None)
    old = queries.adjustment(session, desk.batch, number)
    changes = {} if wanted.replaces is None else _changes(desk, old, wanted.replaces)
    return desk, amended(desk, old, wanted, changes)


def _or(sent: Any, kept: str) -> Any:
    return kept if sent is None else sent


def _changes(desk: Desk, old: Adjustment, wanted: AdjustmentReplacement) -> dict[str, Any]:
    if wanted.material is not None:
        materials.named_in_body(desk.session, wanted.material, pointer="#/replaces/material")
    try:
        target = read_value(_or(wanted.target, old.target_entered), old.property, "target")
        within = read_band(_or(wanted.within, old.within_entered), old.property)
        if old.cup is not None:
            check_timed(old.cup, target, "target")
    except PydanticCustomError as error:
        raise refused_at(error, "#/replaces") from None
    kept = {name: getattr(wanted, name) for name in ("material", "method")}
    said = {name: value for name, value in kept.items() if value is not None}
    return {**_band(target, within), **said}
