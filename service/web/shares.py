"""How many calls one caller may make: a bucket of tokens each, refilled steadily."""

import math
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

from service.errors import Refused

_WINDOW_S = 60
# Callers beyond this are forgotten, the longest silent first, so that strangers cannot fill memory.
_MOST_CALLERS = 10_000


class TooMany(Refused):
    slug = "too-many"
    title = "Too many calls in a short time"
    status = 429
    about = (
        "Each caller, a key or without one an address, has a share of calls a minute. Send the "
        "same request again after the seconds in Retry-After; `RateLimit` on every answer says "
        "how many are left."
    )


@dataclass(frozen=True, slots=True)
class Share:
    """What one caller has left; the field names are those of the RateLimit header draft."""

    quota: int
    left: int
    reset_s: int

    def headers(self) -> dict[str, str]:
        """The headers of the IETF draft RateLimit fields; none where nothing is limited."""
        if not self.quota:
            return {}
        return {
            "RateLimit-Policy": f'"calculations";q={self.quota};w={_WINDOW_S}',
            "RateLimit": f'"calculations";r={self.left};t={self.reset_s}',
        }


class Shares:
    """The buckets of all callers of this process; `a_minute` 0 limits nobody."""

    def __init__(self, a_minute: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._quota, self._clock = a_minute, clock
        self._buckets: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, caller: str) -> Share:
        """Take one call from the caller's share. Raises TooMany."""
        if not self._quota:
            return Share(0, 0, 0)
        now = self._clock()
        left, since = self._buckets.pop(caller, (float(self._quota), now))
        left = min(self._quota, left + (now - since) * self._quota / _WINDOW_S)
        allowed = left >= 1
        left -= allowed
        self._buckets[caller] = (left, now)
        if len(self._buckets) > _MOST_CALLERS:
            self._buckets.popitem(last=False)
        share = Share(self._quota, int(left), self._until(self._quota - left))
        if not allowed:
            wait = str(self._until(1 - left))
            detail = f"{self._quota} calls a minute are allowed; send this again in {wait} s."
            raise TooMany(detail, headers={**share.headers(), "Retry-After": wait})
        return share

    def _until(self, tokens: float) -> int:
        return math.ceil(tokens * _WINDOW_S / self._quota)
