"""Rows of the release slice."""

from datetime import date

from sqlmodel import Field

from service.store.columns import Recorded


class Act(Recorded, table=True):
    """A named act on a lot: who, what, on which evidence."""

    __tablename__ = "acts"

    number: str = Field(max_length=20, unique=True)
    lot: int = Field(foreign_key="lots.id", index=True)
    act: str = Field(max_length=10)  # release | reject
    condition: str | None = Field(default=None, max_length=300)
    waiver: str | None = Field(default=None, max_length=600)
    retest_on: date | None = None
    label: int | None = Field(default=None, foreign_key="documents.id")
    sheet: int | None = Field(default=None, foreign_key="documents.id")
