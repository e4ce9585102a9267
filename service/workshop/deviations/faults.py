"""What is wrong with deviations: open ones that are concluded, closed ones that are not."""

from collections.abc import Iterator

from sqlmodel import col, select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.deviations._tables import Conclusion, Deviation


def faults(session: ReadSession) -> Iterator[str]:
    concluded = set(session.exec(select(Conclusion.deviation).where(standing(Conclusion))))
    for row in session.exec(select(Deviation).order_by(col(Deviation.id))):
        if row.open == (row.row_id in concluded):
            said = "open" if row.open else "closed"
            stands = "stands" if row.open else "does not stand"
            yield f"{row.number} is {said}, and its conclusion {stands}."
