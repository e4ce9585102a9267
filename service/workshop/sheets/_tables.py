"""Rows of the sheets slice: which packed lots the public may see."""

from datetime import date

from sqlmodel import Field

from service.store.columns import Numbered


class Published(Numbered, table=True):
    """A packed lot whose sheet was published; the frozen revisions are documents."""

    __tablename__ = "published"

    number: str = Field(max_length=20, unique=True)
    compact: str = Field(max_length=20, unique=True)
    lot: int = Field(foreign_key="lots.id", unique=True)
    bulk: str = Field(max_length=20, index=True)  # compact number of the lot it was filled from
    product: str = Field(max_length=20, foreign_key="products.code", index=True)
    pack: str = Field(max_length=20)
    document: int = Field(foreign_key="documents.id")  # the newest revision
    sold_from: date
    checked_on: date
