"""Stages as they are worked: begun, weighed, taken out of, ended; days and weeks long."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.equipment.queries import in_body, of_kind, only
from service.office.people.queries import doer
from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.columns import nine_places
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables_stages import StageBegun, StageEntry
from service.workshop.batches.actions.ending.process import judge_stage
from service.workshop.batches.actions.entries.calibration import check_calibration
from service.workshop.batches.actions.entries.desk import Desk, begin, open_desk
from service.workshop.batches.actions.entries.late import judge
from service.workshop.batches.actions.stages.by_products import keep_lot, settle_origins
from service.workshop.batches.actions.stages.ripening import planned_ripe, settle_ready_on
from service.workshop.batches.bodies.stages import OutIn, StageEntryIn, StageIn, WeighInIn
from service.workshop.batches.queries.record import late
from service.workshop.batches.queries.stages.stages import MATURE
from service.workshop.batches.rules import StageEnded
from service.workshop.batches.rules.clocks import Moment
from service.workshop.batches.rules.stage_times import backwards
from service.workshop.stock.actions.times import check_past


@dataclass
class Working:
    """A stage at a desk: who checks its entries, and what was filled in."""

    desk: Desk
    row: StageBegun
    checked_by: str | None = None
    assumed: dict[str, Any] = field(default_factory=dict)


def begin_stage(session: WriteSession, code: str, wanted: StageIn) -> Working:
    """A stage, with all that is told of it. Raises UnknownBatch, Invalid."""
    when = wanted.started_at
    desk = open_desk(session, code, by=wanted.by, happened_at=when, field="started_at")
    check_past(session, wanted.ended_at, field="ended_at")
    _check_order(desk.moment.at, wanted.weigh_ins, wanted.ended_at, name="ended_at")
    for place, name in enumerate(wanted.equipment):
        in_body(session, name, pointer=f"#/equipment/{place}")
    _check_person(session, wanted.checked_by)
    assumed: dict[str, Any] = {}
    balance = _balance(desk, wanted.balance, assumed, "#/balance") if wanted.in_ else None
    begin(desk)
    row = StageBegun(
        batch=desk.batch.row_id,
        number=queries.next_number(session, desk.batch),
        stage=wanted.stage,
        in_mg=whole(wanted.in_),
        **entered(wanted.in_),
        balance=balance,
        equipment=tuple(wanted.equipment),
        checked_by=wanted.checked_by,
        constant_percent=percent_of(wanted.constant_within),
        ready_on=_ready_on(desk, wanted, assumed),
        remark=wanted.remark,
        **desk.stamp(),
    )
    working = Working(desk, row, wanted.checked_by, assumed)
    _keep(working, row)
    _flag_unplanned(working)
    check_calibration(desk, (*row.equipment, row.balance))
    then = desk.at(Moment(wanted.ended_at or session.now))
    _enter(working, then, wanted.weigh_ins, wanted.out)
    _close(working, then, ended=wanted.ended_at is not None)
    return working


def go_on(session: WriteSession, code: str, number: int, wanted: StageEntryIn) -> Working:
    """How a stage went on. Raises UnknownBatch, UnknownBatchStage, StageEnded, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    row = queries.begun(session, desk.batch, number)
    untold = any(each.at is None for each in wanted.weigh_ins)
    until = desk.moment.at if wanted.ended or wanted.out or untold else None
    _check_order(row.happened_at, wanted.weigh_ins, until, name="happened_at")
    _check_person(session, wanted.checked_by)
    if wanted.ended and queries.stage(session, desk.batch, number).end is not None:
        way = f"Correct its end: GET /v1/batches/{desk.batch.code}/stages/{number} names the entry."
        raise StageEnded(f"Stage {number} of {desk.batch.code} ended before. {way}")
    working = Working(desk, row, wanted.checked_by)
    _enter(working, desk, wanted.weigh_ins, wanted.out)
    _close(working, desk, ended=wanted.ended, remark=wanted.remark)
    return working


def _check_order(
    start: datetime, weigh_ins: Sequence[WeighInIn], until: datetime | None, *, name: str
) -> None:
    """Raises Invalid where time runs backwards, or a stage ends before it began."""
    told = [(place, each.at) for place, each in enumerate(weigh_ins) if each.at is not None]
    times = [start, *(when for _, when in told), *([until] if until else [])]
    place = backwards(times)
    if place is None:
        return
    before, wrong_one = (times[place - 1].isoformat(), times[place].isoformat())
    wrong = f"{wrong_one} lies before {before}; time runs one way."
    if place > len(told):
        hint = "Send when it really was, or correct when the stage began."
        swap = {"started_at": wrong_one, "ended_at": before}
        swapped = name == "ended_at" and not told
        ways = (Remedy("beginning and end were swapped", swap),) if swapped else ()
        raise Invalid(wrong, at(f"#/{name}", wrong, "time-backwards", hint=hint, remedies=ways))
    sent = f"#/weigh_ins/{told[place - 1][0]}/at"
    raise Invalid(wrong, at(sent, wrong, "time-backwards", remedies=_sorted(start, weigh_ins)))


def _sorted(start: datetime, weigh_ins: Sequence[WeighInIn]) -> tuple[Remedy, ...]:
    """The same weigh-ins as they followed one another, where that can be said of all of them."""
    if any(each.at is None or each.at < start for each in weigh_ins):
        return ()
    in_order = sorted(weigh_ins, key=lambda each: each.at or start)
    sent = [_as_sent(each) for each in in_order]
    return (Remedy("they were written down in another order", {"weigh_ins": sent}),)


def _as_sent(each: WeighInIn) -> dict[str, str]:
    told = {
        "at": None if each.at is None else each.at.isoformat(),
        "amount": str(each.amount),
        "balance": each.balance,
        "remark": each.remark,
    }
    return {name: value for name, value in told.items() if value is not None}


def _check_person(session: WriteSession, code: str | None) -> None:
    if code is not None:
        doer(session, code, pointer="#/checked_by")


def entered(amount: Quantity | None) -> dict[str, Any]:
    """A mass with the digits it was entered with."""
    return {
        "entered_value": None if amount is None else plain(amount.value),
        "entered_unit": None if amount is None else amount.unit,
    }


def percent_of(share: Quantity | None) -> Any:
    return None if share is None else nine_places(units.canonical(share))


def _balance(desk: Desk, named: str | None, assumed: dict[str, Any], pointer: str) -> str | None:
    """The balance named, else the last used in this batch or at all, else the only one."""
    session = desk.session
    if named is not None:
        return of_kind(session, named, "balance", pointer=pointer).code
    there = only(session, "balance")
    found = (
        queries.last_balance(session, desk.batch)
        or queries.last_balance(session, None)
        or (there.code if there else None)
    )
    if found:
        assumed["balance"] = found
    return found


def _ready_on(desk: Desk, wanted: StageIn, assumed: dict[str, Any]) -> date | None:
    """The day stated, else as long as the recipe says that it matures."""
    if wanted.ready_on is not None or wanted.stage != MATURE:
        return wanted.ready_on
    found = planned_ripe(desk, desk.moment.at)
    if found is not None:
        assumed["ready_on"] = found.isoformat()
    return found


def _keep(working: Working, row: StageBegun | StageEntry) -> None:
    """Written, and judged where it comes after the end; maturing may well begin after it."""
    desk = working.desk
    desk.session.add(row)
    desk.session.flush()  # its key is its name, and what stands is read from the database
    end = late.end_of(desk.session, desk.batch)
    ripens = working.row.stage == MATURE and end is not None
    if end is None or (ripens and not end.lies_after(row.happened_at, row.about_seconds)):
        return
    judge(desk, row)


def _flag_unplanned(working: Working) -> None:
    desk, stage = working.desk, working.row.stage
    planned = [name for name, _ in queries.planned_stages(desk.session, desk.batch)]
    if stage not in planned:
        text = f"Stage {working.row.number}, {stage}, is none of the plan: {', '.join(planned)}."
        desk.deviate("stage-unplanned", text)


def _enter(
    working: Working, then: Desk, weigh_ins: Sequence[WeighInIn], out: Sequence[OutIn]
) -> None:
    """What was weighed and what came out, each at its time."""
    for place, each in enumerate(weigh_ins):
        own = then.at(None if each.at is None else Moment(each.at))
        pointer = f"#/weigh_ins/{place}"
        _write(working, own, "weigh-in", each, pointer=pointer)
    for place, part in enumerate(out):
        pointer = f"#/out/{place}"
        lot = None
        if part.material is not None:
            mg = whole(part.amount) or 0
            lot = keep_lot(then, part.material, mg, pointer=f"{pointer}/material").row_id
        goes = {"part": part.part, "goes": part.destination, "lot": lot}
        if part.goes is None:
            working.assumed["goes"] = part.destination
        _write(working, then, "out", part, pointer=pointer, **goes)


def _write(
    working: Working,
    then: Desk,
    kind: str,
    each: WeighInIn | OutIn,
    *,
    pointer: str,
    **more: Any,
) -> None:
    balance = _balance(then, each.balance, working.assumed, f"{pointer}/balance")
    row = StageEntry(
        batch=then.batch.row_id,
        number=working.row.number,
        kind=kind,
        amount_mg=whole(each.amount),
        **entered(each.amount),
        balance=balance,
        checked_by=working.checked_by,
        remark=each.remark,
        **more,
        **then.stamp(),
    )
    _keep(working, row)
    check_calibration(then, (balance,))


def _close(working: Working, then: Desk, *, ended: bool, remark: str | None = None) -> None:
    """The end, where it came; and what follows of all that was entered."""
    if ended:
        row = StageEntry(
            batch=then.batch.row_id,
            number=working.row.number,
            kind="end",
            checked_by=working.checked_by,
            remark=remark,
            **then.stamp(),
        )
        _keep(working, row)
    follow_stage(then, working.row)


def follow_stage(desk: Desk, row: StageBegun) -> None:
    """What is derived of a stage, after anything of it was entered or corrected."""
    settle_origins(desk)
    if row.stage == MATURE:
        settle_ready_on(desk)
    if not row.void:
        judge_stage(desk, row.number)
