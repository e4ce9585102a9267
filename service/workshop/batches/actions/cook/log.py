"""The cook log: a person's points, and the stream of a device that must never jam."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal

from sqlalchemy import insert

from service.errors import Invalid, Remedy, at
from service.office.audit.actions import note
from service.office.equipment.queries import equipment
from service.office.equipment.rules import UnknownEquipment
from service.office.people.queries import doer
from service.science import units
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import CookPoint
from service.workshop.batches.actions.cook.late_streams import judge_stream
from service.workshop.batches.actions.entries.desk import Desk, open_desk
from service.workshop.batches.actions.entries.devices import Timing as DeviceTiming
from service.workshop.batches.actions.entries.devices import keep_clock
from service.workshop.batches.actions.entries.late import judge
from service.workshop.batches.bodies.cook_log import (
    Behind,
    Clock,
    CookPointsIn,
    Point,
    SetAside,
    StreamIn,
    StreamStored,
)
from service.workshop.batches.point_digests import points_digest
from service.workshop.batches.rules import FROM_KETTLE, probe_reading
from service.workshop.batches.rules.clocks import Moment, behind

_MOST_SHOWN = 100  # rows that a remedy repeats
TimesFrom = Literal["age_s", "sent_at", "at", "arrival"]


def add_points(
    session: WriteSession, code: str, wanted: CookPointsIn
) -> tuple[Desk, list[CookPoint]]:
    """What someone read. Raises UnknownBatch, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    if wanted.temperature is not None:
        celsius = units.canonical(wanted.temperature)
        return desk, [keep_point(desk, celsius, remark=wanted.remark)]
    _check_order(wanted.points, wanted.rows, "rows")
    rows = []
    for point in wanted.points:
        celsius = probe_reading(point.temperature_c)[0] or Decimal(0)
        moment = Moment(point.clock) if point.clock else None
        rows.append(keep_point(desk.at(moment), celsius, remark=point.remark))
    return desk, rows


def _check_order(points: Sequence[Point], sent: Sequence[Any] | None, name: str) -> None:
    """A person's table whose times run backwards has a slip in it. Raises Invalid."""
    timed = [(clock, number) for number, point in enumerate(points) if (clock := point.clock)]
    slips = [place for before, (after, place) in pairwise(timed) if after < before[0]]
    if not slips:
        return
    wrong = f"Row {slips[0] + 1} is earlier than the row above it."
    hint = "Look at the times again, or send the rows in their order."
    ways: tuple[Remedy, ...] = ()
    if sent is not None and len(timed) == len(sent) <= _MOST_SHOWN:
        ordered = [sent[place] for _, place in sorted(timed)]
        ways = (Remedy("the rows are in no order, their times are right", {name: ordered}),)
    place = f"#/{name}/{slips[0]}"
    raise Invalid(wrong, at(place, wrong, "time-backwards", hint=hint, remedies=ways))


def keep_point(desk: Desk, celsius: Decimal, *, remark: str | None) -> CookPoint:
    row = CookPoint(
        kettle=desk.batch.kettle,
        batch=desk.batch.row_id,
        temperature_c=round(celsius, 3).normalize() + 0,  # as it is read back
        remark=remark,
        page=desk.page,
        **desk.stamp(),
    )
    desk.session.add(row)
    desk.session.flush()  # the log's last temperature is asked for in the same request
    judge(desk, row)
    return row


@dataclass(frozen=True)
class _Timing:
    """What the device's clock is worth."""

    now: datetime
    offset: timedelta | None
    times_from: TimesFrom

    def moment(self, point: Point) -> Moment:
        """An age needs no clock; a clock is put right by the offset found, and by that uncertain
        where the device may have started anew since."""
        if point.age_s is not None:
            return Moment(self.now - timedelta(seconds=max(0.0, float(point.age_s))))
        if point.clock is None:
            return Moment(self.now)
        if self.offset is None:
            return Moment(point.clock)
        about = abs(int(self.offset.total_seconds())) if self.times_from == "age_s" else None
        return Moment(point.clock + self.offset, about or None)

    def shown(self) -> Clock:
        if self.offset is None:
            return Clock(device_is=None, behind=None, times_from=self.times_from)
        seconds = self.offset.total_seconds()
        return Clock(
            device_is=self.now - self.offset,
            behind=Behind(value=str(round(seconds)), unit="s"),
            times_from=self.times_from,
        )


def _timing(wanted: StreamIn, now: datetime) -> _Timing:
    aged = [point for point in wanted.each if point.age_s is not None]
    pairs = [
        (point.clock, now - timedelta(seconds=float(point.age_s or 0)))
        for point in aged
        if point.clock is not None
    ]
    if aged:
        return _Timing(now, behind(pairs), "age_s")
    if wanted.sent_at is not None:
        return _Timing(now, now - wanted.sent_at.astimezone(UTC), "sent_at")
    timed = any(point.clock is not None for point in wanted.each)
    return _Timing(now, None, "at" if timed else "arrival")


def store_stream(session: WriteSession, kettle_code: str, wanted: StreamIn) -> StreamStored:
    """Keep what a logger sent: repeats are known, impossible rows are set aside with why.

    Raises UnknownEquipment, Invalid.
    """
    kettle = equipment(session, kettle_code)
    if kettle.kind != "kettle":
        raise UnknownEquipment(f"{kettle.code} is no kettle but a {kettle.kind}.")
    if wanted.device is None:
        name = "rows" if wanted.points is None else "points"
        _check_order(wanted.each, wanted.rows or wanted.points, name)
    timing = _timing(wanted, session.now)
    timed = [(point, timing.moment(point)) for point in wanted.each]
    in_kettle = occupant(session, kettle.code, [moment.at for _, moment in timed])
    common = {
        "kettle": kettle.code,
        "device": wanted.device,
        **stamp(session, by=doer(session, wanted.by), entered_from=FROM_KETTLE),
        "void": False,
    }
    rows = [
        {**common, **_row(point, moment, in_kettle(moment.at))}
        for point, moment in _new(session, wanted.device, timed)
    ]
    _insert(session, kettle.code, rows)
    keep_clock(session, wanted.device, DeviceTiming(timing.now, timing.offset, timing.times_from))
    judge_stream(session, rows, by=common["by"])
    last = in_kettle(max(moment.at for _, moment in timed))
    return _stored(wanted, timing, stored=len(rows), batch=last)


def occupant(
    session: WriteSession, kettle: str, times: Sequence[datetime]
) -> Callable[[datetime], queries.Batch | None]:
    """Tells whose a point of a kettle is, asking the database once for all of them."""
    windows = queries.windows(session, kettle, since=min(times), until=max(times))

    def found(at: datetime) -> queries.Batch | None:
        return next((window.batch for window in windows if window.covers(at)), None)

    return found


def _new(
    session: WriteSession, device: str | None, timed: Sequence[tuple[Point, Moment]]
) -> Iterator[tuple[Point, Moment]]:
    """Those not here yet; of a number sent twice the first."""
    if device is None:
        yield from timed
        return
    seqs = [point.seq for point, _ in timed if point.seq is not None]
    known = queries.known_seqs(session, device, seqs)
    for point, moment in timed:
        if point.seq is not None and point.seq not in known:
            known.add(point.seq)
            yield point, moment


def _row(point: Point, moment: Moment, batch: queries.Batch | None) -> dict[str, Any]:
    celsius, why = point.reading
    return {
        "batch": None if batch is None else batch.row_id,
        "seq": point.seq,
        "temperature_c": celsius,
        "remark": point.remark,
        "set_aside": why,
        "happened_at": moment.at,
        "about_seconds": moment.about_seconds,
    }


def _insert(session: WriteSession, kettle: str, rows: Sequence[dict[str, Any]]) -> None:
    """All rows at once, past the row objects, so the trail is told of them by their digest."""
    if not rows:
        return
    session.execute(insert(CookPoint), rows)
    after = {
        "rows": len(rows),
        "kettle": kettle,
        "device": rows[0]["device"],
        "log": None,
        "first_seq": rows[0]["seq"],
        "last_seq": rows[-1]["seq"],
        "points": points_digest(rows),
    }
    note(session, "made", kind="cook_points", subject=kettle, before=None, after=after)


def _of(timeless: int, wanted: StreamIn) -> str:
    """How many rows said no time, where some did."""
    return "" if timeless == len(wanted.each) else f", for {timeless} that say no time"


def _stored(
    wanted: StreamIn, timing: _Timing, *, stored: int, batch: queries.Batch | None
) -> StreamStored:
    judged = [(point.seq, point.reading[1]) for point in wanted.each]
    timeless = sum(point.age_s is None and point.at is None for point in wanted.each)
    aside = [SetAside(seq=seq, why=why) for seq, why in judged if why is not None]
    known = len(wanted.each) - stored
    where = f"joined {batch.code}" if batch else "waiting for the batch that names this kettle"
    return StreamStored(
        batch=batch.code if batch else None,
        stored=stored,
        known=known,
        set_aside=aside,
        last_seq=max((seq for seq, _ in judged if seq is not None), default=None),
        clock=timing.shown(),
        assumed={"at": f"now{_of(timeless, wanted)}"} if timeless else {},
        summary=f"{stored} stored, {known} known, {len(aside)} set aside; {where}.",
    )
