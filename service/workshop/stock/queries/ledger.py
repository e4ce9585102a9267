"""The ledger: what is left of lots, and movements as they are shown."""

import functools
from collections.abc import Iterable, Sequence
from dataclasses import replace

from sqlalchemy import bindparam, func
from sqlmodel import col, select
from sqlmodel.sql.expression import Select

from service.science.rounding import plain
from service.store.lists import Ask, Listing, Page, page
from service.store.records import standing
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount
from service.workshop.stock._tables import Lot, Movement
from service.workshop.stock.bodies import Cause, Held, MovementOut
from service.workshop.stock.rules import UnknownMovement

MOVEMENTS = Listing(
    "movements",
    Movement,
    sorts=("happened_at", "entered_at"),
    default_sort="-entered_at",
    filters={"lot": str, "cause": Cause},
    times=("happened_at",),
)


def left(session: ReadSession, ids: Iterable[int]) -> dict[int, int]:
    """What is left of each lot, in mg or pieces: the sum of its ledger."""
    wanted = dict.fromkeys(ids, 0)
    if not wanted:
        return wanted
    sums = session.exec(_sums(), params={"lots": list(wanted)})
    # PostgreSQL sums big integers as numeric.
    return {**wanted, **{lot: int(amount) for lot, amount in sums}}


@functools.cache
def _sums() -> Select[int, int]:
    inside = col(Movement.lot).in_(bindparam("lots", expanding=True))
    return select(Movement.lot, func.sum(Movement.amount)).where(inside).group_by(col(Movement.lot))


def held(lot: Lot, amount: int) -> Held:
    """An amount of a lot: a mass, or a number of pieces."""
    return amount if lot.measure == "count" else mass(amount) or amount


def said(lot: Lot, amount: int) -> str:
    """An amount of a lot in words."""
    shown = held(lot, amount)
    return f"{shown} pieces" if isinstance(shown, int) else f"{shown.value} {shown.unit}"


def name_of(movement: Movement) -> str:
    """The name by which a movement is addressed."""
    return f"M-{movement.row_id}"


def movement(session: ReadSession, name: str) -> Movement:
    """A movement by its name, M-17 or 17. Raises UnknownMovement."""
    digits = name.strip().upper().removeprefix("M-")
    is_key = digits.isascii() and digits.isdigit() and len(digits) < 19
    row = session.get(Movement, int(digits)) if is_key else None
    if row is None:
        raise UnknownMovement(f"There is no movement {name[:20]!r}.")
    return row


def standing_lines(session: ReadSession, lot: Lot, cause: str) -> list[Movement]:
    """The lines of a lot's ledger that one cause brought and that stand."""
    found = select(Movement).where(
        Movement.lot == lot.row_id, Movement.cause == cause, standing(Movement)
    )
    return list(session.exec(found.order_by(col(Movement.id))))


def movement_page(session: ReadSession, ask: Ask, lot: Lot | None) -> Page[Movement]:
    """One page of the ledger; the lot was asked for by number and is kept by key."""
    kept = {name: value for name, value in ask.equal.items() if name != "lot"}
    if lot is not None:
        kept["lot"] = lot.row_id
    return page(session, MOVEMENTS, replace(ask, equal=kept))


def shown_movements(session: ReadSession, rows: Sequence[Movement]) -> dict[int, MovementOut]:
    """Movements by key as they are shown, with two queries for all of them."""
    lots = session.exec(select(Lot).where(col(Lot.id).in_({row.lot for row in rows})))
    by_id = {lot.row_id: lot for lot in lots}
    later = session.exec(
        select(Movement).where(col(Movement.corrects).in_([row.row_id for row in rows]))
    )
    corrections = {row.corrects: name_of(row) for row in later}
    return {row.row_id: _shown(row, by_id[row.lot], corrections.get(row.row_id)) for row in rows}


def shown_movement(session: ReadSession, row: Movement) -> MovementOut:
    return shown_movements(session, [row])[row.row_id]


def _shown(row: Movement, lot: Lot, corrected_by: str | None) -> MovementOut:
    entered = None
    if row.entered_value is not None and row.entered_unit is not None:
        entered = Amount(value=row.entered_value, unit=row.entered_unit)
    density = None if row.density is None else Amount(value=plain(row.density), unit="kg/l")
    about = None if row.about_seconds is None else f"PT{row.about_seconds // 60}M"
    return MovementOut(
        movement=name_of(row),
        lot=lot.number,
        material=lot.material,
        amount=held(lot, row.amount),
        cause=row.cause,
        cause_ref=row.cause_ref,
        entered=entered,
        density=density,
        override_reason=row.override_reason,
        by=row.by,
        happened_at=row.happened_at,
        about=about,
        entered_at=row.entered_at,
        corrects=None if row.corrects is None else f"M-{row.corrects}",
        corrected_by=corrected_by,
        void=row.void,
        reason=row.reason,
    )
