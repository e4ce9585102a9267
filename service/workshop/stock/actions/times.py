"""Instants of what is said to have happened."""

from datetime import datetime, timedelta

from service.errors import Invalid, Remedy, at
from service.store.session import ReadSession

_AHEAD = timedelta(minutes=5)  # a clock may be so much fast


def check_past(
    session: ReadSession, happened_at: datetime | None, *, field: str = "happened_at"
) -> None:
    """Raises Invalid for what is still to come."""
    if happened_at is not None and happened_at > session.now + _AHEAD:
        wrong = "This is still to come, so it cannot have happened."
        remedies = (Remedy("it was just now", {field: None}),)
        raise Invalid(wrong, at(f"#/{field}", wrong, "time-to-come", remedies=remedies))
