"""Rows of the shelf: stock takes, their sheets and pages, and what was counted."""

from datetime import datetime
from decimal import Decimal

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Codes, Instant, Numbered, Recorded, Scaled


class StockTake(Numbered, table=True):
    """A list of lots to be counted; its pages bring what was found."""

    __tablename__ = "stock_takes"

    number: str = Field(max_length=20, unique=True)
    covers: str = Field(max_length=300)  # which lots, in words
    remark: str | None = Field(default=None, max_length=600)
    by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    created_at: datetime = Field(sa_type=Instant)


class StockTakeLine(Numbered, table=True):
    """One lot to be counted, or one that was found beside those of the sheet."""

    __tablename__ = "stock_take_lines"
    __table_args__ = (UniqueConstraint("take", "line"),)

    take: int = Field(foreign_key="stock_takes.id", index=True)
    line: int
    lot: int = Field(foreign_key="lots.id")
    found: bool = Field(default=False)


class StockTakePage(Numbered, table=True):
    """A whole page entered at once; the counts it made name it."""

    __tablename__ = "stock_take_pages"

    take: int = Field(foreign_key="stock_takes.id", index=True)
    page: int
    digest: str = Field(max_length=64)  # of the body as sent
    photo: str | None = Field(default=None, max_length=71)
    counted_at: datetime = Field(sa_type=Instant)
    by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    entered_at: datetime = Field(sa_type=Instant)


class Count(Recorded, table=True):
    """What was counted of a lot, in mg or pieces, beside what its ledger then said."""

    __tablename__ = "stock_counts"

    take: int = Field(foreign_key="stock_takes.id", index=True)
    line: int
    page: int = Field(foreign_key="stock_take_pages.id")
    lot: int = Field(foreign_key="lots.id", index=True)
    counted: int = Field(sa_type=BigInteger)
    entered_value: str = Field(max_length=30)
    entered_unit: str = Field(max_length=20)
    density: Decimal | None = Field(default=None, sa_type=Scaled)  # kg/l, where a volume came
    ledger: int = Field(sa_type=BigInteger)  # at the time of the count, as it was then known
    movement: int | None = Field(default=None, foreign_key="movements.id")  # none: no difference
    remark: str | None = Field(default=None, max_length=200)
    concluded: tuple[str, ...] = Field(default=(), sa_type=Codes)  # deviations that it explains
