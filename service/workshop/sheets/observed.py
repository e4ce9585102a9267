"""What was seen and measured of a lot, with the footnotes that stand behind it."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from service.science.rounding import plain, round_half_even
from service.store.session import ReadSession
from service.web.footnotes import Footnotes
from service.workshop.materials.queries import figure_numbered
from service.workshop.materials.rules import properties
from service.workshop.panels import queries as panels
from service.workshop.panels.queries import Reading, Sentence
from service.workshop.sheets.document import Constant, Measured, Panelled, Seen, told
from service.workshop.stock.queries import Lot


def seen(session: ReadSession, on_film: Sequence[Reading], notes: Footnotes) -> tuple[Seen, ...]:
    """A line for each test and condition, in the words of the panels' rules."""
    by_number = {row.number: row for row in on_film}
    return tuple(
        Seen(
            tried=line.tried,
            text=line.text,
            n=line.n,
            lot=line.lot,
            note=notes.add("panel", told(_panelled(session, line, by_number[line.readings[0]]))),
            readings=line.readings,
        )
        for line in panels.sentences(session, on_film)
    )


def _panelled(session: ReadSession, line: Sentence, first: Reading) -> Panelled:
    used = panels.panels_by_id(session, line.panels)
    version = panels.version(session, line.protocol, line.version)
    return Panelled(
        panel=", ".join(used[panel].code for panel in line.panels) or "none",
        lot=line.lot,
        coats=first.coats,
        film=_film(session, line.panels, on=first.read_on),
        age=None if first.age_days is None else f"{first.age_days} d",
        room=_room(first),
        on=first.read_on.isoformat(),
        method=f"{line.protocol}, version {line.version}, {version.method}",
    )


def _film(session: ReadSession, panel_ids: Sequence[int], *, on: date) -> str | None:
    """The film as it was when it was tried: later coats were not on it."""
    if len(panel_ids) != 1:
        return None
    coats = panels.coats_of(session, panel_ids)[panel_ids[0]]
    found = panels.film(session, [coat for coat in coats if coat.coated_on <= on])
    return f"{plain(round_half_even(found.um, Decimal(1)))} µm (calculated)" if found else None


def _room(row: Reading) -> str | None:
    parts = []
    if row.temperature_c is not None:
        parts.append(f"{plain(row.temperature_c)} °C")
    if row.humidity is not None:
        parts.append(f"{plain(row.humidity)} %")
    return ", ".join(parts) or None


def constants(session: ReadSession, lots: Sequence[Lot], notes: Footnotes) -> tuple[Constant, ...]:
    """The measured constants of the first lot that has them, in the order of the properties."""
    found: dict[str, tuple[Lot, panels.Constant]] = {}
    for lot in lots:
        for one in panels.constants(session, lot):
            found.setdefault(one.property, (lot, one))
    return tuple(
        _constant(session, *found[name], notes=notes) for name in properties() if name in found
    )


def _constant(
    session: ReadSession, lot: Lot, one: panels.Constant, *, notes: Footnotes
) -> Constant:
    row = figure_numbered(session, one.figure)
    by_size = sorted(one.readings, key=lambda reading: reading.value or 0)
    ends = [reading.entered_value or "" for reading in by_size] or [row.entered_value]
    day = one.readings[-1].read_on if one.readings else row.dated or row.happened_at.date()
    note = Measured(
        method=row.method or "",
        on=day.isoformat(),
        n=max(len(one.readings), 1),
        low=ends[0],
        high=ends[-1],
        lot=lot.number,
        figure=row.number,
        readings=tuple(reading.number for reading in one.readings),
    )
    return Constant(
        name=one.property,
        label=properties()[one.property].label,
        value=row.entered_value,
        unit=row.entered_unit,
        basis="measured",
        note=notes.add(one.property, told(note)),
        text=one.text,
    )
