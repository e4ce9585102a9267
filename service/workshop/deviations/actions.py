"""What changes with deviations."""

from dataclasses import dataclass

from service.office.people.queries import doer
from service.store.numbers import yearly
from service.store.records import Amends, amend, stamp
from service.store.session import WriteSession
from service.workshop.deviations import queries
from service.workshop.deviations._tables import Conclusion, Deviation
from service.workshop.deviations.bodies import ConclusionCorrection, ConclusionIn, Flag
from service.workshop.deviations.rules import AlreadyConcluded, NotConcluded


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


@dataclass(frozen=True, slots=True)
class Reconcluded:
    """A conclusion as it was corrected."""

    deviation: Deviation
    old: Conclusion
    row: Conclusion


def correct_conclusion(
    session: WriteSession, number: str, wanted: ConclusionCorrection
) -> Reconcluded:
    """Put a conclusion in other words, or void it: then the deviation is open again.

    Raises UnknownDeviation, NotConcluded.
    """
    held = queries.deviation(session, number)
    old = queries.conclusion(session, held)
    if old is None:
        raise NotConcluded(f"{held.number} has no conclusion to correct.")
    amends = Amends(wanted.reason, doer(session, wanted.by), wanted.void)
    changes = {} if wanted.replaces is None else wanted.replaces.changed()
    row = amend(session, old, amends, changes)
    held.open = wanted.void
    session.add(held)
    return Reconcluded(held, old, row)
