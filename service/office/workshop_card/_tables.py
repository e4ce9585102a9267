"""The one row of the workshop."""

from decimal import Decimal
from typing import ClassVar

from sqlalchemy import Column, String
from sqlmodel import Field

from service.store.columns import Codes, Row, Scaled

_PERSONAL = {"personal": True}


class Workshop(Row, table=True):
    """One row, made by the first migration; what is not known is null."""

    __tablename__ = "workshop"
    begun_by_migration: ClassVar[bool] = True

    id: int = Field(primary_key=True)
    revision: int = Field(default=1)
    name: str | None = Field(default=None, max_length=200)
    address: str | None = Field(
        default=None, sa_column=Column(String(600), nullable=True, info=_PERSONAL)
    )
    telephone: str | None = Field(
        default=None, sa_column=Column(String(40), nullable=True, info=_PERSONAL)
    )
    zone: str = Field(default="UTC", max_length=60)
    currency: str | None = Field(default=None, max_length=3)
    labour_rate: Decimal | None = Field(default=None, sa_type=Scaled)  # money for an hour
    public_address: str | None = Field(default=None, max_length=200)
    vat_number: str | None = Field(default=None, max_length=40)
    markets: tuple[str, ...] = Field(default=(), sa_type=Codes)
    languages: tuple[str, ...] = Field(default=("en",), sa_type=Codes)
