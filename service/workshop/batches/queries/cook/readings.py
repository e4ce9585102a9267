"""The readings of a cook that stand, told apart by whose they are."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from functools import cached_property

from sqlalchemy import func
from sqlalchemy import select as columns
from sqlmodel import col, select

from service.science.cook_log import usual_gap
from service.science.cook_time import CookReading
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, CookPoint
from service.workshop.batches.rules import EARLIER_COOKS

BY_HAND, UNNAMED = "by hand", "logger"
_FROM_LOGGER = frozenset({"kettle", "file"})
_MINUTE = Decimal(60_000_000)  # in microseconds


@dataclass(frozen=True, slots=True)
class Reading:
    """A temperature at an instant, as it stands."""

    at: datetime
    celsius: Decimal
    remark: str | None
    about_seconds: int | None


@dataclass(frozen=True)
class Series:
    """The readings of one device, or those of the people, each later than the one before."""

    name: str
    readings: Sequence[Reading]

    @cached_property
    def log(self) -> Sequence[CookReading]:
        """The series as the science takes it, in minutes since its first reading."""
        start = self.readings[0].at
        return [CookReading(minutes(one.at, start), one.celsius) for one in self.readings]

    @cached_property
    def gap(self) -> Decimal | None:
        """From how many minutes on a stretch without a reading is a gap of this series."""
        if len(self.readings) < 2:
            return None
        return usual_gap(self.log)


@dataclass(frozen=True, slots=True)
class Cook:
    """All that was read of one batch, the longest series of a device first."""

    batch: Batch
    series: Sequence[Series]
    set_aside: int

    def chosen(self, name: str | None) -> Series | None:
        """The series of a name; where none is named, the first there is."""
        if name is None:
            return self.series[0] if self.series else None
        return next((one for one in self.series if one.name == name), None)


def minutes(at: datetime, start: datetime) -> Decimal:
    """How long after the start something was, exact."""
    since = at - start
    return Decimal((since.days * 86400 + since.seconds) * 10**6 + since.microseconds) / _MINUTE


def cook(session: ReadSession, batch: Batch) -> Cook:
    """What the log of a batch holds; what was voided, corrected or set aside is not in it."""
    found = session.execute(
        columns(
            col(CookPoint.happened_at),
            col(CookPoint.temperature_c),
            col(CookPoint.remark),
            col(CookPoint.about_seconds),
            col(CookPoint.device),
            col(CookPoint.entered_from),
        )
        .where(
            col(CookPoint.batch) == batch.row_id,
            col(CookPoint.temperature_c).is_not(None),
            standing(CookPoint),
        )
        .order_by(col(CookPoint.happened_at), col(CookPoint.id))
    )
    by_name: dict[str, dict[datetime, Reading]] = {}
    for at, celsius, remark, about, device, source in found:
        name = device or (UNNAMED if source in _FROM_LOGGER else BY_HAND)
        # Of two readings at one instant the later entry counts.
        by_name.setdefault(name, {})[at] = Reading(at, celsius, remark, about)
    series = [Series(name, list(held.values())) for name, held in by_name.items()]
    series.sort(key=lambda one: (one.name == BY_HAND, -len(one.readings), one.name))
    return Cook(batch, series, _set_aside(session, batch))


def _set_aside(session: ReadSession, batch: Batch) -> int:
    found = select(func.count()).where(
        CookPoint.batch == batch.row_id,
        col(CookPoint.temperature_c).is_(None),
        standing(CookPoint),
    )
    return session.exec(found).one()


def earlier_batches(session: ReadSession, batch: Batch, most: int = EARLIER_COOKS) -> list[Batch]:
    """The batches of the same version planned before, that were cooked and logged, newest first."""
    logged = select(CookPoint.id).where(
        CookPoint.batch == Batch.id, col(CookPoint.temperature_c).is_not(None)
    )
    found = (
        select(Batch)
        .where(
            Batch.recipe == batch.recipe,
            Batch.version == batch.version,
            col(Batch.id) < batch.row_id,
            Batch.state != "aborted",
            logged.exists(),
        )
        .order_by(col(Batch.id).desc())
        .limit(most)
    )
    return list(session.exec(found))
