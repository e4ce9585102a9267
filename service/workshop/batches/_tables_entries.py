"""Rows about entries: what a device sent, how its clock goes, what came late, new targets."""

from datetime import datetime

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Codes, Instant, Numbered, Recorded


class DeviceEntry(Numbered, table=True):
    """One numbered sending of a device, and the entry that it made; it makes no second one."""

    __tablename__ = "device_entries"
    __table_args__ = (UniqueConstraint("device", "seq"),)

    device: str = Field(max_length=40)
    seq: int = Field(sa_type=BigInteger)
    batch: int = Field(foreign_key="batches.id", index=True)
    kind: str = Field(max_length=20)  # the table of the entry
    entry: int
    digest: str = Field(max_length=64)  # of what was sent, without the time it was sent at


class DeviceClock(Numbered, table=True):
    """How far a device's clock was found behind; a row where that changed. Negative: ahead."""

    __tablename__ = "device_clocks"

    device: str = Field(max_length=40, index=True)
    behind_ms: int = Field(sa_type=BigInteger)
    times_from: str = Field(max_length=8)  # age_s|sent_at
    measured_at: datetime = Field(sa_type=Instant)


class LateEntry(Numbered, table=True):
    """An entry that came after its batch had ended, and the deviation that judges it."""

    __tablename__ = "late_entries"

    batch: int = Field(foreign_key="batches.id", index=True)
    kind: str = Field(max_length=20)  # the table of the entry
    entry: int | None = Field(default=None, index=True)  # null: many rows written at once
    count: int = Field(default=1)
    happened_at: datetime = Field(sa_type=Instant)
    entered_at: datetime = Field(sa_type=Instant)
    before_the_end: bool
    deviation: str = Field(max_length=20, index=True)
    voided: bool = Field(default=False)


class Retarget(Recorded, table=True):
    """Open lines worked out anew from what was weighed: by which frozen scaling they follow."""

    __tablename__ = "retargets"

    batch: int = Field(foreign_key="batches.id", index=True)
    scaling: str = Field(max_length=20)
    weighed: tuple[str, ...] = Field(default=(), sa_type=Codes)  # the lines that it follows
