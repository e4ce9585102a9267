"""Rows of the products slice."""

from decimal import Decimal
from typing import ClassVar

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Codes, Named, Numbered, Scaled


class Product(Named, table=True):
    """What is sold."""

    __tablename__ = "products"
    searched: ClassVar[tuple[str, ...]] = ("code", "recipe")

    recipe: str = Field(max_length=20, foreign_key="recipes.code", index=True)
    shelf_months: int | None = None
    open_months: int | None = None
    disclosure: str = Field(default="nothing", max_length=16)  # nothing|names|percent-ranges
    tell_oil_length: bool = Field(default=False)
    markets: tuple[str, ...] = Field(default=(), sa_type=Codes)


class ProductText(Numbered, table=True):
    """Its name and directions in one language."""

    __tablename__ = "product_texts"
    __table_args__ = (UniqueConstraint("product", "language"),)

    product: str = Field(max_length=20, foreign_key="products.code", index=True)
    language: str = Field(max_length=2)
    name: str = Field(max_length=80)
    directions: str | None = Field(default=None, max_length=2000)


class Pack(Numbered, table=True):
    """One size it is sold in."""

    __tablename__ = "packs"
    __table_args__ = (UniqueConstraint("product", "pack"),)

    product: str = Field(max_length=20, foreign_key="products.code", index=True)
    pack: str = Field(max_length=20)
    container: str = Field(max_length=20, foreign_key="materials.code")
    closure: str | None = Field(default=None, max_length=20, foreign_key="materials.code")
    label: str | None = Field(default=None, max_length=20, foreign_key="materials.code")
    nominal_ul: int = Field(sa_type=BigInteger)
    gtin: str | None = Field(default=None, max_length=14)
    price: Decimal | None = Field(default=None, sa_type=Scaled)
