"""What is read of materials and figures."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import bindparam
from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import Invalid, at
from service.office.keys.queries import sees_costs
from service.office.workshop_card.queries import card
from service.science.rounding import plain
from service.store import named
from service.store.lists import Listing
from service.store.records import corrected_by
from service.store.session import ReadSession
from service.web.amounts import litres, mass
from service.web.fields import Amount
from service.web.footnotes import Footnotes
from service.workshop.materials._tables import FigureRow as FigureRow
from service.workshop.materials._tables import Hazard as Hazard
from service.workshop.materials._tables import Material as Material
from service.workshop.materials.bodies import (
    Family,
    FigureOut,
    Kind,
    MaterialOut,
    NamedFigure,
    SubjectKind,
)
from service.workshop.materials.figures import AnyFigure as AnyFigure
from service.workshop.materials.figures import Figure as Figure
from service.workshop.materials.figures import figure as figure
from service.workshop.materials.figures import figures_of as figures_of
from service.workshop.materials.figures import known_figures as known_figures
from service.workshop.materials.figures import last_figures as last_figures
from service.workshop.materials.figures import last_values as last_values
from service.workshop.materials.hazards import HazardOut
from service.workshop.materials.ordering import shown_ordering
from service.workshop.materials.prices import list_price
from service.workshop.materials.rules import UnknownFigure, UnknownMaterial, properties

LISTING = Listing(
    "materials",
    Material,
    sorts=("code", "name", "created_at"),
    default_sort="code",
    filters={"kind": Kind, "family": Family, "cas": str},
)
FIGURES = Listing(
    "figures",
    FigureRow,
    sorts=("happened_at", "number"),
    default_sort="-happened_at",
    filters={"subject_kind": SubjectKind, "subject": str, "property": str},
    times=("happened_at",),
)

# What of a row is shown as it stands; the price has its own form and its own readers.
_AS_THEY_STAND = {
    name
    for name in MaterialOut.model_fields.keys() & Material.model_fields.keys()
    if not name.startswith("price")
}


def material(session: ReadSession, code: str) -> Material:
    """Raises UnknownMaterial."""
    return named.get(session, Material, code, missing=UnknownMaterial)


def named_in_body(session: ReadSession, code: str, *, pointer: str) -> Material:
    """A material named in a body. Raises Invalid at its pointer."""
    if (row := named.find(session, Material, code)) is None:
        wrong = f"There is no material {code}."
        hint = "Make it first: POST /v1/materials, or look at its spelling."
        raise Invalid(wrong, at(pointer, wrong, "material-unknown", hint=hint))
    return row


def by_codes(session: ReadSession, codes: Iterable[str]) -> dict[str, Material]:
    """Materials by code, in one query."""
    rows = session.exec(_by_codes(), params={"codes": sorted(set(codes))})
    return {row.code: row for row in rows}


@functools.cache
def _by_codes() -> SelectOfScalar[Material]:
    return select(Material).where(col(Material.code).in_(bindparam("codes", expanding=True)))


def archived_of(session: ReadSession, codes: Iterable[str]) -> set[str]:
    """Which of these materials are archived, in one query."""
    return set(session.exec(_archived(), params={"codes": sorted(set(codes))}))


@functools.cache
def _archived() -> SelectOfScalar[str]:
    named = col(Material.code).in_(bindparam("codes", expanding=True))
    return select(Material.code).where(named, col(Material.archived_at).is_not(None))


def names(session: ReadSession, codes: Iterable[str]) -> dict[str, str]:
    """Names by code, in one query."""
    wanted = select(Material.code, Material.name).where(col(Material.code).in_(set(codes)))
    return {code: name for code, name in session.exec(wanted)}


def hazards_of(session: ReadSession, codes: Iterable[str]) -> dict[str, list[Hazard] | None]:
    """By material its hazards, in two queries; None where they are not known."""
    return _hazards(session, by_codes(session, codes).values())


def _hazards(session: ReadSession, rows: Iterable[Material]) -> dict[str, list[Hazard] | None]:
    found: dict[str, list[Hazard] | None] = {
        row.code: [] if row.hazards_known else None for row in rows
    }
    wanted = select(Hazard).where(col(Hazard.material).in_(found)).order_by(col(Hazard.id))
    for hazard in session.exec(wanted):
        if (listed := found[hazard.material]) is not None:
            listed.append(hazard)
    return found


def figure_numbered(session: ReadSession, number: str) -> FigureRow:
    """Raises UnknownFigure."""
    row = session.exec(select(FigureRow).where(FigureRow.number == number.upper())).first()
    if row is None:
        raise UnknownFigure(f"There is no figure {number[:20]!r}.")
    return row


def note_of(row: AnyFigure) -> dict[str, Any]:
    """The footnote of a figure, in the shape of its basis."""
    shapes: dict[str, dict[str, Any]] = {
        "measured": {"method": row.method},
        "calculated": {"how": row.method, "source": row.source},
        "declared": {"by": row.source, "method": row.method},
        "handbook": {"table": row.source, "method": row.method},
    }
    note = {"basis": row.basis, **shapes[row.basis], "figure": row.number}
    if row.temperature_c is not None:
        note["temperature"] = f"{plain(row.temperature_c)} °C"
    if row.dated is not None:
        note["on"] = row.dated.isoformat()
    return {name: value for name, value in note.items() if value is not None}


def shown_figures(rows: Sequence[AnyFigure], notes: Footnotes) -> list[NamedFigure]:
    """Figures as a document shows them, their footnotes added to its notes."""
    return [
        NamedFigure(
            name=row.property,
            label=properties()[row.property].label,
            value=row.entered_value,
            unit=row.entered_unit,
            basis=row.basis,
            note=notes.add(row.property, note_of(row)),
        )
        for row in rows
    ]


def shown(session: ReadSession, row: Material) -> MaterialOut:
    """A material with its figures and hazards."""
    return shown_all(session, [row])[row.code]


def shown_all(session: ReadSession, rows: Sequence[Material]) -> dict[str, MaterialOut]:
    """Materials by code as they are shown, with three queries for all of them."""
    known = figures_of(session, [row.code for row in rows], {})
    hazards = _hazards(session, rows)
    return {row.code: _shown(session, row, known[row.code], hazards[row.code]) for row in rows}


def _shown(
    session: ReadSession,
    row: Material,
    known: Mapping[str, Figure],
    hazards: Sequence[Hazard] | None,
) -> MaterialOut:
    notes = Footnotes()
    listed = [known[name] for name in properties() if name in known]
    costs = sees_costs(session)
    currency = card(session).currency if costs else None
    priced = currency is not None and row.price is not None
    return MaterialOut(
        **row.model_dump(include=_AS_THEY_STAND),
        holds=litres(row.holds_ul),
        tare=mass(row.tare_mg),
        price=list_price(row.price, row.price_per, currency),
        price_source=row.price_source if priced else None,
        price_on=row.price_on if priced else None,
        order=shown_ordering(row, costs=costs),
        hazards=None if hazards is None else [_shown_hazard(each) for each in hazards],
        figures=shown_figures(listed, notes),
        notes=notes.as_json(),
    )


def _shown_hazard(row: Hazard) -> HazardOut:
    limit = row.scl_percent
    scl = None if limit is None else Amount(value=plain(limit), unit="%")
    return HazardOut(**row.model_dump(exclude={"id", "material", "scl_percent"}), scl=scl)


def shown_figure(session: ReadSession, row: FigureRow) -> FigureOut:
    later = corrected_by(session, row)
    earlier = session.get(FigureRow, row.corrects) if row.corrects else None
    temperature = row.temperature_c
    return FigureOut(
        figure=row.number,
        subject_kind=row.subject_kind,
        subject=row.subject,
        property=row.property,
        label=properties()[row.property].label,
        value=row.entered_value,
        unit=row.entered_unit,
        basis=row.basis,
        source=row.source,
        method=row.method,
        temperature=None if temperature is None else Amount(value=plain(temperature), unit="°C"),
        dated=row.dated,
        by=row.by,
        happened_at=row.happened_at,
        entered_at=row.entered_at,
        corrects=earlier.number if earlier else None,
        corrected_by=later.number if later else None,
        void=row.void,
        reason=row.reason,
    )
