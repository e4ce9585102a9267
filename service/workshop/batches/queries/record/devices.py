"""What is known of devices: which numbers made which entries, and how their clocks go."""

from collections.abc import Iterable
from decimal import Decimal

from sqlmodel import col, select

from service.store.columns import Recorded
from service.store.lists import Listing
from service.store.session import ReadSession
from service.workshop.batches._tables_entries import DeviceClock, DeviceEntry
from service.workshop.batches.bodies.devices import DeviceClockOut

CLOCKS = Listing(
    "device-clocks",
    DeviceClock,
    sorts=("id", "measured_at"),
    default_sort="-id",
    filters={"device": str},
    times=("measured_at",),
)


def sent(session: ReadSession, device: str, seq: int) -> DeviceEntry | None:
    """What a device sent under a number."""
    found = select(DeviceEntry).where(DeviceEntry.device == device, DeviceEntry.seq == seq)
    return session.exec(found).first()


def senders(
    session: ReadSession, kind: type[Recorded], ids: Iterable[int]
) -> dict[int, DeviceEntry]:
    """Which device made which entries of one kind, in one query."""
    found = select(DeviceEntry).where(
        DeviceEntry.kind == kind.__tablename__, col(DeviceEntry.entry).in_(sorted(set(ids)))
    )
    return {row.entry: row for row in session.exec(found)}


def last_clock(session: ReadSession, device: str) -> DeviceClock | None:
    """How far a device's clock was found behind the last time that it changed."""
    found = select(DeviceClock).where(DeviceClock.device == device)
    return session.exec(found.order_by(col(DeviceClock.id).desc()).limit(1)).first()


def shown_clock(row: DeviceClock) -> DeviceClockOut:
    return DeviceClockOut(
        device=row.device,
        behind_s=str(round(Decimal(row.behind_ms) / 1000)),
        times_from="sent_at" if row.times_from == "sent_at" else "age_s",
        measured_at=row.measured_at,
    )
