"""What is read of materials and figures."""

from collections.abc import Iterable, Sequence
from typing import Any

from sqlmodel import col, select

from service.errors import Invalid, at
from service.science.rounding import plain
from service.store import named
from service.store.lists import Listing
from service.store.records import corrected_by, standing
from service.store.session import ReadSession
from service.web.amounts import litres, mass
from service.web.fields import Amount
from service.web.footnotes import Footnotes
from service.workshop.materials._tables import FigureRow, Material
from service.workshop.materials.bodies import (
    Family,
    FigureOut,
    Kind,
    MaterialOut,
    NamedFigure,
    SubjectKind,
)
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
    notes = Footnotes()
    figures = shown_figures(known_figures(session, "material", row.code), notes)
    return MaterialOut(
        code=row.code,
        kind=row.kind,
        name=row.name,
        family=row.family,
        lots_start_as=row.lots_start_as,
        lot_prefix=row.lot_prefix,
        cas=row.cas,
        ec=row.ec,
        formula=row.formula,
        autoxidising=row.autoxidising,
        label_name=row.label_name,
        holds=litres(row.holds_ul),
        tare=mass(row.tare_mg),
        created_at=row.created_at,
        archived_at=row.archived_at,
        figures=figures,
        notes=notes.as_json(),
    )


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
