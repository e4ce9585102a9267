"""What is read of materials and figures."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import and_, or_
from sqlmodel import col, select

from service.errors import Invalid, at
from service.office.keys.queries import sees_costs
from service.office.workshop_card.queries import card
from service.science.rounding import plain
from service.store import named
from service.store.lists import Listing
from service.store.records import corrected_by, standing
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
from service.workshop.materials.hazards import HazardOut
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
    rows = session.exec(select(Material).where(col(Material.code).in_(set(codes))))
    return {row.code: row for row in rows}


def archived_of(session: ReadSession, codes: Iterable[str]) -> set[str]:
    """Which of these materials are archived, in one query."""
    out = col(Material.archived_at).is_not(None)
    return set(session.exec(select(Material.code).where(col(Material.code).in_(set(codes)), out)))


def names(session: ReadSession, codes: Iterable[str]) -> dict[str, str]:
    """Names by code, in one query."""
    wanted = select(Material.code, Material.name).where(col(Material.code).in_(set(codes)))
    return {code: name for code, name in session.exec(wanted)}


def figure(session: ReadSession, name: str, *subjects: tuple[str, str | None]) -> FigureRow | None:
    """What is known of a property: the newest standing figure of the first subject that has one.

    Subjects come as (kind, code) in order of preference, the lot before its material.
    """
    for kind, subject in subjects:
        found = session.exec(
            select(FigureRow)
            .where(
                FigureRow.subject_kind == kind,
                FigureRow.subject == subject,
                FigureRow.property == name,
                standing(FigureRow),
            )
            .order_by(col(FigureRow.happened_at).desc(), col(FigureRow.id).desc())
            .limit(1)
        ).first()
        if found is not None:
            return found
    return None


def known_figures(session: ReadSession, kind: str, subject: str) -> list[FigureRow]:
    """The newest standing figure of each property of a subject, in the order of the table."""
    rows = session.exec(
        select(FigureRow)
        .where(FigureRow.subject_kind == kind, FigureRow.subject == subject, standing(FigureRow))
        .order_by(col(FigureRow.happened_at), col(FigureRow.id))
    )
    newest = {row.property: row for row in rows}
    return [newest[name] for name in properties() if name in newest]


def figures_of(
    session: ReadSession, codes: Iterable[str], lots: Mapping[str, str]
) -> dict[str, dict[str, FigureRow]]:
    """By material the newest standing figure of every property, in one query: those of the lot
    that `lots` names for it before its own."""
    wanted = list(dict.fromkeys(codes))
    numbers = [lots[code] for code in wanted if code in lots]
    newest: dict[tuple[str, str], dict[str, FigureRow]] = {}
    for row in _standing_of(session, wanted, numbers):
        newest.setdefault((row.subject_kind, row.subject), {})[row.property] = row
    return {
        code: newest.get(("material", code), {}) | newest.get(("lot", lots.get(code, "")), {})
        for code in wanted
    }


def _standing_of(
    session: ReadSession, codes: Sequence[str], lots: Sequence[str]
) -> Iterable[FigureRow]:
    """The standing figures of materials and lots, the newest last."""
    kind, subject = col(FigureRow.subject_kind), col(FigureRow.subject)
    of_any = or_(
        and_(kind == "material", subject.in_(codes)), and_(kind == "lot", subject.in_(lots))
    )
    return session.exec(
        select(FigureRow)
        .where(of_any, standing(FigureRow))
        .order_by(col(FigureRow.happened_at), col(FigureRow.id))
    )


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


def last_figures(
    session: ReadSession, name: str, subject: tuple[str, str], *, most: int
) -> list[FigureRow]:
    """The newest standing figures of one property of a subject (kind, code), the newest first."""
    found = (
        select(FigureRow)
        .where(
            FigureRow.subject_kind == subject[0],
            FigureRow.subject == subject[1],
            FigureRow.property == name,
            standing(FigureRow),
        )
        .order_by(col(FigureRow.happened_at).desc(), col(FigureRow.id).desc())
        .limit(most)
    )
    return list(session.exec(found))


def figure_numbered(session: ReadSession, number: str) -> FigureRow:
    """Raises UnknownFigure."""
    row = session.exec(select(FigureRow).where(FigureRow.number == number.upper())).first()
    if row is None:
        raise UnknownFigure(f"There is no figure {number[:20]!r}.")
    return row


def note_of(row: FigureRow) -> dict[str, Any]:
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


def shown_figures(rows: Sequence[FigureRow], notes: Footnotes) -> list[NamedFigure]:
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
    currency = card(session).currency if sees_costs(session) else None
    return {row.code: _shown(row, known[row.code], hazards[row.code], currency) for row in rows}


def _shown(
    row: Material,
    known: Mapping[str, FigureRow],
    hazards: Sequence[Hazard] | None,
    currency: str | None,
) -> MaterialOut:
    notes = Footnotes()
    listed = [known[name] for name in properties() if name in known]
    priced = currency is not None and row.price is not None
    return MaterialOut(
        **row.model_dump(include=_AS_THEY_STAND),
        holds=litres(row.holds_ul),
        tare=mass(row.tare_mg),
        price=list_price(row.price, row.price_per, currency),
        price_source=row.price_source if priced else None,
        price_on=row.price_on if priced else None,
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
