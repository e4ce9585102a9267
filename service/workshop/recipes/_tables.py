"""Rows of the recipes slice."""

from datetime import datetime
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from service.store.columns import Instant, Named, Numbered, Scaled


class Recipe(Named, table=True):
    """A recipe makes a material."""

    __tablename__ = "recipes"
    searched: ClassVar[tuple[str, ...]] = ("code", "name", "makes")

    name: str = Field(max_length=80)
    makes: str = Field(max_length=20, foreign_key="materials.code", index=True)


class Version(Numbered, table=True):
    """One version: a draft until it is approved, then frozen."""

    __tablename__ = "versions"
    __table_args__ = (UniqueConstraint("recipe", "number"),)

    recipe: str = Field(max_length=20, foreign_key="recipes.code", index=True)
    number: int
    state: str = Field(max_length=10, index=True)  # draft | approved | retired
    created_at: datetime = Field(sa_type=Instant)
    created_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    approved_at: datetime | None = Field(default=None, sa_type=Instant)
    approved_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    loss_cook: Decimal | None = Field(default=None, sa_type=Scaled)  # percent of what is charged
    loss_strain: Decimal | None = Field(default=None, sa_type=Scaled)
    remark: str | None = Field(default=None, max_length=2000)


class Line(Numbered, table=True):
    """One material of a version."""

    __tablename__ = "lines"
    __table_args__ = (UniqueConstraint("version", "line"),)

    version: int = Field(foreign_key="versions.id", index=True)
    line: int
    material: str = Field(max_length=20, foreign_key="materials.code", index=True)
    basis: str = Field(max_length=8)  # parts | percent
    amount: Decimal = Field(sa_type=Scaled)
    stage: str = Field(max_length=12)


class Step(Numbered, table=True):
    """One thing to do besides weighing; its line number continues that of the materials."""

    __tablename__ = "steps"
    __table_args__ = (UniqueConstraint("version", "line"),)

    version: int = Field(foreign_key="versions.id", index=True)
    line: int
    stage: str = Field(max_length=12)
    do: str = Field(max_length=8)  # heat | hold | cool | strain | note
    to_c: Decimal | None = Field(default=None, sa_type=Scaled)
    seconds: int | None = None
    until: str | None = Field(default=None, max_length=200)
