"""Rows of the panels slice."""

from datetime import date, datetime
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from service.store.columns import Instant, Named, Numbered, Recorded, Scaled


class RatingScale(Named, table=True):
    """A named scale; its direction is part of it, since scales run both ways."""

    __tablename__ = "rating_scales"
    searched: ClassVar[tuple[str, ...]] = ("code", "name")

    name: str = Field(max_length=80)
    best: str = Field(max_length=12)
    worst: str = Field(max_length=12)
    source: str | None = Field(default=None, max_length=200)


class ScaleValue(Numbered, table=True):
    """One value of a scale; rank 1 is the best."""

    __tablename__ = "scale_values"
    __table_args__ = (UniqueConstraint("scale", "value"),)

    scale: str = Field(max_length=20, foreign_key="rating_scales.code", index=True)
    value: str = Field(max_length=12)
    rank: int
    text: str = Field(max_length=300)


class Protocol(Named, table=True):
    """A set of tests done together on one panel."""

    __tablename__ = "protocols"
    searched: ClassVar[tuple[str, ...]] = ("code", "name")

    name: str = Field(max_length=80)


class ProtocolVersion(Numbered, table=True):
    """One version of a protocol; never edited."""

    __tablename__ = "protocol_versions"
    __table_args__ = (UniqueConstraint("protocol", "number"),)

    protocol: str = Field(max_length=20, foreign_key="protocols.code", index=True)
    number: int
    method: str = Field(max_length=300)  # the standard named, or the workshop's own
    created_at: datetime = Field(sa_type=Instant)
    created_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")


class ProtocolTest(Numbered, table=True):
    """One exposure: what is put on, how, and for how long."""

    __tablename__ = "protocol_tests"
    __table_args__ = (UniqueConstraint("version", "at"), UniqueConstraint("version", "test"))

    version: int = Field(foreign_key="protocol_versions.id", index=True)
    at: str = Field(max_length=8)  # position on the panel: A1
    test: str = Field(max_length=20)  # WATER-16H
    tried: str = Field(max_length=80)  # water
    reagent: str | None = Field(default=None, max_length=20, foreign_key="materials.code")
    mode: str = Field(max_length=16)  # rub|spot-open|spot-covered|immersion|pad|scrape|knock
    contact_seconds: int | None = None
    rubs: int | None = None
    temperature_c: Decimal | None = Field(default=None, sa_type=Scaled)
    scale: str | None = Field(default=None, max_length=20, foreign_key="rating_scales.code")
    own_method: bool = Field(default=True)
    method: str | None = Field(default=None, max_length=200)


class Panel(Numbered, table=True):
    """A coated piece of wood."""

    __tablename__ = "panels"
    searched: ClassVar[tuple[str, ...]] = ("code", "wood", "lot_number")

    code: str = Field(max_length=20, unique=True)
    lot: int = Field(foreign_key="lots.id", index=True)
    lot_number: str = Field(max_length=20, index=True)
    wood: str = Field(max_length=200)
    cure: str | None = Field(default=None, max_length=300)
    by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    created_at: datetime = Field(sa_type=Instant)
    folded: str = Field(default="", max_length=600)


class Coat(Recorded, table=True):
    """One coat on a panel."""

    __tablename__ = "coats"

    panel: int = Field(foreign_key="panels.id", index=True)
    coat: int
    lot: int = Field(foreign_key="lots.id", index=True)
    coated_on: date
    wet_g_per_m2: Decimal | None = Field(default=None, sa_type=Scaled)
    how: str | None = Field(default=None, max_length=200)


class Reading(Recorded, table=True):
    """What was seen or measured; always of a lot, on a panel's position where there is one."""

    __tablename__ = "readings"

    number: str = Field(max_length=20, unique=True)
    lot: int = Field(foreign_key="lots.id", index=True)
    lot_number: str = Field(max_length=20, index=True)
    panel: int | None = Field(default=None, foreign_key="panels.id", index=True)
    at: str | None = Field(default=None, max_length=8)
    trial: int
    protocol: str | None = Field(default=None, max_length=20, foreign_key="protocols.code")
    version: int | None = None
    test: str = Field(max_length=30, index=True)  # of the protocol, or the property measured
    tried: str | None = Field(default=None, max_length=80)
    read_on: date
    coats: int | None = None
    age_days: int | None = None
    temperature_c: Decimal | None = Field(default=None, sa_type=Scaled)
    humidity: Decimal | None = Field(default=None, sa_type=Scaled)
    value: Decimal | None = Field(default=None, sa_type=Scaled)
    entered_value: str | None = Field(default=None, max_length=30)
    entered_unit: str | None = Field(default=None, max_length=20)
    method: str | None = Field(default=None, max_length=300)
    scale: str | None = Field(default=None, max_length=20, foreign_key="rating_scales.code")
    rating: str | None = Field(default=None, max_length=12)
    remark: str | None = Field(default=None, max_length=600)


class Effect(Numbered, table=True):
    """One effect of a reading; a reading without any saw nothing."""

    __tablename__ = "effects"

    reading: int = Field(foreign_key="readings.id", index=True)
    effect: str = Field(max_length=40)
    extent: str | None = Field(default=None, max_length=20)
    gone_after_seconds: int | None = None
