"""Recording properties measured on a lot: each replicate a reading, their mean the figure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from service.errors import Fault, Invalid, Remedy
from service.office.people.queries import doer
from service.office.workshop_card.queries import today
from service.science.rounding import plain, round_half_even
from service.science.statistics import mean
from service.science.units import Quantity
from service.store.session import ReadSession, WriteSession
from service.workshop.materials.actions import record_figure
from service.workshop.materials.bodies import FigureIn, FigureValue
from service.workshop.materials.queries import figure
from service.workshop.materials.rules import properties
from service.workshop.panels._tables import Reading
from service.workshop.panels.actions.amounts import kept
from service.workshop.panels.actions.days import day_stamp
from service.workshop.panels.actions.readings import reading_number
from service.workshop.panels.bodies.measurements import LotReadingsIn
from service.workshop.panels.queries.readings import next_trial
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

_RECENT_LOTS = 20


@dataclass(frozen=True, slots=True)
class Measurements:
    """What was recorded of a lot, the numbers of its figures, and what was assumed."""

    lot: Lot
    rows: list[Reading] = field(default_factory=list)
    figures: list[str] = field(default_factory=list)
    assumed: dict[str, Any] = field(default_factory=dict)


def record_measurements(session: WriteSession, number: str, wanted: LotReadingsIn) -> Measurements:
    """Readings of a lot, and one figure of it for each property. Raises UnknownLot, MistypedLot."""
    lot = stock.lot(session, number)
    by = doer(session, wanted.by)
    methods, assumed = _methods(session, lot, wanted)
    made = Measurements(lot, assumed=assumed)
    if wanted.on is None:
        assumed["on"] = today(session).isoformat()
    if wanted.by is None and by is not None:
        assumed["by"] = by
    base = {
        "lot": lot.row_id,
        "lot_number": lot.number,
        "read_on": wanted.on or today(session),
        **day_stamp(session, by=by, on=wanted.on),
    }
    for name, row in wanted.rows.items():
        temperature = row.temperature or wanted.temperature
        known = {**base, "test": name, "method": methods[name]}
        known["temperature_c"] = kept(temperature)
        rows = _record(session, row.read(name), base=known)
        made.rows.extend(rows)
        made.figures.append(_figure(session, lot, rows))
    return made


def _methods(
    session: WriteSession, lot: Lot, wanted: LotReadingsIn
) -> tuple[dict[str, str], dict[str, Any]]:
    """The method of each property, and those taken from earlier figures. Raises Invalid."""
    given = {name: row.method or wanted.methods.get(name) for name, row in wanted.rows.items()}
    missing = [name for name, method in given.items() if method is None]
    known = {name: earlier_method(session, lot, name) for name in missing}
    methods = {**given, **known}
    if faults := tuple(_no_method(name) for name, method in methods.items() if method is None):
        raise Invalid(f"{faults[0].detail} {faults[0].hint}", faults)
    found = {name: method for name, method in methods.items() if method is not None}
    return found, {"methods": known} if known else {}


def _no_method(name: str) -> Fault:
    label = properties()[name].label
    return Fault(
        detail=f"{label} was sent without its method.",
        code="method-missing",
        pointer=f"#/methods/{name}",
        hint=f'Send "methods": {{"{name}": "…"}}: the standard, the cup, the temperature of it.',
        remedies=(
            Remedy(
                "it was measured by no standard",
                {"methods": {name: "the workshop's own"}},
                "Stands so on the sheet; a named standard with its cup or oven is worth more.",
            ),
        ),
    )


def earlier_method(session: ReadSession, lot: Lot, name: str) -> str | None:
    """How a property was measured last on this lot, its material, or lots of the material."""
    others = stock.lots_of_material(session, lot.material, lot.kind)[:_RECENT_LOTS]
    for subject in (*stock.subject_chain(lot), *(("lot", other.number) for other in others)):
        row = figure(session, name, subject)
        if row is not None and row.basis == "measured" and row.method is not None:
            return row.method
    return None


def _record(
    session: WriteSession, values: Sequence[Quantity], *, base: Mapping[str, Any]
) -> list[Reading]:
    first = next_trial(session, base["test"], lot=base["lot"], panel=None)
    rows = [
        Reading(number=reading_number(session), trial=trial, **value_columns(value), **base)
        for trial, value in enumerate(values, first)
    ]
    session.add_all(rows)
    session.flush()  # the figure and the answer name them
    return rows


def value_columns(value: Quantity) -> dict[str, Any]:
    """A measured value in its canonical unit, and as it was entered."""
    return {
        "value": kept(value),
        "entered_value": plain(value.value),
        "entered_unit": value.unit,
    }


def _figure(session: WriteSession, lot: Lot, rows: Sequence[Reading]) -> str:
    """The number of the lot's figure: the mean of its replicates, which the source names."""
    first = rows[0]
    value = mean_figure(rows)
    wanted = FigureIn(
        **dict(value),
        property=first.test,
        by=first.by,
        happened_at=first.happened_at,
    )
    return record_figure(session, ("lot", lot.number), wanted).number


def mean_figure(rows: Sequence[Reading]) -> FigureValue:
    """The mean of replicates as a figure, to the last place that was read."""
    first = rows[0]
    entered = [Decimal(row.entered_value or 0) for row in rows]
    unit = first.entered_unit
    if any(row.entered_unit != unit for row in rows):
        entered, unit = [row.value or Decimal(0) for row in rows], properties()[first.test].unit
    places = min(_exponent(value) for value in entered)
    average = round_half_even(mean(entered), Decimal(1).scaleb(places))
    temperature = first.temperature_c
    return FigureValue(
        value=plain(average),
        unit=unit,
        basis="measured",
        source=", ".join(row.number for row in rows),
        method=first.method,
        temperature=None if temperature is None else Quantity(temperature, "°C", "temperature"),
        dated=first.read_on,
    )


def _exponent(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return min(exponent, 0) if isinstance(exponent, int) else 0
