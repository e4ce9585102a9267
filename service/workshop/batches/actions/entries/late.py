"""Late entries: kept as they came, flagged, and a deviation that release waits for.

Whoever keeps an entry of a batch calls `judge` once it has its key (flush before), or
`judge_many` for rows written at once; whoever corrects or voids one calls `follow`.
"""

from datetime import datetime

from service.store.columns import Recorded
from service.workshop.batches._tables_entries import LateEntry
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.queries.record import late
from service.workshop.deviations import actions as deviation_actions
from service.workshop.deviations import queries as deviations
from service.workshop.deviations.bodies import ConclusionIn, Flag

LATE = "late-entry"
AFTERWARDS = "entry-after-completion"
_HOW_JUDGED = "Accept it by concluding this, or void the entry."


def judge(desk: Desk, row: Recorded) -> Flag | None:
    """The flag of an entry that comes after its batch has ended; None while it is under way, and
    for a correction, which says so itself. One deviation for all that comes in one request."""
    if row.corrects is not None:
        return None
    kind = str(type(row).__tablename__)
    return _keep(desk, kind, row.happened_at, about=row.about_seconds, entry=row.row_id)


def judge_many(desk: Desk, kind: str, count: int, *, earliest: datetime) -> Flag | None:
    """The same for rows of one table that were written at once."""
    return _keep(desk, kind, earliest, about=None, count=count)


def _keep(
    desk: Desk,
    kind: str,
    happened_at: datetime,
    *,
    about: int | None,
    entry: int | None = None,
    count: int = 1,
) -> Flag | None:
    end = late.end_of(desk.session, desk.batch)
    if end is None:
        return None
    before = end.lies_after(happened_at, about)
    flag = _flag(desk, LATE if before else AFTERWARDS, end.state)
    desk.session.add(
        LateEntry(
            batch=desk.batch.row_id,
            kind=kind,
            entry=entry,
            count=count,
            happened_at=happened_at,
            entered_at=desk.session.now,
            before_the_end=before,
            deviation=flag.opens or "",
        )
    )
    return flag


def _flag(desk: Desk, code: str, state: str) -> Flag:
    """The flag of this request, opened with its first late entry."""
    for flag in desk.flags:
        if flag.code == code:
            return flag
    if code == LATE:
        text = f"Entered after the batch was {state}, though it happened before. {_HOW_JUDGED}"
    else:
        text = f"Entered after the batch was {state}."
    desk.deviate(code, text)
    return desk.flags[-1]


def follow(desk: Desk, old: Recorded, new: Recorded) -> None:
    """A late entry that was corrected is judged as it stands now; one that was voided needs no
    judging, and with the last of its deviation that is concluded."""
    found = late.of_entry(desk.session, old)
    if found is None:
        return
    found.entry, found.voided = new.row_id, new.void
    desk.session.add(found)
    desk.session.flush()  # whether others of the deviation still stand is read from the rows
    deviation = deviations.deviation(desk.session, found.deviation)
    together = late.under(desk.session, found.deviation)
    if not deviation.open or not all(one.voided for one in together):
        return
    said = ConclusionIn(text=f"Voided: {new.reason}", by=desk.by)
    deviation_actions.conclude(desk.session, found.deviation, said)
