"""A logger that sends what waited after its batch has ended: one deviation for all its sendings."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlmodel import col, select

from service.store.session import WriteSession
from service.workshop.batches._tables import Batch, CookPoint
from service.workshop.batches._tables_entries import LateEntry
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.late import judge_many
from service.workshop.batches.rules import ENDED
from service.workshop.batches.rules.clocks import Moment
from service.workshop.deviations.queries import still_open

_KIND = str(CookPoint.__tablename__)


def judge_stream(session: WriteSession, rows: Iterable[dict[str, Any]], *, by: str | None) -> None:
    """Have the points of batches that have ended judged, with those that came before them."""
    times: dict[int, list[datetime]] = {}
    for row in rows:
        if row["batch"] is not None:
            times.setdefault(row["batch"], []).append(row["happened_at"])
    ended = select(Batch).where(col(Batch.id).in_(times), col(Batch.state).in_(sorted(ENDED)))
    for batch in session.exec(ended):
        mine = times[batch.row_id]
        if (held := _awaiting(session, batch)) is not None:
            held.count += len(mine)
            held.happened_at = min(held.happened_at, *mine)
            session.add(held)
            continue
        desk = Desk(session, batch, by, Moment(min(mine)))
        judge_many(desk, _KIND, len(mine), earliest=min(mine))


def _awaiting(session: WriteSession, batch: Batch) -> LateEntry | None:
    """The late points of a batch that still await a judgement."""
    waiting = [deviation.number for deviation in still_open(session, batch.code)]
    found = select(LateEntry).where(
        LateEntry.batch == batch.row_id,
        LateEntry.kind == _KIND,
        col(LateEntry.entry).is_(None),
        col(LateEntry.deviation).in_(waiting),
    )
    return session.exec(found.limit(1)).first()
