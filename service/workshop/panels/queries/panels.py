"""What is read of panels, their coats and their sheets."""

from collections.abc import Iterable
from typing import Annotated

from pydantic import AfterValidator
from sqlmodel import col, func, select

from service.science.rounding import plain
from service.store.records import standing
from service.store.session import ReadSession
from service.web.fields import Amount
from service.web.footnotes import Footnotes
from service.workshop.panels._tables import Coat, Panel, ProtocolTest, Reading
from service.workshop.panels.bodies.panels import CoatOut, PanelOut, PanelSheet, SheetRow, Words
from service.workshop.panels.queries.films import film
from service.workshop.panels.queries.listing import CodedListing
from service.workshop.panels.queries.protocols import exposure_of, protocol, tests_of, version
from service.workshop.panels.queries.scales import values_of
from service.workshop.panels.rules import UnknownCoat, UnknownPanel
from service.workshop.panels.rules.sentences import exposed
from service.workshop.panels.rules.words import effects, extents
from service.workshop.stock import queries as stock

Upper = Annotated[str, AfterValidator(str.upper)]
PANELS = CodedListing(
    "panels",
    Panel,
    sorts=("code", "created_at"),
    default_sort="-created_at",
    filters={"lot": Upper},
    times=("created_at",),
    columns={"lot": col(Panel.lot_number)},
)


def find_panel(session: ReadSession, code: str) -> Panel | None:
    return session.exec(select(Panel).where(Panel.code == code.strip().upper())).first()


def panel(session: ReadSession, code: str) -> Panel:
    """Raises UnknownPanel."""
    if (row := find_panel(session, code)) is None:
        raise UnknownPanel(f"There is no panel {code[:40]!r}.")
    return row


def panels_of_lot(session: ReadSession, lot_id: int) -> list[Panel]:
    """The panels made for a lot, the oldest first."""
    return list(session.exec(select(Panel).where(Panel.lot == lot_id).order_by(col(Panel.id))))


def panels_by_id(session: ReadSession, ids: Iterable[int | None]) -> dict[int, Panel]:
    """Panels by their keys, in one query."""
    rows = session.exec(select(Panel).where(col(Panel.id).in_({i for i in ids if i})))
    return {row.row_id: row for row in rows}


def coats_of(session: ReadSession, panel_ids: Iterable[int | None]) -> dict[int, list[Coat]]:
    """The standing coats of panels, in the order they were put on, in one query."""
    wanted = {found for found in panel_ids if found}
    rows = session.exec(
        select(Coat)
        .where(col(Coat.panel).in_(wanted), standing(Coat))
        .order_by(col(Coat.coated_on), col(Coat.coat))
    )
    found: dict[int, list[Coat]] = {panel_id: [] for panel_id in wanted}
    for row in rows:
        found[row.panel].append(row)
    return found


def coat(session: ReadSession, row: Panel, number: int) -> Coat:
    """The standing coat of a number. Raises UnknownCoat."""
    held = coats_of(session, [row.id])[row.row_id]
    found = next((each for each in held if each.coat == number), None)
    if found is None:
        raise UnknownCoat(f"No coat {number} stands on {row.code}.")
    return found


def _shown_coat(session: ReadSession, row: Coat) -> CoatOut:
    wet = row.wet_g_per_m2
    return CoatOut(
        coat=row.coat,
        on=row.coated_on,
        lot=stock.lot_by_id(session, row.lot).number,
        wet=None if wet is None else Amount(value=plain(wet), unit="g/m2"),
        how=row.how,
        by=row.by,
    )


def shown_panel(session: ReadSession, row: Panel) -> PanelOut:
    notes = Footnotes()
    coats = coats_of(session, [row.id])[row.row_id]
    counting = select(func.count()).select_from(Reading)
    readings = session.exec(counting.where(col(Reading.panel) == row.id, standing(Reading))).one()
    dry = film(session, coats)
    return PanelOut(
        code=row.code,
        lot=row.lot_number,
        wood=row.wood,
        cure=row.cure,
        coats=[_shown_coat(session, coat) for coat in coats],
        film=dry.figure(notes) if dry else None,
        readings=readings,
        by=row.by,
        created_at=row.created_at,
        notes=notes.as_json(),
    )


def sheet(session: ReadSession, row: Panel, *, code: str, number: int | None) -> PanelSheet:
    """The sheet of a protocol on a panel. Raises UnknownProtocol, UnknownProtocolVersion."""
    held = protocol(session, code)
    used = version(session, held.code, number)
    tests = tests_of(session, held.code, used.number)
    page = {
        "protocol": held.code,
        "version": used.number,
        "on": None,
        "by": None,
        "room": None,
        "rows": {test.at: None for test in tests},
    }
    return PanelSheet(
        panel=row.code,
        lot=row.lot_number,
        wood=row.wood,
        coats=len(coats_of(session, [row.id])[row.row_id]),
        protocol=held.code,
        version=used.number,
        name=held.name,
        method=used.method,
        rows=_sheet_rows(session, tests),
        words=Words(effects=list(effects()), extents=list(extents())),
        page_to_send=page,
    )


def _sheet_rows(session: ReadSession, tests: list[ProtocolTest]) -> list[SheetRow]:
    ratings = values_of(session, [test.scale for test in tests])
    return [
        SheetRow(
            row=number,
            at=test.at,
            test=test.test,
            do=exposed(exposure_of(test)),
            reagent=test.reagent,
            scale=test.scale,
            ratings=[value.value for value in ratings.get(test.scale or "", [])],
        )
        for number, test in enumerate(tests, 1)
    ]
