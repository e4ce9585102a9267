"""Rows of the equipment desk."""

from datetime import date
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import BigInteger
from sqlmodel import Field

from service.store.columns import Named, Scaled


class Equipment(Named, table=True):
    """A piece of equipment: what it holds in µl, what a balance reads to in mg.

    `efficiency`: percent of a kettle's power that reaches the charge; null where nobody knows.
    """

    __tablename__ = "equipment"
    searched: ClassVar[tuple[str, ...]] = ("code", "name")

    kind: str = Field(max_length=20, index=True)
    name: str | None = Field(default=None, max_length=80)
    holds_ul: int | None = Field(default=None, sa_type=BigInteger)
    reads_to_mg: int | None = Field(default=None, sa_type=BigInteger)
    capacity_mg: int | None = Field(default=None, sa_type=BigInteger)
    power_w: Decimal | None = Field(default=None, sa_type=Scaled)
    efficiency: Decimal | None = Field(default=None, sa_type=Scaled)
    calibrated_on: date | None = None
    calibrated_until: date | None = None
