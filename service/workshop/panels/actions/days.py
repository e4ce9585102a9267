"""Entries that are known by their day."""

from datetime import date, datetime, time
from typing import Any

from service.office.workshop_card.queries import today, zone
from service.store.records import stamp
from service.store.session import WriteSession

_HALF_A_DAY = 12 * 3600


def day_stamp(session: WriteSession, *, by: str | None, on: date | None) -> dict[str, Any]:
    """Who and when of an entry: noon of its day, give or take twelve hours, or now for today."""
    if on is None or on == today(session):
        return stamp(session, by=by)
    noon = datetime.combine(on, time(12), tzinfo=zone(session))
    return {**stamp(session, by=by, happened_at=noon), "about_seconds": _HALF_A_DAY}
