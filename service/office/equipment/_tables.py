"""Rows of the equipment desk."""

from datetime import date
from typing import ClassVar

from sqlalchemy import BigInteger
from sqlmodel import Field

from service.store.columns import Named


class Equipment(Named, table=True):
    """A piece of equipment: what it holds in µl, what a balance reads to in mg."""

    __tablename__ = "equipment"
    searched: ClassVar[tuple[str, ...]] = ("code", "name")

    kind: str = Field(max_length=20, index=True)
    name: str | None = Field(default=None, max_length=80)
    holds_ul: int | None = Field(default=None, sa_type=BigInteger)
    reads_to_mg: int | None = Field(default=None, sa_type=BigInteger)
    capacity_mg: int | None = Field(default=None, sa_type=BigInteger)
    calibrated_on: date | None = None
    calibrated_until: date | None = None
