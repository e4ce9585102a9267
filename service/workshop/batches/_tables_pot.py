"""Rows about the pot itself: goals it was adjusted to, events, drops of its colour."""

from decimal import Decimal

from sqlmodel import Field

from service.store.columns import Numbered, Recorded, Scaled


class Adjustment(Recorded, table=True):
    """A goal that a batch is brought to by one material: added, read, added again.

    Its number is what addresses, readings and weighings name; a correction keeps it.
    """

    __tablename__ = "adjustments"

    batch: int = Field(foreign_key="batches.id", index=True)
    number: int
    property: str = Field(max_length=30)
    target: Decimal = Field(sa_type=Scaled)  # both in the property's canonical unit
    within: Decimal = Field(sa_type=Scaled)
    target_entered: str = Field(max_length=60)
    within_entered: str = Field(max_length=60)
    material: str = Field(max_length=20, foreign_key="materials.code")
    cup: str | None = Field(default=None, max_length=20)
    method: str = Field(max_length=200)


class AdjustmentReading(Numbered, table=True):
    """Which figures of the batch were read for an adjustment; a correction is the figure's own."""

    __tablename__ = "adjustment_readings"

    batch: int = Field(foreign_key="batches.id", index=True)
    adjustment: int  # its number
    figure: int = Field(foreign_key="figures.id", unique=True)


class BatchEvent(Recorded, table=True):
    """Something that happened to the batch, of a closed list."""

    __tablename__ = "batch_events"

    batch: int = Field(foreign_key="batches.id", index=True)
    event: str = Field(max_length=20)
    text: str | None = Field(default=None, max_length=600)
    temperature_c: Decimal | None = Field(default=None, sa_type=Scaled)
    length: str | None = Field(default=None, max_length=60)  # of a string or a drop, as entered
    page: int | None = Field(default=None, foreign_key="pages.id")


class ColourDrop(Recorded, table=True):
    """One drop of the colour ladder, as it was seen or photographed."""

    __tablename__ = "colour_drops"

    batch: int = Field(foreign_key="batches.id", index=True)
    minutes: Decimal | None = Field(default=None, sa_type=Scaled)
    temperature_c: Decimal | None = Field(default=None, sa_type=Scaled)
    scale: str | None = Field(default=None, max_length=12)
    reading: str | None = Field(default=None, max_length=40)
    sample: str | None = Field(default=None, max_length=10)
    solvent: str | None = Field(default=None, max_length=80)
    solids_percent: Decimal | None = Field(default=None, sa_type=Scaled)
    text: str | None = Field(default=None, max_length=200)
    photo: str | None = Field(default=None, max_length=71)
