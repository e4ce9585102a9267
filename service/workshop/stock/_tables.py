"""Rows of the stock slice. Amounts are whole milligrams, or pieces where a lot is kept by count."""

from datetime import date, datetime
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import BigInteger, Index
from sqlmodel import Field

from service.store.columns import Codes, Instant, Numbered, Recorded, Row, Scaled, edge_table


class Receipt(Recorded, table=True):
    """A delivery note."""

    __tablename__ = "receipts"

    number: str = Field(max_length=20, unique=True)
    supplier: str = Field(max_length=200, index=True)
    document: str | None = Field(default=None, max_length=80)
    received_on: date


class Lot(Numbered, table=True):
    """Everything with a number: received, made or packed."""

    __tablename__ = "lots"
    searched: ClassVar[tuple[str, ...]] = ("number", "material", "supplier_lot")

    number: str = Field(max_length=20, unique=True)
    compact: str = Field(max_length=20, unique=True)
    kind: str = Field(max_length=10, index=True)
    material: str = Field(max_length=20, foreign_key="materials.code", index=True)
    measure: str = Field(max_length=6)
    quality: str = Field(max_length=12, index=True)
    condition: str | None = Field(default=None, max_length=300)
    product: str | None = Field(default=None, max_length=20, foreign_key="products.code")
    pack: str | None = Field(default=None, max_length=20)
    container: str | None = Field(default=None, max_length=20, foreign_key="materials.code")
    nominal_ul: int | None = Field(default=None, sa_type=BigInteger)
    receipt: int | None = Field(default=None, foreign_key="receipts.id", index=True)
    supplier: str | None = Field(default=None, max_length=200)
    supplier_lot: str | None = Field(default=None, max_length=60)
    certificate: str | None = Field(default=None, max_length=71)  # may come later, or never
    price: Decimal | None = Field(default=None, sa_type=Scaled)  # of the whole lot as it came
    amount_in: int = Field(sa_type=BigInteger)  # what the price was for
    made_on: date | None = None
    expires_on: date | None = None
    retest_on: date | None = None
    ready_on: date | None = None
    created_at: datetime = Field(sa_type=Instant)
    folded: str = Field(default="", max_length=600)


class Movement(Recorded, table=True):
    """One line of the ledger; what is left of a lot is the sum of its amounts."""

    __tablename__ = "movements"

    lot: int = Field(foreign_key="lots.id", index=True)
    amount: int = Field(sa_type=BigInteger)
    cause: str = Field(max_length=12, index=True)
    cause_ref: str | None = Field(default=None, max_length=40, index=True)
    entered_value: str | None = Field(default=None, max_length=30)
    entered_unit: str | None = Field(default=None, max_length=20)
    density: Decimal | None = Field(default=None, sa_type=Scaled)  # kg/l, where a volume came
    override_reason: str | None = Field(default=None, max_length=300)


class Edge(Row, table=True):
    """How much of a parent lot went into a child lot."""

    __tablename__ = "edges"
    __table_args__ = (Index("ix_edges_child", "child", "parent"), edge_table())

    parent: int = Field(foreign_key="lots.id", primary_key=True)
    child: int = Field(foreign_key="lots.id", primary_key=True)
    amount: int = Field(sa_type=BigInteger)


class LifeEntry(Recorded, table=True):
    """What was done to the vessels of a lot, or seen in them, between its coming and its end."""

    __tablename__ = "life_entries"

    lot: int = Field(foreign_key="lots.id", index=True)
    opened: bool = Field(default=False)
    saw: str | None = Field(default=None, max_length=600)
    skin: int | None = Field(default=None, foreign_key="movements.id")  # the line that took it off
    photo: str | None = Field(default=None, max_length=71)
    certificate: str | None = Field(default=None, max_length=71)


class Vessel(Numbered, table=True):
    """What stood in one vessel of a lot when an entry was made."""

    __tablename__ = "life_vessels"

    entry: int = Field(foreign_key="life_entries.id", index=True)
    position: int
    vessel: str = Field(max_length=80)
    equipment: str | None = Field(default=None, max_length=20, foreign_key="equipment.code")
    amount: int = Field(sa_type=BigInteger)


class TopUp(Recorded, table=True):
    """A lot made by pouring others onto what was left of one."""

    __tablename__ = "top_ups"

    heel: int = Field(foreign_key="lots.id", index=True)
    made: int = Field(foreign_key="lots.id", index=True)
    movement: int = Field(foreign_key="movements.id")  # the line that brings the made lot
    figures: tuple[str, ...] = Field(default=(), sa_type=Codes)  # numbers of those worked out


class TopUpPart(Numbered, table=True):
    """How much of one lot went into a top-up."""

    __tablename__ = "top_up_parts"

    top_up: int = Field(foreign_key="top_ups.id", index=True)
    position: int
    lot: int = Field(foreign_key="lots.id", index=True)
    amount: int = Field(sa_type=BigInteger)
    what: str = Field(max_length=14)  # stock | kettle-heel | strainer-rinse
    movement: int = Field(foreign_key="movements.id")  # the line that took it out
    booked_back: int | None = Field(default=None, foreign_key="movements.id")
