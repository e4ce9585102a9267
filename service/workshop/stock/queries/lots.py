"""Lots found by number, by material, and as they are shown."""

import functools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import bindparam, or_
from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import Invalid, Remedy, at
from service.office.keys.queries import sees_costs as sees_costs
from service.office.workshop_card.queries import card, today
from service.science.check_characters import compact, near
from service.store.lists import Listing
from service.store.session import ReadSession
from service.web.amounts import litres
from service.web.footnotes import Footnotes
from service.workshop.materials import queries as materials
from service.workshop.stock._tables import Lot, Movement, Receipt
from service.workshop.stock.bodies import (
    LotFigure,
    LotFigures,
    LotKind,
    LotOut,
    LotShown,
    Quality,
    money,
)
from service.workshop.stock.queries.files import certificates
from service.workshop.stock.queries.ledger import held, left
from service.workshop.stock.queries.life import life_now, opened_on
from service.workshop.stock.rules import MistypedLot, UnknownLot, mistyped, read_as

MOST_MEANT = 3

LISTING = Listing(
    "lots",
    Lot,
    sorts=("number", "created_at"),
    default_sort="-created_at",
    filters={"kind": LotKind, "material": str, "quality": Quality, "product": str},
    times=("created_at",),
)


@dataclass(frozen=True, slots=True)
class OpenLot:
    """A lot that may be drawn from, and what is left of it (mg or pieces)."""

    lot: Lot
    left: int


def find_lot(session: ReadSession, number: str) -> Lot | None:
    """The lot of a number in any spelling."""
    bare = compact(number)
    if not (bare.isascii() and bare.isalnum()):
        return None
    return session.exec(select(Lot).where(Lot.compact == bare)).first()


def lot(session: ReadSession, number: str) -> Lot:
    """Raises UnknownLot, MistypedLot, both with the lots one slip away."""
    if (row := find_lot(session, number)) is not None:
        return row
    seen = read_as(number)
    more = {"read_as": seen, "did_you_mean": _meant(session, number)}
    if mistyped(number):
        wrong = f"{seen} cannot be right: its last character does not fit the others."
        raise MistypedLot(wrong, more=more)
    raise UnknownLot(f"No lot has the number {seen}.", more=more)


def lot_in_body(session: ReadSession, number: str, *, pointer: str) -> Lot:
    """A lot named in a body. Raises Invalid at its pointer, with the lots one slip away."""
    try:
        return lot(session, number)
    except (UnknownLot, MistypedLot) as missing:
        meant = missing.more["did_you_mean"]
        # Only a top-level field can be mended without knowing the rest of the body.
        field = pointer.removeprefix("#/")
        remedies = tuple(
            Remedy(f"{other} was meant", {field: other}) for other in meant if "/" not in field
        )
        hint = f"Did you mean {' or '.join(meant)}?" if meant else "Look at the number again."
        faults = at(pointer, missing.detail, missing.slug, hint=hint, remedies=remedies)
        raise Invalid(missing.detail, faults, more=missing.more) from None


def neighbours(session: ReadSession, number: str) -> list[Lot]:
    """The lots whose number is one edit or one swap away, those whose check fits first."""
    slips = {compact(slip): place for place, slip in enumerate(near(number))}
    found = session.exec(select(Lot).where(col(Lot.compact).in_(slips)))
    return sorted(found, key=lambda row: slips[row.compact])


def _meant(session: ReadSession, number: str) -> list[str]:
    return [row.number for row in neighbours(session, number)[:MOST_MEANT]]


def lot_by_id(session: ReadSession, lot_id: int) -> Lot:
    """The lot of a key that another row holds."""
    return session.get_one(Lot, lot_id)


def lots_by_id(session: ReadSession, ids: Iterable[int]) -> dict[int, Lot]:
    """Lots by key, in one query."""
    return {row.row_id: row for row in session.exec(select(Lot).where(col(Lot.id).in_(set(ids))))}


def open_lots(session: ReadSession, material: str) -> list[OpenLot]:
    """What may be drawn of a material: released, neither expired nor to be looked at again,
    something left; the one that expires first, then the oldest."""
    return open_lots_of(session, [material])[material]


def open_lots_of(session: ReadSession, codes: Iterable[str]) -> dict[str, list[OpenLot]]:
    """What may be drawn of each material, in two queries for all of them."""
    found: dict[str, list[OpenLot]] = {code: [] for code in codes}
    rows = session.exec(_usable(), params={"codes": list(found), "today": today(session)}).all()
    remains = left(session, [row.row_id for row in rows])
    for row in rows:
        if remains[row.row_id] > 0:
            found[row.material].append(OpenLot(row, remains[row.row_id]))
    return found


@functools.cache
def _usable() -> SelectOfScalar[Lot]:
    """The released lots of materials whose days are not past, in the order of their use."""
    expires, retest = col(Lot.expires_on), col(Lot.retest_on)
    return (
        select(Lot)
        .where(
            col(Lot.material).in_(bindparam("codes", expanding=True)),
            Lot.quality == "released",
            or_(expires.is_(None), expires >= bindparam("today")),
            or_(retest.is_(None), retest >= bindparam("today")),
        )
        .order_by(expires.is_(None), expires, col(Lot.id))
    )


def lots_of_material(session: ReadSession, material: str, kind: str) -> list[Lot]:
    """The lots of one kind of a material, newest first."""
    return list(session.exec(_of_kind(), params={"material": material, "kind": kind}))


@functools.cache
def _of_kind() -> SelectOfScalar[Lot]:
    of_one = (Lot.material == bindparam("material"), Lot.kind == bindparam("kind"))
    return select(Lot).where(*of_one).order_by(col(Lot.id).desc())


def subject_chain(lot: Lot) -> tuple[tuple[str, str], ...]:
    """Where a figure of a lot is looked for, for `materials.queries.figure`."""
    return (("lot", lot.number), ("material", lot.material))


def shown_lots(session: ReadSession, rows: Sequence[Lot]) -> dict[int, LotOut]:
    """Lots by key as they are shown, with a few queries for all of them."""
    remains = left(session, [row.row_id for row in rows])
    names = materials.names(session, [row.material for row in rows])
    costs = sees_costs(session)
    numbers = _receipt_numbers(session, rows)
    opened = opened_on(session, remains)
    files = certificates(session, rows) if costs else {}
    return {
        row.row_id: LotOut(
            lot=row.number,
            kind=row.kind,
            material=row.material,
            name=names[row.material],
            quality=row.quality,
            condition=row.condition,
            came=held(row, row.amount_in),
            left=held(row, remains[row.row_id]),
            product=row.product,
            pack=row.pack,
            container=row.container,
            nominal=litres(row.nominal_ul),
            receipt=numbers.get(row.receipt or 0),
            supplier=row.supplier if costs else None,
            supplier_lot=row.supplier_lot if costs else None,
            certificate=files.get(row.row_id),
            price=money(row.price, card(session).currency) if costs else None,
            opened_on=opened.get(row.row_id),
            made_on=row.made_on,
            expires_on=row.expires_on,
            retest_on=row.retest_on,
            ready_on=row.ready_on,
            created_at=row.created_at,
        )
        for row in rows
    }


def _receipt_numbers(session: ReadSession, rows: Sequence[Lot]) -> dict[int, str]:
    ids = {row.receipt for row in rows if row.receipt is not None}
    found = session.exec(select(Receipt).where(col(Receipt.id).in_(ids)))
    return {row.row_id: row.number for row in found}


def shown(session: ReadSession, row: Lot) -> LotShown:
    """A lot with what is known of it."""
    plain = shown_lots(session, [row])[row.row_id]
    known = figures_of(session, row)
    life = life_now(session, row, movements_of(session, row.row_id))
    return LotShown(**plain.model_dump(), life=life, figures=known.figures, notes=known.notes)


def figures_of(session: ReadSession, row: Lot) -> LotFigures:
    """Each property's figure: the lot's own, else its material's."""
    best: dict[str, Any] = {}
    for kind, subject in reversed(subject_chain(row)):
        for figure in materials.known_figures(session, kind, subject):
            best[figure.property] = figure
    notes = Footnotes()
    figures = [
        LotFigure(**shown.model_dump(), of=figure.subject_kind)
        for figure, shown in zip(
            best.values(), materials.shown_figures(list(best.values()), notes), strict=True
        )
    ]
    return LotFigures(lot=row.number, figures=figures, notes=notes.as_json())


def movements_of(session: ReadSession, lot_id: int) -> list[Movement]:
    """The whole ledger of a lot, in the order of entry."""
    return list(
        session.exec(select(Movement).where(Movement.lot == lot_id).order_by(col(Movement.id)))
    )
