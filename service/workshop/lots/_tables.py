"""Rows of the filling slice."""

from decimal import Decimal

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Numbered, Recorded, Scaled


class Fill(Recorded, table=True):
    """One filling of a bulk lot into one packed lot."""

    __tablename__ = "fills"

    lot: int = Field(foreign_key="lots.id", unique=True)  # the packed lot
    bulk: int = Field(foreign_key="lots.id", index=True)
    pack: str = Field(max_length=20)
    container_lot: int = Field(foreign_key="lots.id")
    closure_lot: int | None = Field(default=None, foreign_key="lots.id")
    count: int
    tare_mg: int = Field(sa_type=BigInteger)
    nominal_mg: int = Field(sa_type=BigInteger)
    filled_mg: int = Field(sa_type=BigInteger)
    density: Decimal = Field(sa_type=Scaled)
    density_from: str = Field(max_length=20)  # number of the figure
    verdict: str = Field(max_length=12)


class FillWeight(Numbered, table=True):
    """One pack as it stood on the balance."""

    __tablename__ = "fill_weights"
    __table_args__ = (UniqueConstraint("fill", "position"),)

    fill: int = Field(foreign_key="fills.id", index=True)
    position: int
    gross_mg: int = Field(sa_type=BigInteger)
