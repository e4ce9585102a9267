"""Rows of the recipes slice."""

from datetime import datetime
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Codes, Instant, Named, Numbered, Scaled


class Recipe(Named, table=True):
    """A recipe makes a material."""

    __tablename__ = "recipes"
    searched: ClassVar[tuple[str, ...]] = ("code", "name", "makes")

    name: str = Field(max_length=80)
    makes: str = Field(max_length=20, foreign_key="materials.code", index=True)


class Version(Numbered, table=True):
    """One version: a draft until it is approved, then frozen, and retired when another serves."""

    __tablename__ = "versions"
    __table_args__ = (UniqueConstraint("recipe", "number"),)

    recipe: str = Field(max_length=20, foreign_key="recipes.code", index=True)
    number: int
    state: str = Field(max_length=10, index=True)  # draft | approved | retired
    created_at: datetime = Field(sa_type=Instant)
    created_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    approved_at: datetime | None = Field(default=None, sa_type=Instant)
    approved_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    retired_at: datetime | None = Field(default=None, sa_type=Instant)
    retired_by: str | None = Field(default=None, max_length=20)
    retired_for: str | None = Field(default=None, max_length=600)
    came_from: int | None = None  # the number of the version it was made from
    why: str | None = Field(default=None, max_length=600)
    as_written: str | None = Field(default=None, max_length=8000)  # of an old notebook page
    reconstructed: bool = Field(default=False)
    labour_seconds: int | None = None  # of work by hand, for so much of what comes out:
    labour_for_mg: int | None = Field(default=None, sa_type=BigInteger)
    remark: str | None = Field(default=None, max_length=2000)
    photo: str | None = Field(default=None, max_length=71)  # may come later, or never


class StageRow(Numbered, table=True):
    """One stage of a version, in its place in the order of the work."""

    __tablename__ = "stages"
    begun_by_migration: ClassVar[bool] = True
    __table_args__ = (UniqueConstraint("version", "stage"),)

    version: int = Field(foreign_key="versions.id", index=True)
    position: int
    stage: str = Field(max_length=12)
    seconds: int | None = None
    remark: str | None = Field(default=None, max_length=300)


class Loss(Numbered, table=True):
    """What a stage is declared to take of all that is in the pot; a gain is negative."""

    __tablename__ = "losses"
    begun_by_migration: ClassVar[bool] = True
    __table_args__ = (UniqueConstraint("version", "stage", "cause"),)

    version: int = Field(foreign_key="versions.id", index=True)
    stage: str = Field(max_length=12)
    cause: str = Field(max_length=12)
    percent: Decimal = Field(sa_type=Scaled)


class Line(Numbered, table=True):
    """One material of a version; its amount in parts, in percent, or by a rule."""

    __tablename__ = "lines"
    __table_args__ = (UniqueConstraint("version", "line"),)

    version: int = Field(foreign_key="versions.id", index=True)
    line: int
    material: str = Field(max_length=20, foreign_key="materials.code", index=True)
    basis: str = Field(max_length=8)  # parts | percent | rule
    # Parts or percent; of a rule its figure in its canonical unit, if it has one.
    amount: Decimal | None = Field(default=None, sa_type=Scaled)
    rule: str | None = Field(default=None, max_length=12)
    of_lines: tuple[str, ...] = Field(default=(), sa_type=Codes)
    rule_on: str | None = Field(default=None, max_length=16)
    excess: Decimal | None = Field(default=None, sa_type=Scaled)
    stage: str = Field(max_length=12)
    tolerance: Decimal | None = Field(default=None, sa_type=Scaled)  # percent of the target
    condition: str | None = Field(default=None, max_length=200)


class Step(Numbered, table=True):
    """One thing to do besides weighing; its line number continues that of the materials."""

    __tablename__ = "steps"
    __table_args__ = (UniqueConstraint("version", "line"),)

    version: int = Field(foreign_key="versions.id", index=True)
    line: int
    stage: str = Field(max_length=12)
    do: str = Field(max_length=8)  # heat | hold | cool | wait | check | strain | note
    to_c: Decimal | None = Field(default=None, sa_type=Scaled)
    seconds: int | None = None
    ramp_k_min: Decimal | None = Field(default=None, sa_type=Scaled)
    until: str | None = Field(default=None, max_length=200)


class ProvedBand(Numbered, table=True):
    """Between which values of a material's property a version was proved to work."""

    __tablename__ = "proved_bands"
    __table_args__ = (UniqueConstraint("version", "material", "property"),)

    version: int = Field(foreign_key="versions.id", index=True)
    material: str = Field(max_length=20, foreign_key="materials.code")
    property: str = Field(max_length=30)
    low: Decimal = Field(sa_type=Scaled)
    high: Decimal = Field(sa_type=Scaled)
