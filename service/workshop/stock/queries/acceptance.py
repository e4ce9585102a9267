"""Incoming acceptance: what a material asks to be measured of a received lot, and what was."""

from sqlmodel import col, select

from service.store.records import standing
from service.store.session import ReadSession
from service.web.fields import Figure
from service.web.footnotes import Footnotes
from service.workshop.materials import queries as materials
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties
from service.workshop.stock._tables import Lot
from service.workshop.stock.bodies import AcceptanceOut, AskedFor

_OF_CERTIFICATES = "declared"
_OF_READINGS = "measured"


def asked_of(session: ReadSession, lot: Lot) -> tuple[str, ...]:
    """The properties that must be measured of a lot; of what is made here, its recipe decides."""
    if lot.kind != "received":
        return ()
    return materials.material(session, lot.material).accept_with


def unmeasured(session: ReadSession, lot: Lot) -> list[tuple[str, str]]:
    """Name and label of what is asked for and was not measured of this very lot."""
    asks = asked_of(session, lot)
    known = _newest(session, lot, asks)
    return [(name, properties()[name].label) for name in asks if (name, _OF_READINGS) not in known]


def acceptance(session: ReadSession, lot: Lot) -> AcceptanceOut:
    """What is asked for, beside the certificate and what was measured."""
    asks, notes = asked_of(session, lot), Footnotes()
    known = _newest(session, lot, asks)
    return AcceptanceOut(
        lot=lot.number,
        material=lot.material,
        quality=lot.quality,
        asks=[
            AskedFor(
                property=name,
                label=properties()[name].label,
                certificate=_figure(known.get((name, _OF_CERTIFICATES)), notes),
                measured=_figure(known.get((name, _OF_READINGS)), notes),
            )
            for name in asks
        ],
        missing=[name for name in asks if (name, _OF_READINGS) not in known],
        measured_by=f"POST /v1/lots/{lot.number}/readings",
        released_by=f"POST /v1/lots/{lot.number}/releases",
        notes=notes.as_json(),
    )


def _newest(
    session: ReadSession, lot: Lot, asks: tuple[str, ...]
) -> dict[tuple[str, str], FigureRow]:
    """The newest standing figure of the lot by property and basis, in one query."""
    rows = session.exec(
        select(FigureRow)
        .where(
            FigureRow.subject_kind == "lot",
            FigureRow.subject == lot.number,
            col(FigureRow.property).in_(asks),
            standing(FigureRow),
        )
        .order_by(col(FigureRow.happened_at), col(FigureRow.id))
    )
    return {(row.property, row.basis): row for row in rows}


def _figure(row: FigureRow | None, notes: Footnotes) -> Figure | None:
    if row is None:
        return None
    shown = materials.shown_figures([row], notes)[0]
    return Figure(value=shown.value, unit=shown.unit, basis=shown.basis, note=shown.note)
