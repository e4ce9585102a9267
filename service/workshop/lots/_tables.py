"""Rows of the filling slice."""

from datetime import date
from decimal import Decimal

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Numbered, Recorded, Scaled


class Fill(Recorded, table=True):
    """One filling of a bulk lot into one packed lot."""

    __tablename__ = "fills"

    # The packed lot; of its fills one stands, the others were corrected.
    lot: int = Field(foreign_key="lots.id", index=True)
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


class PlaceCheck(Recorded, table=True):
    """Whether the place was clear before or after packs were filled or labelled there."""

    __tablename__ = "place_checks"

    lot: int = Field(foreign_key="lots.id", index=True)  # the packed lot, or its bulk
    place: str = Field(max_length=10)  # filling | labelling | both
    moment: str = Field(max_length=6)  # before | after
    clear: bool
    text: str | None = Field(default=None, max_length=600)


class Sample(Recorded, table=True):
    """What was taken of a lot, to keep or to test."""

    __tablename__ = "samples"

    lot: int = Field(foreign_key="lots.id", index=True)
    kind: str = Field(max_length=8)  # retained | test
    amount: int = Field(sa_type=BigInteger)  # mg or pieces
    entered_value: str = Field(max_length=30)
    entered_unit: str = Field(max_length=20)
    kept_at: str | None = Field(default=None, max_length=200)
    keep_until: date | None = None
    text: str | None = Field(default=None, max_length=600)
    movement: int = Field(foreign_key="movements.id")


class Examination(Recorded, table=True):
    """Filled packs looked at one by one: how many leak, how many look wrong."""

    __tablename__ = "examinations"

    lot: int = Field(foreign_key="lots.id", index=True)  # the packed lot
    examined: int
    leaking: int
    marred: int
    appearance: str = Field(max_length=600)
