"""Times as a paper page says them, and a device's clock put right: pure."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

ABOUT_SECONDS = 15 * 60
SOME_TIME_ON_THE_DAY = 12 * 3600  # noon, give or take: the page says only the day
_BARE = re.compile(r"(\d{1,2})[:.](\d{2})")
_ABOUT = re.compile(r"(?:about|around|ca\.?|~)\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Moment:
    """An instant, and how many seconds it may be off where it was not read from a clock."""

    at: datetime
    about_seconds: int | None = None


@dataclass
class TimeUnclear(Exception):
    """A time of a page that is no time, or that the clocks showed twice or never."""

    code: str
    detail: str
    hint: str
    readings: tuple[str, ...] = ()


def moment(text: str, on: date, zone: ZoneInfo) -> Moment:
    """A time as written: "14:20", "about 14:20" (±15 min) or a whole instant.

    Raises TimeUnclear, which carries the readings to choose from.
    """
    bare = _ABOUT.sub("", text.strip(), count=1)
    about = ABOUT_SECONDS if bare != text.strip() else None
    if found := _BARE.fullmatch(bare):
        return Moment(_local(found, on, zone=zone, about=about), about)
    try:
        instant = datetime.fromisoformat(bare)
    except ValueError:
        instant = None
    if instant is None or instant.tzinfo is None or not 1900 <= instant.year < 2200:
        raise TimeUnclear(
            "bad-time",
            f"{text[:40]!r} is no time.",
            'Send "14:20", "about 14:20" or a whole instant with its offset.',
        )
    return Moment(instant.astimezone(UTC), about)


def _local(found: re.Match[str], on: date, *, zone: ZoneInfo, about: int | None) -> datetime:
    hour, minute = int(found[1]), int(found[2])
    if hour > 23 or minute > 59:
        raise TimeUnclear("bad-time", f"{found[0]} is no time of day.", 'Send "14:20".')
    there = readings(time(hour, minute), on, zone)
    if len(there) == 1:
        return there[0].astimezone(UTC)
    word = "about " if about else ""
    if there:
        choices = tuple(f"{word}{at.isoformat(timespec='minutes')}" for at in there)
        raise TimeUnclear(
            "time-ambiguous",
            f"The clocks showed {found[0]} twice on {on}: which one was it?",
            f"Send {' or '.join(choices)}.",
            choices,
        )
    earlier, later = neighbours(time(hour, minute), on, zone)
    choices = tuple(f"{word}{at.isoformat(timespec='minutes')}" for at in (earlier, later))
    raise TimeUnclear(
        "time-nonexistent",
        f"The clocks never showed {found[0]} on {on}: they were put forward over it.",
        f"Send the time it was, with its offset: {' or '.join(choices)}.",
        choices,
    )


def readings(clock: time, on: date, zone: ZoneInfo) -> tuple[datetime, ...]:
    """The instants at which the clocks of a zone showed a time on a day: none, one or two."""
    found: dict[datetime, datetime] = {}
    for fold in (0, 1):
        local = datetime.combine(on, clock, tzinfo=zone).replace(fold=fold)
        instant = local.astimezone(UTC)
        if instant.astimezone(zone).replace(tzinfo=None) == local.replace(tzinfo=None):
            found.setdefault(instant, local)
    return tuple(found.values())


def neighbours(clock: time, on: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """What a clock that was put forward too early, and one not yet put forward, would mean."""
    both = [
        datetime.combine(on, clock, tzinfo=zone).replace(fold=fold).astimezone(UTC)
        for fold in (1, 0)
    ]
    earlier, later = (at.astimezone(zone) for at in both)
    return earlier, later


def some_time_on(on: date, zone: ZoneInfo) -> Moment:
    """All that a page without times says: that day."""
    noon = datetime.combine(on, time(12), tzinfo=zone).astimezone(UTC)
    return Moment(noon, SOME_TIME_ON_THE_DAY)


def behind(pairs: Sequence[tuple[datetime, datetime]]) -> timedelta | None:
    """How far a device's clock is behind: the median over (its clock, the true time)."""
    offsets = sorted(true - shown for shown, true in pairs)
    return offsets[len(offsets) // 2] if offsets else None
