"""Lots: their numbers drawn, made, connected, and their quality."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from string import ascii_uppercase

from service.office.workshop_card.queries import today
from service.science.check_characters import compact, format_lot, parse_lot
from service.store.numbers import draw, mark_drawn
from service.store.session import WriteSession
from service.workshop.materials import queries as materials
from service.workshop.materials.rules import COUNTED
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Edge, Lot


@dataclass(frozen=True, slots=True)
class NewLot:
    """A lot to be made. `amount_in` (mg or pieces) is what came or was made of it; the movement
    that brings it is the caller's, since only the caller knows the cause."""

    number: str
    kind: str
    material: str
    amount_in: int
    quality: str | None = None  # where None, as the material's lots start
    product: str | None = None
    pack: str | None = None
    container: str | None = None
    nominal_ul: int | None = None
    receipt: int | None = None
    supplier: str | None = None
    supplier_lot: str | None = None
    certificate: str | None = None
    price: Decimal | None = None
    made_on: date | None = None
    expires_on: date | None = None
    retest_on: date | None = None
    ready_on: date | None = None


def number_for(session: WriteSession, prefix: str, on: date, letter: str = "") -> str:
    """The next free number PREFIX-YYMM-NN[A]-C of a beginning and a month; of this month for what
    came before the scheme's two digits of the year can say so. Raises NumbersUsedUp."""
    bare = rules.number_prefix(prefix)
    if not rules.in_scheme(on):
        on = today(session)
    name = rules.sequence_name(bare, on)
    while (count := draw(session, name)) <= rules.LAST_SEQUENCE:
        number = format_lot(bare, on.year, month=on.month, sequence=count, letter=letter)
        # Someone may have given this very number by hand.
        if queries.find_lot(session, number) is None:
            return mark_drawn(session, number)
    raise rules.NumbersUsedUp(f"{name}-01 to {name}-99 are all given.")


def lettered_number(session: WriteSession, parent: Lot, on: date) -> str:
    """The parent's number with its next free letter, as fills and splits bear it; a new number
    of the same material where the parent's is out of the scheme or out of letters."""
    read = parse_lot(parent.number)
    if read is not None and read.sound:
        for letter in ascii_uppercase:
            number = format_lot(
                read.prefix, read.year, month=read.month, sequence=read.sequence, letter=letter
            )
            if queries.find_lot(session, number) is None:
                return mark_drawn(session, number)
    return number_for(session, materials.material(session, parent.material).lot_prefix, on)


def make_lot(session: WriteSession, new: NewLot) -> Lot:
    """A lot without any movement yet. Raises UnknownMaterial, LotTaken."""
    if (held := queries.find_lot(session, new.number)) is not None:
        raise rules.LotTaken(f"{new.number} is already the lot {held.number} of {held.material}.")
    material = materials.material(session, new.material)
    row = Lot(
        number=new.number,
        compact=compact(new.number),
        kind=new.kind,
        material=material.code,
        measure=rules.measure(new.kind, counted=material.kind in COUNTED),
        quality=new.quality or material.lots_start_as,
        product=new.product,
        pack=new.pack,
        container=new.container,
        nominal_ul=new.nominal_ul,
        receipt=new.receipt,
        supplier=new.supplier,
        supplier_lot=new.supplier_lot,
        certificate=new.certificate,
        price=new.price,
        amount_in=new.amount_in,
        made_on=new.made_on,
        expires_on=new.expires_on,
        retest_on=new.retest_on,
        ready_on=new.ready_on,
        created_at=session.now,
    )
    session.add(row)
    session.flush()  # movements and edges point at its key
    return row


def link(session: WriteSession, parent: Lot, child: Lot, amount: int) -> None:
    """Add to how much of a parent went into a child; below zero takes back, nothing unlinks."""
    key = {"parent": parent.row_id, "child": child.row_id}
    edge = session.get(Edge, key)
    whole = amount if edge is None else edge.amount + amount
    if edge is None:
        edge = Edge(**key, amount=whole)
    if whole > 0:
        edge.amount = whole
        session.add(edge)
    elif edge in session:
        session.delete(edge)  # the trail tells what it was
    session.flush()  # walks read the graph from the database


def set_amount_in(session: WriteSession, lot: Lot, amount_in: int) -> None:
    """Restate what came or was made of a lot, which its price is for; after a correction."""
    lot.amount_in = amount_in
    session.add(lot)


def set_days(
    session: WriteSession, lot: Lot, *, made_on: date | None, expires_on: date | None
) -> None:
    """Restate when a lot was made and how long it keeps, after a correction."""
    lot.made_on, lot.expires_on = made_on, expires_on
    session.add(lot)


def set_ready_on(session: WriteSession, lot: Lot, day: date | None) -> None:
    """Restate from when on a lot is ripe, as its maturing says."""
    lot.ready_on = day
    session.add(lot)


def set_quality(
    session: WriteSession, lot: Lot, quality: str, *, condition: str | None = None
) -> None:
    """Raises QualityFixed where the present quality does not lead there."""
    if not rules.may_become(lot.quality, quality):
        raise rules.QualityFixed(f"{lot.number} is {lot.quality} and cannot become {quality}.")
    lot.quality, lot.condition = quality, condition
    session.add(lot)
