"""Rows of the stages of a batch as they were worked: days and weeks, masses in and out."""

from datetime import date
from decimal import Decimal

from sqlalchemy import BigInteger
from sqlmodel import Field

from service.store.columns import Codes, Recorded, Scaled


class StageBegun(Recorded, table=True):
    """A stage that was begun; how it went on is told by its entries, which bear its number.

    A correction keeps the number. `in_mg` is what was weighed as it began, null where it was not.
    """

    __tablename__ = "batch_stages"

    batch: int = Field(foreign_key="batches.id", index=True)
    number: int
    stage: str = Field(max_length=12)
    in_mg: int | None = Field(default=None, sa_type=BigInteger)
    entered_value: str | None = Field(default=None, max_length=30)
    entered_unit: str | None = Field(default=None, max_length=20)
    balance: str | None = Field(default=None, max_length=20, foreign_key="equipment.code")
    equipment: tuple[str, ...] = Field(default=(), sa_type=Codes)
    checked_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    constant_percent: Decimal | None = Field(default=None, sa_type=Scaled)
    ready_on: date | None = None
    remark: str | None = Field(default=None, max_length=600)


class StageEntry(Recorded, table=True):
    """A weigh-in of a stage, what was taken out of it, or its end."""

    __tablename__ = "stage_entries"

    batch: int = Field(foreign_key="batches.id", index=True)
    number: int  # of the stage
    kind: str = Field(max_length=8)  # weigh-in|out|end
    amount_mg: int | None = Field(default=None, sa_type=BigInteger)  # null at an end
    entered_value: str | None = Field(default=None, max_length=30)
    entered_unit: str | None = Field(default=None, max_length=20)
    part: str | None = Field(default=None, max_length=10)  # of what came out: clear|foots|…
    goes: str | None = Field(default=None, max_length=6)  # on|lot|scrap
    lot: int | None = Field(default=None, foreign_key="lots.id", index=True)
    balance: str | None = Field(default=None, max_length=20, foreign_key="equipment.code")
    checked_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    remark: str | None = Field(default=None, max_length=600)
