"""Times as loggers write them, read as stated: pure."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from decimal import Decimal, InvalidOperation
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from service.workshop.batches.bodies.cook_files import LogForm

_DATED = re.compile(
    r"(\d{1,2})[./-](\d{1,2})[./-](\d{4}|\d{2})[ T,;]+"
    r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,6}))?)?"
    r"(?:\s*([AaPp])\.?[Mm]\.?)?"
)
_OFFSET = re.compile(r"([+-]?)(\d{2}):?(\d{2})")
_OLDEST, _NEWEST = datetime(2000, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass
class Unclear(Exception):
    """A time that cannot be read as stated; `ways` are changes to what was stated, each with when
    it is the right one."""

    code: str
    detail: str
    hint: str
    ways: Sequence[tuple[str, dict[str, Any]]] = ()


def zone_of(text: str | None) -> tzinfo | None:
    """The zone that was stated. Raises Unclear."""
    if text is None:
        return None
    if text == "UTC":
        return UTC
    if found := _OFFSET.fullmatch(text):
        offset = timedelta(hours=int(found[2]), minutes=int(found[3]))
        if offset < timedelta(hours=15):
            return timezone(-offset if found[1] == "-" else offset)
    try:
        return ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Unclear(
            "zone-unknown", f"{text!r} is no zone.", "Send Europe/London or +01:00."
        ) from None


def reader(form: LogForm) -> Callable[[str], datetime]:
    """What reads one time of the file. Raises Unclear, as does what it returns."""
    zone = zone_of(form.zone)
    if form.times == "iso":
        return lambda text: _plausible(_placed(_iso(text), zone), text)
    if form.times in {"day-first", "month-first"}:
        first = form.times == "day-first"
        return lambda text: _plausible(_placed(_dated(text, day_first=first), zone), text)
    if form.times == "unix":
        return lambda text: _plausible(_counted(text, _EPOCH, 1), text)
    start = form.started_at or _EPOCH
    seconds = 60 if form.times == "elapsed-min" else 1
    return lambda text: _plausible(_counted(text, start, seconds), text)


def _iso(text: str) -> datetime:
    try:
        if ":" not in text:  # a day alone is no time of a reading
            raise ValueError
        return datetime.fromisoformat(text)
    except ValueError:
        raise Unclear(
            "bad-time",
            f"{text[:40]!r} is no time such as 2026-11-25 13:05:00.",
            "State how the times are written: times.",
            tuple(_other_ways(text)),
        ) from None


def _other_ways(text: str) -> list[tuple[str, dict[str, Any]]]:
    """How else it could be read."""
    ways = []
    for word, first in (("day-first", True), ("month-first", False)):
        try:
            _dated(text, day_first=first)
        except Unclear:
            continue
        ways.append((f"the {word.removesuffix('-first')} stands first", {"times": word}))
    if re.fullmatch(r"\d{9,10}(\.\d+)?", text):
        ways.append(("it counts the seconds since 1970", {"times": "unix"}))
    return ways


def _dated(text: str, *, day_first: bool) -> datetime:
    found = _DATED.fullmatch(text)
    try:
        if found is None:
            raise ValueError
        one, two, year = int(found[1]), int(found[2]), int(found[3])
        day, month = (one, two) if day_first else (two, one)
        hour = int(found[4])
        if found[8]:
            hour = hour % 12 + 12 * (found[8] in "Pp") if 1 <= hour <= 12 else 99
        fraction = int((found[7] or "0").ljust(6, "0"))
        year += 2000 if len(found[3]) == 2 else 0
        return datetime(  # noqa: DTZ001  its zone is put beside it by whoever asks
            year, month, day, hour, int(found[5]), int(found[6] or 0), fraction
        )
    except ValueError:
        form = "25/11/2026 13:05" if day_first else "11/25/2026 1:05 pm"
        raise Unclear(
            "bad-time",
            f"{text[:40]!r} is no time such as {form}.",
            "State how the times are written: times.",
        ) from None


def _counted(text: str, start: datetime, seconds: int) -> datetime:
    try:
        since = Decimal(text.replace(",", "."))
        return start + timedelta(microseconds=int(since * seconds * 1_000_000))
    except (InvalidOperation, ValueError, OverflowError):
        raise Unclear(
            "bad-time", f"{text[:40]!r} is no number.", "State how the times are written: times."
        ) from None


def _placed(found: datetime, zone: tzinfo | None) -> datetime:
    """The instant; an hour that the clocks showed twice, or never, is not guessed."""
    if found.tzinfo is not None:
        return found
    if zone is None:
        raise Unclear(
            "time-without-zone",
            f"{found.isoformat(sep=' ')} does not say its zone.",
            "Send zone=Europe/London, or zone=+01:00 where the logger's clock keeps one offset.",
            (("the logger's clock keeps universal time", {"zone": "UTC"}),),
        )
    if isinstance(zone, timezone):
        return found.replace(tzinfo=zone)
    first, second = (found.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if (early := first.utcoffset()) != (late := second.utcoffset()):
        offsets = tuple(_written(offset) for offset in (early, late) if offset is not None)
        raise Unclear(
            "time-ambiguous",
            f"The clocks were put forward or back at {found.isoformat(sep=' ')}.",
            "A logger keeps one offset: say which.",
            tuple((f"its clock kept {offset}", {"zone": offset}) for offset in offsets),
        )
    return first


def _written(offset: timedelta) -> str:
    minutes = round(offset.total_seconds() / 60)
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def _plausible(found: datetime, text: str) -> datetime:
    try:
        instant = found.astimezone(UTC)
    except OverflowError:
        instant = _EPOCH
    if not _OLDEST <= instant < _NEWEST:
        raise Unclear(
            "bad-time",
            f"{text[:40]!r} lies in no year from 2000 to 2199.",
            "The logger's clock was not set: send elapsed times and started_at.",
        )
    return instant
