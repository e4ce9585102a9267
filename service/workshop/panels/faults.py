"""What is wrong with panels and readings: lots and films that do not follow from the coats."""

from collections.abc import Iterator

from sqlmodel import col, select

from service.store.session import ReadSession
from service.workshop.panels._tables import Panel
from service.workshop.panels.queries.panels import coats_of
from service.workshop.panels.queries.readings import readings_on
from service.workshop.panels.rules.flags import coats_on
from service.workshop.stock import queries as stock


def faults(session: ReadSession) -> Iterator[str]:
    for panel in session.exec(select(Panel).order_by(col(Panel.id))):
        if stock.lot_by_id(session, panel.lot).number != panel.lot_number:
            yield f"Panel {panel.code} is kept as one of {panel.lot_number}, which it is not."
        days = [coat.coated_on for coat in coats_of(session, [panel.id])[panel.row_id]]
        for row in readings_on(session, panel):
            wet = coats_on(row.read_on, days)
            if row.lot != panel.lot or row.coats != len(wet):
                yield f"{row.number} does not say what panel {panel.code} was when it was read."
