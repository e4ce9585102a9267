"""Files of loggers: taken in at once, known when they come again, corrected as a whole."""

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import insert
from sqlmodel import select

from service.office.audit.actions import note
from service.office.equipment.queries import equipment
from service.office.equipment.rules import UnknownEquipment
from service.office.people.queries import doer
from service.store.records import Amends, amend, stamp
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, CookLog, CookPoint
from service.workshop.batches.actions.amending.allowed import check_may_correct
from service.workshop.batches.actions.cook.log import occupant
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.devices import Timing, keep_clock
from service.workshop.batches.actions.entries.late import follow, judge
from service.workshop.batches.bodies.cook_files import CookLogCorrectionIn, LogForm
from service.workshop.batches.logger.files import LogFile, LogRow
from service.workshop.batches.point_digests import points_digest
from service.workshop.batches.queries.cook import files as cook_files
from service.workshop.batches.rules import FROM_FILE, FROM_KETTLE
from service.workshop.batches.rules.clocks import Moment
from service.workshop.deviations.bodies import Flag

Placed = Callable[[datetime], Batch | None]
Timed = tuple[LogRow, datetime]  # a row, and when it really was


@dataclass
class Taken:
    """A file as it was taken in, or as it stood already."""

    log: CookLog
    new: bool
    batches: set[int] = field(default_factory=set)
    flags: list[Flag] = field(default_factory=list)


@dataclass(frozen=True)
class _Place:
    """Where the points of a file belong."""

    kettle: str | None
    batch: Batch | None

    @property
    def batch_id(self) -> int | None:
        return None if self.batch is None else self.batch.row_id

    def owner(self, session: WriteSession, times: Sequence[datetime]) -> Placed:
        """Tells whose a point is: the batch that was named, or whose kettle it was."""
        if self.batch is not None or self.kettle is None:
            return lambda _: self.batch
        return occupant(session, self.kettle, times)


def to_kettle(session: WriteSession, code: str, file: LogFile, form: LogForm) -> Taken:
    """Take in a file at a kettle's address. Raises UnknownEquipment, Invalid."""
    kettle = equipment(session, code)
    if kettle.kind != "kettle":
        raise UnknownEquipment(f"{kettle.code} is no kettle but a {kettle.kind}.")
    return _taken(session, _Place(kettle.code, None), file, form)


def to_batch(session: WriteSession, code: str, file: LogFile, form: LogForm) -> Taken:
    """Take in a file for a batch. Raises UnknownBatch, Invalid."""
    batch = queries.batch(session, code)
    return _taken(session, _Place(batch.kettle, batch), file, form)


def _taken(session: WriteSession, place: _Place, file: LogFile, form: LogForm) -> Taken:
    read_as = json.dumps(form.stated(), ensure_ascii=False, sort_keys=True)
    found = cook_files.same_file(
        session, file.sha256, read_as, kettle=place.kettle, batch=place.batch_id
    )
    if found is not None:
        return Taken(found, new=False)
    offset = None if form.sent_at is None else session.now - form.sent_at.astimezone(UTC)
    keep_clock(session, form.device, Timing(session.now, offset, "sent_at"))
    rows = [(row, row.at + (offset or timedelta())) for row in file.rows]
    fresh = _fresh(session, place, rows, form.device)
    log = CookLog(
        kettle=place.kettle,
        batch=place.batch_id,
        device=form.device,
        sha256=file.sha256,
        read_as=read_as,
        rows=file.count,
        known=len(rows) - len(fresh),
        first_at=rows[0][1],
        last_at=rows[-1][1],
        times_from="at" if offset is None else "sent_at",
        behind_ms=None if offset is None else round(offset / timedelta(milliseconds=1)),
        **_counted(fresh),
        **stamp(session, by=doer(session, form.by), happened_at=rows[0][1], entered_from=FROM_FILE),
    )
    session.add(log)
    session.flush()  # its points name it
    return _stored(session, log, fresh, place.owner(session, [at for _, at in rows]))


def _counted(fresh: Sequence[Timed]) -> dict[str, Any]:
    return {"stored": len(fresh), "set_aside": sum(row.why is not None for row, _ in fresh)}


def _stored(session: WriteSession, log: CookLog, fresh: Sequence[Timed], owner: Placed) -> Taken:
    """The points of a log with whose they are, and what must be judged of them."""
    points = [_point(log, row, at, owner(at)) for row, at in fresh]
    _insert(session, log, points)
    taken = Taken(log, new=True, batches=_joined(points))
    for desk in _desks(session, taken.batches, log):
        judge(desk, log)
        taken.flags += desk.flags
    return taken


def _fresh(
    session: WriteSession,
    place: _Place,
    rows: Sequence[Timed],
    device: str | None,
) -> list[Timed]:
    """Those not here yet: by their numbers, else by their instant and temperature."""
    if device is not None and rows[0][0].seq is not None:
        numbers = [row.seq for row, _ in rows if row.seq is not None]
        known = queries.known_seqs(session, device, numbers)
        return [(row, at) for row, at in rows if row.seq not in known]
    there = cook_files.readings_there(
        session,
        kettle=place.kettle,
        batch=place.batch_id,
        device=device,
        since=rows[0][1],
        until=rows[-1][1],
    )
    return [(row, at) for row, at in rows if (at, row.celsius) not in there]


def _point(log: CookLog, row: LogRow, at: datetime, batch: Batch | None) -> dict[str, Any]:
    return {
        "kettle": log.kettle,
        "batch": None if batch is None else batch.row_id,
        "device": log.device,
        "seq": row.seq,
        "temperature_c": row.celsius,
        "remark": row.remark,
        "set_aside": row.why,
        "log": log.row_id,
        "by": log.by,
        "happened_at": at,
        "entered_at": log.entered_at,
        "entered_from": FROM_FILE if log.batch is not None else FROM_KETTLE,
        "about_seconds": None,
        "void": False,
    }


def _insert(session: WriteSession, log: CookLog, points: Sequence[dict[str, Any]]) -> None:
    """All points at once, past the row objects; so the trail is told of them by their digest."""
    if not points:
        return
    session.execute(insert(CookPoint), points)
    after = {
        "rows": len(points),
        "kettle": log.kettle,
        "device": log.device,
        "log": log.row_id,
        "points": points_digest(points),
    }
    subject = log.kettle or cook_files.codes_of(session, _joined(points))[0]
    note(session, "made", kind="cook_points", subject=subject, before=None, after=after)


def _joined(points: Iterable[dict[str, Any]]) -> set[int]:
    return {point["batch"] for point in points if point["batch"] is not None}


def _desks(session: WriteSession, batches: set[int], log: CookLog) -> list[Desk]:
    """A desk for each batch that a log says something of."""
    moment = Moment(log.happened_at)
    found = [session.exec(select(Batch).where(Batch.id == one)).one() for one in sorted(batches)]
    return [Desk(session, batch, log.by, moment) for batch in found]


def correct_log(session: WriteSession, number: int, wanted: CookLogCorrectionIn) -> Taken:
    """Void all points of a log that stand, or move them in time.

    Raises UnknownCookLog, AlreadyCorrected, ScopeNeeded, Invalid.
    """
    old = cook_files.cook_log(session, number)
    by = doer(session, wanted.by)
    seconds = wanted.replaces.seconds if wanted.replaces else 0
    shift = timedelta(microseconds=round(seconds * 1_000_000))
    held = cook_files.points_of(session, old)
    before = {point["batch"] for point in held if point["batch"] is not None}
    desks = _desks(session, before, old)
    for desk in desks:
        check_may_correct(desk)
    log = amend(session, old, Amends(wanted.reason, by, wanted.void), _moved(old, shift))
    points = _corrected(session, log, held, shift)
    _insert(session, log, points)
    for desk in desks:
        follow(desk, old, log)
    taken = Taken(log, new=True, batches=set() if wanted.void else _joined(points))
    for desk in _desks(session, taken.batches - before, log):
        judge(desk, log)
        taken.flags += desk.flags
    return taken


def _moved(old: CookLog, shift: timedelta) -> dict[str, Any]:
    """The log with its times moved."""
    if not shift:
        return {}
    behind = timedelta(milliseconds=old.behind_ms or 0) + shift
    return {
        "happened_at": old.happened_at + shift,
        "first_at": None if old.first_at is None else old.first_at + shift,
        "last_at": None if old.last_at is None else old.last_at + shift,
        "behind_ms": round(behind / timedelta(milliseconds=1)),
    }


def _corrected(
    session: WriteSession, log: CookLog, held: Sequence[Any], shift: timedelta
) -> list[dict[str, Any]]:
    """A point for each that stood, which corrects it; its number stays with the one that came."""
    times = [point["happened_at"] + shift for point in held]
    owner = _Place(log.kettle, _batch_of(session, log)).owner(session, times) if times else None
    marks = {
        "seq": None,
        "log": log.row_id,
        "by": log.by,
        "entered_at": log.entered_at,
        "void": log.void,
        "reason": log.reason,
    }
    points = []
    for point, at in zip(held, times, strict=True):
        batch = owner(at) if owner else None
        kept = {name: value for name, value in point.items() if name != "id"}
        where = {"batch": batch.row_id if batch else None, "happened_at": at}
        points.append({**kept, **marks, **where, "corrects": point["id"]})
    return points


def _batch_of(session: WriteSession, log: CookLog) -> Batch | None:
    return None if log.batch is None else session.get(Batch, log.batch)
