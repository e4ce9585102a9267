"""Rows of the materials slice."""

from datetime import date
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import BigInteger, Index
from sqlmodel import Field

from service.store.columns import Codes, Named, Numbered, Recorded, Scaled


class Material(Named, table=True):
    """A substance or a pack; sizes in µl and mg."""

    __tablename__ = "materials"
    searched: ClassVar[tuple[str, ...]] = ("code", "name", "cas")

    name: str = Field(max_length=80)
    kind: str = Field(max_length=16, index=True)
    family: str | None = Field(default=None, max_length=16, index=True)
    lots_start_as: str = Field(max_length=12)
    accept_with: tuple[str, ...] = Field(default=(), sa_type=Codes)  # properties
    lot_prefix: str = Field(max_length=11)
    cas: str | None = Field(default=None, max_length=12, index=True)
    ec: str | None = Field(default=None, max_length=9)
    formula: str | None = Field(default=None, max_length=60)
    autoxidising: bool | None = None
    label_name: str | None = Field(default=None, max_length=200)
    holds_ul: int | None = Field(default=None, sa_type=BigInteger)
    tare_mg: int | None = Field(default=None, sa_type=BigInteger)
    metal: str | None = Field(default=None, max_length=2)
    price: Decimal | None = Field(default=None, sa_type=Scaled)
    price_per: str | None = Field(default=None, max_length=5)
    price_source: str | None = Field(default=None, max_length=200)
    price_on: date | None = None
    hazards_known: bool = Field(default=False)
    order_from: str | None = Field(default=None, max_length=80)
    lead_days: int | None = None
    order_at: int | None = Field(default=None, sa_type=BigInteger)  # mg or pieces
    order_amount: int | None = Field(default=None, sa_type=BigInteger)


class Hazard(Numbered, table=True):
    """One hazard statement of a material; the set is replaced as a whole.

    No row says "none" only where the material's hazards are known.
    """

    __tablename__ = "hazards"

    material: str = Field(max_length=20, foreign_key="materials.code", index=True)
    code: str = Field(max_length=8)
    category: str | None = Field(default=None, max_length=40)
    scl_percent: Decimal | None = Field(default=None, sa_type=Scaled)
    m_factor: int | None = None
    notes: tuple[str, ...] = Field(default=(), sa_type=Codes)
    basis: str = Field(max_length=12)
    source: str = Field(max_length=200)
    dated: date | None = None


class FigureRow(Recorded, table=True):
    """One thing known of any subject: value in the property's canonical unit, and as entered."""

    __tablename__ = "figures"
    __table_args__ = (Index("ix_figures_subject", "subject_kind", "subject", "property"),)

    number: str = Field(max_length=20, unique=True)
    subject_kind: str = Field(max_length=12)
    subject: str = Field(max_length=30)
    property: str = Field(max_length=30)
    value: Decimal = Field(sa_type=Scaled)
    entered_value: str = Field(max_length=30)
    entered_unit: str = Field(max_length=20)
    basis: str = Field(max_length=12)
    source: str | None = Field(default=None, max_length=300)
    method: str | None = Field(default=None, max_length=300)
    temperature_c: Decimal | None = Field(default=None, sa_type=Scaled)
    dated: date | None = None
