"""What is wrong with figures: values that do not follow from what was entered."""

from collections.abc import Iterator
from decimal import Decimal

from sqlmodel import col, select

from service.science import units
from service.science.errors import ScienceError
from service.store.columns import nine_places
from service.store.session import ReadSession
from service.workshop.materials._tables import FigureRow
from service.workshop.materials.rules import properties


def faults(session: ReadSession) -> Iterator[str]:
    found = select(FigureRow).order_by(col(FigureRow.id)).execution_options(yield_per=500)
    for row in session.exec(found):
        if _value(row) != row.value:
            entered = f"{row.entered_value} {row.entered_unit}"
            yield f"{row.number}: {row.property} was entered as {entered}, and {row.value} is kept."


def _value(row: FigureRow) -> Decimal | None:
    """The value in the property's canonical unit; None where what was entered cannot be read."""
    known = properties().get(row.property)
    if known is None:
        return None
    try:
        entered = units.quantity(row.entered_value, row.entered_unit, known.dimension)
    except ScienceError:
        return None
    return nine_places(units.canonical(entered)).normalize() + 0
