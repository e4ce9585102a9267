"""What is wrong with counts of labels: blank labels that the ledger does not say were drawn."""

from collections import Counter
from collections.abc import Iterator

from sqlmodel import select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.labels._tables import Labelling
from service.workshop.stock import queries as stock
from service.workshop.stock.queries.sums import moved_for

_REF = "labelling "


def faults(session: ReadSession) -> Iterator[str]:
    printed = Counter[int]()
    for row in session.exec(select(Labelling).where(standing(Labelling))):
        if row.label_lot is not None:
            printed[row.label_lot] += row.printed
    drawn = Counter[int]()
    for (ref, lot), amount in moved_for(session, ["labelling"]).items():
        if ref.startswith(_REF):
            drawn[lot] -= amount
    for key in sorted({*printed, *drawn}):
        if printed[key] != drawn[key]:
            number = stock.lot_by_id(session, key).number
            yield (f"{printed[key]} labels of {number} were printed; the ledger says {drawn[key]}.")
