"""Points of a kettle follow the batch that was in it: they join one, and leave one."""

from sqlalchemy import ColumnElement, func, update
from sqlmodel import select

from service.office.audit.actions import note
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, CookPoint
from service.workshop.batches.queries.cook.log import beyond, within


def settle(session: WriteSession, batch: Batch) -> None:
    """Points of the kettle join the batch that covers their time, and leave one that does not;
    what is left so belongs to whoever else had the kettle then."""
    span = queries.span(session, batch)
    if batch.kettle is None or span is None:
        return
    times = select(func.min(CookPoint.happened_at), func.max(CookPoint.happened_at))
    since, until = session.exec(times.where(beyond(span))).one()
    _say(session, batch, None, beyond(span))
    _say(session, batch, batch, within(span))
    if since is None or until is None:
        return
    for other in queries.windows(session, batch.kettle, since=since, until=until):
        _say(session, batch, other.batch, within(other))


def _say(session: WriteSession, batch: Batch, to: Batch | None, where: ColumnElement[bool]) -> None:
    key = None if to is None else to.row_id
    done = session.execute(update(CookPoint).where(where).values(batch=key))
    # An update answers a cursor, which the session types as a plain result.
    if count := done.rowcount:  # type: ignore[attr-defined]  # an UPDATE counts
        after = {"rows": count, "batch": to and to.code}
        kettle = str(batch.kettle)
        note(session, "changed", kind="cook_points", subject=kettle, before=None, after=after)
