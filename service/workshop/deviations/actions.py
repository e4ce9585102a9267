"""What changes with deviations."""

from dataclasses import dataclass

from service.office.people.queries import doer
from service.store.numbers import yearly
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.deviations import queries
from service.workshop.deviations._tables import Conclusion, Deviation
from service.workshop.deviations.bodies import ConclusionIn, Flag
from service.workshop.deviations.rules import AlreadyConcluded


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact outside the plan, of a batch, a lot or a panel."""

    subject_kind: str
    subject: str
    code: str
    text: str
    line: int | None = None


def open_deviation(session: WriteSession, fact: Fact, *, by: str | None) -> Flag:
    """Record the fact as a deviation, and answer the flag to show for it."""
    number = yearly(session, "D", session.now.year)
    row = Deviation(
        number=number,
        subject_kind=fact.subject_kind,
        subject=fact.subject,
        code=fact.code,
        text=fact.text,
        **stamp(session, by=by),
    )
    session.add(row)
    return Flag(
        code=fact.code,
        text=fact.text,
        line=fact.line,
        opens=number,
        concluded_by=f"POST /v1/deviations/{number}/conclusions",
    )


def conclude(session: WriteSession, number: str, wanted: ConclusionIn) -> Deviation:
    """Raises UnknownDeviation, AlreadyConcluded."""
    row = queries.deviation(session, number)
    if not row.open:
        raise AlreadyConcluded(f"{row.number} is concluded.")
    row.open = False
    by = doer(session, wanted.by)
    entry = stamp(session, by=by, happened_at=wanted.happened_at)
    session.add_all([row, Conclusion(deviation=row.row_id, text=wanted.text, **entry)])
    session.flush()  # the answer shows the conclusion
    return row
