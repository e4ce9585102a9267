"""What changes with panels and their coats."""

from datetime import date
from typing import Any

from service.errors import CodeTaken, Invalid, at
from service.office.people.queries import doer
from service.store.numbers import yearly
from service.store.session import WriteSession
from service.workshop.panels._tables import Coat, Panel
from service.workshop.panels.actions.amounts import kept
from service.workshop.panels.actions.days import day_stamp
from service.workshop.panels.bodies.panels import CoatIn, CoatMoreIn, PanelIn
from service.workshop.panels.queries.panels import coats_of, find_panel, panel
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot


def create_panel(session: WriteSession, wanted: PanelIn) -> tuple[Panel, dict[str, Any]]:
    """A panel with its coats, and what was assumed. Raises CodeTaken."""
    by = doer(session, wanted.by)
    lot = liquid(session, wanted.lot, "#/lot")
    row = Panel(
        code=_free_code(session, wanted.code),
        lot=lot.row_id,
        lot_number=lot.number,
        wood=wanted.wood,
        cure=wanted.cure,
        by=by,
        created_at=session.now,
    )
    session.add(row)
    session.flush()  # its coats point at it
    for number, coat in enumerate(wanted.coats, 1):
        pointer = f"#/coats/{number - 1}"
        _add_coat(session, row, coat, number=number, pointer=pointer, by=by)
    session.flush()  # the answer shows them
    return row, _assumed(row, wanted)


def _assumed(row: Panel, wanted: PanelIn) -> dict[str, Any]:
    assumed: dict[str, Any] = {}
    if wanted.code is None:
        assumed["code"] = row.code
    if any(coat.lot is None for coat in wanted.coats):
        assumed["coats"] = {"lot": row.lot_number}
    if wanted.by is None and row.by is not None:
        assumed["by"] = row.by
    return assumed


def _free_code(session: WriteSession, wanted: str | None) -> str:
    """The code asked for, or the next of the year that nobody gave by hand. Raises CodeTaken."""
    if wanted is None:
        code = yearly(session, "P", session.now.year)
        while find_panel(session, code) is not None:
            code = yearly(session, "P", session.now.year)
        return code
    if find_panel(session, wanted) is not None:
        wrong = f"{wanted} is already in use."
        raise CodeTaken(wrong, at("#/code", wrong, "code-taken"))
    return wanted


def liquid(session: WriteSession, number: str, pointer: str) -> Lot:
    """A lot that can be put on wood. Raises Invalid at its pointer."""
    lot = stock.lot_in_body(session, number, pointer=pointer)
    if lot.measure == "count" and lot.kind != "packed":
        wrong = f"{lot.number} is kept by the piece ({lot.material}); it cannot be a coat."
        raise Invalid(wrong, at(pointer, wrong, "lot-not-liquid"))
    return lot


def add_coat(session: WriteSession, code: str, wanted: CoatMoreIn) -> tuple[Panel, dict[str, Any]]:
    """One more coat on a panel, and what was assumed. Raises UnknownPanel."""
    row = panel(session, code)
    by = doer(session, wanted.by)
    held = coats_of(session, [row.id])[row.row_id]
    number = max((coat.coat for coat in held), default=0) + 1
    _add_coat(session, row, wanted, number=number, pointer="#", by=by)
    session.flush()  # the answer shows it
    assumed: dict[str, Any] = {} if wanted.lot else {"lot": row.lot_number}
    return row, assumed if wanted.by or by is None else {**assumed, "by": by}


def _add_coat(
    session: WriteSession, row: Panel, wanted: CoatIn, *, number: int, pointer: str, by: str | None
) -> None:
    lot = row.lot
    if wanted.lot is not None:
        lot = liquid(session, wanted.lot, f"{pointer}/lot").row_id
    on: date = wanted.on
    session.add(
        Coat(
            panel=row.row_id,
            coat=number,
            lot=lot,
            coated_on=on,
            wet_g_per_m2=kept(wanted.wet),
            how=wanted.how,
            **day_stamp(session, by=by, on=on),
        )
    )
