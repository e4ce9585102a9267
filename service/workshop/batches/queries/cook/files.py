"""Files of loggers, as rows and as shown."""

import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import RowMapping
from sqlalchemy import select as columns
from sqlmodel import col, select

from service.errors import NotFound
from service.store.lists import Ask, Listing, Page, page
from service.store.records import corrections_of, standing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, CookLog, CookPoint
from service.workshop.batches.bodies.cook_files import CookLogOut
from service.workshop.batches.bodies.cook_log import Behind, Clock

LISTING = Listing(
    "cook-logs",
    CookLog,
    sorts=("id", "happened_at"),
    default_sort="-id",
    filters={"device": str, "sha256": str},
    times=("happened_at",),
)


class UnknownCookLog(NotFound):
    slug = "cook-log-unknown"
    title = "There is no such cook log"


def cook_log(session: ReadSession, number: int) -> CookLog:
    """Raises UnknownCookLog."""
    row = session.get(CookLog, number) if number < 2**63 else None
    if row is None:
        raise UnknownCookLog(f"There is no cook log {number}.")
    return row


def logs_page(
    session: ReadSession, ask: Ask, *, kettle: str | None = None, batch: Batch | None = None
) -> Page[CookLog]:
    """One page of the files of a kettle, or of those that brought a batch points."""
    where: list[Any] = []
    if kettle is not None:
        where.append(CookLog.kettle == kettle)
    if batch is not None:
        brought = select(CookPoint.log).where(CookPoint.batch == batch.row_id)
        where.append(col(CookLog.id).in_(brought) | (col(CookLog.batch) == batch.row_id))
    return page(session, LISTING, ask, where=where)


def same_file(
    session: ReadSession, sha256: str, read_as: str, *, kettle: str | None, batch: int | None
) -> CookLog | None:
    """The log that stands of a file which was read in the same way for the same place."""
    found = select(CookLog).where(
        CookLog.sha256 == sha256,
        CookLog.read_as == read_as,
        col(CookLog.kettle).is_(None) if kettle is None else CookLog.kettle == kettle,
        col(CookLog.batch).is_(None) if batch is None else CookLog.batch == batch,
        standing(CookLog),
    )
    return session.exec(found.limit(1)).first()


def readings_there(
    session: ReadSession,
    *,
    kettle: str | None,
    batch: int | None,
    device: str | None,
    since: datetime,
    until: datetime,
) -> set[tuple[datetime, Decimal | None]]:
    """What stands of a device in a kettle, or in a batch without one, between two instants."""
    own = (
        col(CookPoint.batch) == batch if kettle is None else col(CookPoint.kettle) == kettle,
        col(CookPoint.device).is_(None) if device is None else col(CookPoint.device) == device,
        col(CookPoint.happened_at).between(since, until),
    )
    found = session.execute(
        columns(col(CookPoint.happened_at), col(CookPoint.temperature_c)).where(
            *own, standing(CookPoint)
        )
    )
    return {(at, celsius) for at, celsius in found}


def points_of(session: ReadSession, log: CookLog) -> Sequence[RowMapping]:
    """The points of a log that stand, whole, past the row objects."""
    table = CookPoint.__table__  # type: ignore[attr-defined]  # a mapped class has its table
    found = columns(*table.columns).where(col(CookPoint.log) == log.row_id, standing(CookPoint))
    return session.execute(found.order_by(col(CookPoint.id))).mappings().all()


def codes_of(session: ReadSession, ids: set[int]) -> list[str]:
    """Codes of batches, in order."""
    found = select(Batch.code).where(col(Batch.id).in_(ids)).order_by(col(Batch.code))
    return list(session.exec(found))


def shown_logs(session: ReadSession, rows: Sequence[CookLog]) -> dict[int, CookLogOut]:
    """Logs by key as they are shown, with two queries for all of them."""
    ids = {row.batch for row in rows if row.batch is not None}
    found = session.exec(select(Batch.id, Batch.code).where(col(Batch.id).in_(ids)))
    codes: dict[int | None, str] = {batch_id: code for batch_id, code in found}
    later = corrections_of(session, rows)
    return {row.row_id: _shown(row, codes.get(row.batch), later.get(row.id)) for row in rows}


def _shown(row: CookLog, batch: str | None, corrected_by: int | None) -> CookLogOut:
    return CookLogOut(
        log=row.row_id,
        kettle=row.kettle,
        batch=batch,
        device=row.device,
        sha256=row.sha256,
        read_as=json.loads(row.read_as),
        rows=row.rows,
        stored=row.stored,
        known=row.known,
        set_aside=row.set_aside,
        first_at=row.first_at,
        last_at=row.last_at,
        clock=_clock(row),
        by=row.by,
        happened_at=row.happened_at,
        entered_at=row.entered_at,
        corrects=row.corrects,
        corrected_by=corrected_by,
        void=row.void,
        reason=row.reason,
    )


def _clock(row: CookLog) -> Clock:
    times_from: Any = row.times_from
    if row.behind_ms is None:
        return Clock(device_is=None, behind=None, times_from=times_from)
    offset = timedelta(milliseconds=row.behind_ms)
    return Clock(
        device_is=row.entered_at - offset,
        behind=Behind(value=str(round(offset.total_seconds())), unit="s"),
        times_from=times_from,
    )
