"""What is read of deviations."""

from typing import Literal

from sqlmodel import col, select

from service.store.lists import Listing
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.deviations._tables import Conclusion, Deviation
from service.workshop.deviations.bodies import DeviationOut
from service.workshop.deviations.rules import UnknownDeviation

LISTING = Listing(
    "deviations",
    Deviation,
    sorts=("number", "happened_at"),
    default_sort="-happened_at",
    filters={
        "subject": str,
        "subject_kind": Literal["batch", "lot", "panel"],
        "code": str,
        "open": bool,
    },
    times=("happened_at",),
)


def deviation(session: ReadSession, number: str) -> Deviation:
    """Raises UnknownDeviation."""
    row = session.exec(select(Deviation).where(Deviation.number == number.upper())).first()
    if row is None:
        raise UnknownDeviation(f"There is no deviation {number[:20]!r}.")
    return row


def still_open(session: ReadSession, *subjects: str) -> list[Deviation]:
    """The open deviations of any of these batches or lots."""
    found = session.exec(
        select(Deviation)
        .where(col(Deviation.subject).in_(subjects), col(Deviation.open).is_(True))
        .order_by(col(Deviation.number))
    )
    return list(found)


def every(session: ReadSession, *subjects: str) -> list[Deviation]:
    """All deviations of any of these batches or lots, open or concluded."""
    found = select(Deviation).where(col(Deviation.subject).in_(subjects))
    return list(session.exec(found.order_by(col(Deviation.id))))


def conclusion(session: ReadSession, row: Deviation) -> Conclusion | None:
    """The conclusion that stands, if any."""
    found = select(Conclusion).where(Conclusion.deviation == row.row_id, standing(Conclusion))
    return session.exec(found).first()


def shown(session: ReadSession, row: Deviation) -> DeviationOut:
    found = conclusion(session, row)
    return DeviationOut(
        deviation=row.number,
        subject_kind=row.subject_kind,
        subject=row.subject,
        code=row.code,
        text=row.text,
        open=row.open,
        by=row.by,
        happened_at=row.happened_at,
        conclusion=found.text if found else None,
        concluded_by=found.by if found else None,
        concluded_at=found.happened_at if found else None,
    )
