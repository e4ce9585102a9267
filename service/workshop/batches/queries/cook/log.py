"""The cook log, as rows and as shown."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, false, true
from sqlmodel import col, select

from service.science.rounding import plain
from service.store.lists import Ask, Listing, Page, page
from service.store.records import corrections_of, standing, trace
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.batches._tables import Batch, CookPoint
from service.workshop.batches.bodies.cook_log import CookPointOut
from service.workshop.batches.queries.record.records import Window
from service.workshop.batches.queries.record.shown import about
from service.workshop.batches.rules import FROM_KETTLE

_AT_ONCE = 5000  # numbers in one question
LISTING = Listing(
    "cook-points",
    CookPoint,
    sorts=("happened_at", "id", "seq"),
    default_sort="-happened_at",
    filters={"device": str},
    partial=("seq",),  # only a device's points have one
    times=("happened_at",),
)


def points_page(
    session: ReadSession, ask: Ask, *, kettle: str | None = None, batch: Batch | None = None
) -> Page[CookPoint]:
    """One page of the points of a kettle or of a batch."""
    where: list[Any] = []
    if kettle is not None:
        where.append(CookPoint.kettle == kettle)
    if batch is not None:
        where.append(CookPoint.batch == batch.row_id)
    return page(session, LISTING, ask, where=where)


def known_seqs(session: ReadSession, device: str, seqs: Iterable[int]) -> set[int]:
    """Which readings of a device are here already; asked in parts that a database takes."""
    wanted, known = sorted(set(seqs)), set[int]()
    for start in range(0, len(wanted), _AT_ONCE):
        part = wanted[start : start + _AT_ONCE]
        found = select(CookPoint.seq).where(
            CookPoint.device == device, col(CookPoint.seq).in_(part)
        )
        known |= {seq for seq in session.exec(found) if seq is not None}
    return known


def beyond(span: Window) -> ColumnElement[bool]:
    """Points of the kettle that are this batch's, and of another time."""
    early = col(CookPoint.happened_at) < span.start
    late = false() if span.end is None else col(CookPoint.happened_at) > span.end
    return _of_kettle(span) & (col(CookPoint.batch) == span.batch.row_id) & (early | late)


def within(span: Window) -> ColumnElement[bool]:
    """Points of the kettle that are nobody's, and of the time when this batch was in it."""
    early = col(CookPoint.happened_at) >= span.start
    late = true() if span.end is None else col(CookPoint.happened_at) <= span.end
    return _of_kettle(span) & col(CookPoint.batch).is_(None) & early & late


def _of_kettle(span: Window) -> ColumnElement[bool]:
    from_kettle = col(CookPoint.entered_from) == FROM_KETTLE
    return (col(CookPoint.kettle) == span.batch.kettle) & from_kettle


def last_reading(session: ReadSession, batch: Batch, until: datetime) -> CookPoint | None:
    """The last temperature of a batch's log at or before an instant."""
    return session.exec(
        select(CookPoint)
        .where(
            CookPoint.batch == batch.row_id,
            CookPoint.happened_at <= until,
            col(CookPoint.temperature_c).is_not(None),
            standing(CookPoint),
        )
        .order_by(col(CookPoint.happened_at).desc(), col(CookPoint.id).desc())
        .limit(1)
    ).first()


def shown_points(session: ReadSession, rows: Sequence[CookPoint]) -> dict[int, CookPointOut]:
    """Points by key as they are shown, with two queries for all of them."""
    ids = {row.batch for row in rows if row.batch is not None}
    found = session.exec(select(Batch.id, Batch.code).where(col(Batch.id).in_(ids)))
    codes = {batch_id: code for batch_id, code in found}
    later = corrections_of(session, rows)
    return {row.row_id: _shown(row, codes.get(row.batch), later) for row in rows}


def _shown(row: CookPoint, batch: str | None, later: Mapping[int | None, int]) -> CookPointOut:
    celsius = row.temperature_c
    return CookPointOut(
        entry=row.row_id,
        batch=batch,
        kettle=row.kettle,
        device=row.device,
        seq=row.seq,
        temperature=None if celsius is None else Amount(value=plain(celsius), unit="°C"),
        remark=row.remark,
        set_aside=row.set_aside,
        by=row.by,
        happened_at=row.happened_at,
        about=about(row.about_seconds),
        entered_at=row.entered_at,
        entered_from=row.entered_from,
        **trace(row, later),
    )
