"""What is wrong with cook points that were taken in at once: the trail knows them by their digest,
as single entries of a hundred thousand would drown it."""

from collections.abc import Iterator
from datetime import datetime
from itertools import groupby
from typing import Any

from sqlalchemy import exists
from sqlalchemy import select as sql_select
from sqlmodel import col, select
from sqlmodel.sql.expression import Select

from service.office.audit.queries import told_of
from service.store.session import ReadSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, CookLog, CookPoint
from service.workshop.batches.point_digests import TOLD, both, points_digest
from service.workshop.batches.queries.cook.log import beyond, within
from service.workshop.batches.rules import FROM_FILE, FROM_KETTLE

# Entered at, kettle, device, log: what one request sent.
Sent = tuple[datetime, str | None, str | None, int | None]
_TABLE = "cook_points"
_FROM_KETTLE = col(CookPoint.entered_from) == FROM_KETTLE


def faults(session: ReadSession) -> Iterator[str]:
    """Points that are not as they were taken in, more of them, or fewer."""
    told, singly, older = _told(session)
    for sent, points in groupby(_in_bulk(session, singly), _sent):
        digest = told.pop(sent, None)
        if digest is None and sent[0] not in older:
            yield f"The audit trail does not tell of cook points{_where(sent)}."
        elif digest is not None and digest != points_digest(points):
            yield f"The cook points{_where(sent)} do not give the digest that the trail tells."
    for sent in told:
        yield f"The audit trail tells of cook points{_where(sent)} that are not there."


def owners(session: ReadSession) -> Iterator[str]:
    """Points that are not of the batch that had the kettle, or that they were sent to."""
    yield from _of_kettles(session)
    yield from _of_batches(session)


def _of_kettles(session: ReadSession) -> Iterator[str]:
    for batch in session.exec(select(Batch).where(col(Batch.kettle).is_not(None))):
        if (span := queries.span(session, batch)) is None:
            continue
        for point in session.exec(select(CookPoint.id).where(beyond(span))):
            yield f"Cook point {point} is not of the time of {batch.code}, and is kept as its own."
        for point in session.exec(select(CookPoint.id).where(within(span))):
            yield f"Cook point {point} is of the time of {batch.code}, and is kept as nobody's."
    same = (col(Batch.id) == col(CookPoint.batch)) & (col(Batch.kettle) == col(CookPoint.kettle))
    lost = col(CookPoint.batch).is_not(None) & ~exists(select(Batch.id).where(same))
    for point in session.exec(select(CookPoint.id).where(_FROM_KETTLE, lost)):
        yield f"Cook point {point} is kept as of a batch that never had its kettle."


def _of_batches(session: ReadSession) -> Iterator[str]:
    sent_to = col(CookLog.batch).is_distinct_from(col(CookPoint.batch))
    named = (CookPoint.log == CookLog.id, CookPoint.entered_from == FROM_FILE, sent_to)
    for point in session.exec(select(CookPoint.id).where(*named)):
        yield f"Cook point {point} is not kept as of the batch that its log was sent to."
    own = dict(session.exec(_at_a_batch()).all())
    for _, _, after in told_of(session, _TABLE):
        if (key := after.get("id")) in own and own[key] != after["batch"]:
            yield f"Cook point {key} is not kept as of the batch that it was entered for."


def _at_a_batch() -> Select[int | None, int | None]:
    """By key whose the points are that were neither of a kettle nor of a file."""
    others = col(CookPoint.entered_from).not_in([FROM_KETTLE, FROM_FILE])
    return select(col(CookPoint.id), col(CookPoint.batch)).where(others)


def _told(session: ReadSession) -> tuple[dict[Sent, str], set[int], set[datetime]]:
    """The digests of all that came at once, the keys of the points told of one by one, and when
    some came of which an earlier version of the service noted no such digest."""
    digests: dict[Sent, str] = {}
    singly: set[int] = set()
    older: set[datetime] = set()
    for at, act, after in told_of(session, _TABLE):
        if "id" in after:
            singly.add(after["id"])
        elif act == "made" and "points" not in after:
            older.add(at)
        elif act == "made":
            sent = (at, after["kettle"], after["device"], after["log"])
            digests[sent] = both(digests.get(sent, "0"), after["points"])
    return digests, singly, older


def _in_bulk(session: ReadSession, singly: set[int]) -> Iterator[dict[str, Any]]:
    columns = [col(CookPoint.id), *(getattr(CookPoint, name) for name in TOLD)]
    order = ("entered_at", "kettle", "device", "log")
    found = sql_select(*columns).order_by(*(getattr(CookPoint, name) for name in order))
    names = ("id", *TOLD)
    for row in session.connection().execute(found.execution_options(yield_per=5000)):
        if row[0] not in singly:
            yield dict(zip(names, row, strict=True))


def _sent(point: dict[str, Any]) -> Sent:
    return point["entered_at"], point["kettle"], point["device"], point["log"]


def _where(sent: Sent) -> str:
    at, kettle, device, log = sent
    named = [("of", kettle), ("by", device), ("of the log", log)]
    told = "".join(f" {word} {name}" for word, name in named if name is not None)
    return f"{told} entered at {at.isoformat()}"
