"""What devices send: each number makes one entry, and the clock is put right by what is known."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Literal

from pydantic import BaseModel
from sqlmodel import col, func, select

from service.errors import Remedy, at
from service.store.columns import Recorded
from service.store.session import WriteSession
from service.workshop.batches._tables_entries import DeviceClock, DeviceEntry
from service.workshop.batches.actions.entries.desk import Desk, Place
from service.workshop.batches.bodies.cook_log import Behind, Clock
from service.workshop.batches.bodies.devices import TimedIn
from service.workshop.batches.queries.record import devices
from service.workshop.batches.rules import DeviceSeqUsed
from service.workshop.batches.rules.clocks import Moment, behind

WIRE = timedelta(seconds=5)  # closer than this a clock is right: the rest is the way here
# What changes with each sending of the same.
_OF_THE_SENDING = {"device_id", "device_seq", "seq", "sent_at", "age_s"}


@dataclass(frozen=True)
class Timing:
    """What a device's clock is worth: how far it is behind, where that can be told."""

    now: datetime
    offset: timedelta | None
    times_from: Literal["age_s", "sent_at", "at", "arrival"]

    def moment(self, entry: TimedIn) -> Moment:
        """When it happened: an age needs no clock; a clock is put right where it was wrong."""
        if entry.age_s is not None:
            return Moment(self.now - timedelta(seconds=max(0.0, float(entry.age_s))))
        if entry.happened_at is None:
            return Moment(self.now)
        shown = entry.happened_at.astimezone(UTC)
        wrong = self.offset is not None and abs(self.offset) > WIRE
        return Moment(shown + self.offset if wrong and self.offset else shown)

    def shown(self) -> Clock | None:
        if self.offset is None:
            return None
        seconds = round(self.offset.total_seconds())
        return Clock(
            device_is=self.now - self.offset,
            behind=Behind(value=str(seconds), unit="s"),
            times_from=self.times_from,
        )


def timing(now: datetime, entries: Sequence[TimedIn], sent_at: datetime | None) -> Timing:
    """The offset by entries that bear an age beside their time, else by the time of sending."""
    aged = [entry for entry in entries if entry.age_s is not None]
    pairs = [
        (entry.happened_at.astimezone(UTC), now - timedelta(seconds=float(entry.age_s or 0)))
        for entry in aged
        if entry.happened_at is not None
    ]
    if pairs:
        return Timing(now, behind(pairs), "age_s")
    if sent_at is not None:
        return Timing(now, now - sent_at.astimezone(UTC), "sent_at")
    if aged:
        return Timing(now, None, "age_s")
    timed = any(entry.happened_at is not None for entry in entries)
    return Timing(now, None, "at" if timed else "arrival")


def keep_clock(session: WriteSession, device: str | None, found: Timing) -> None:
    """Keep how far a device's clock was found behind, where that is news."""
    if device is None or found.offset is None:
        return
    before = devices.last_clock(session, device)
    if before is not None and abs(timedelta(milliseconds=before.behind_ms) - found.offset) <= WIRE:
        return
    milliseconds = round(found.offset / timedelta(milliseconds=1))
    session.add(
        DeviceClock(
            device=device,
            behind_ms=milliseconds,
            times_from=found.times_from,
            measured_at=found.now,
        )
    )


def digest(desk: Desk, kind: str, values: BaseModel) -> str:
    """Of what was sent: for the same batch, the same values give the same."""
    sent = values.model_dump(exclude_unset=True, exclude=_OF_THE_SENDING)
    text = json.dumps([desk.batch.code, kind, sent], sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def known(desk: Desk, sender: "Sender", values: BaseModel, place: Place) -> DeviceEntry | None:
    """The entry that this number made before; None for a new one. Raises DeviceSeqUsed."""
    if sender.device is None or sender.seq is None:
        return None
    found = devices.sent(desk.session, sender.device, sender.seq)
    if found is None:
        return None
    if found.digest == digest(desk, sender.kind, values):
        return found
    wrong = f"{sender.device} sent number {sender.seq} before, with other values."
    highest = select(func.max(col(DeviceEntry.seq))).where(DeviceEntry.device == sender.device)
    following = (desk.session.exec(highest).one() or 0) + 1
    then = "Kept as an entry of its own; the first one stands until it is corrected."
    patch = place.wrap({sender.name: max(following, sender.above + 1)})
    way = Remedy("it is another entry", patch, then)
    hint = "Never use a number twice; what was wrong is corrected."
    fault = at(place.of(sender.name), wrong, "device-seq-used", hint=hint, remedies=(way,))
    raise DeviceSeqUsed(wrong, fault, more={"entry": found.entry, "kind": found.kind})


@dataclass(frozen=True, slots=True)
class Sender:
    """Which sending of which device it is, and how the body calls its number."""

    device: str | None
    seq: int | None
    kind: str
    name: str = "device_seq"
    above: int = -1  # numbers that the same request uses


def remember(desk: Desk, sender: Sender, values: BaseModel, row: Recorded) -> None:
    """The number made this entry; it makes no second one."""
    if sender.device is None or sender.seq is None:
        return
    known_as: dict[str, Any] = {"device": sender.device, "seq": sender.seq, "kind": sender.kind}
    desk.session.add(
        DeviceEntry(
            batch=desk.batch.row_id,
            entry=row.row_id,
            digest=digest(desk, sender.kind, values),
            **known_as,
        )
    )
    desk.session.flush()  # the next one of the same request may bear the same number
