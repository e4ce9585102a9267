"""The digest by which the audit trail knows cook points that were taken in all at once."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from service.store.columns import nine_places
from service.workshop.batches._tables import CookPoint

# A point joins its batch later, and leaves it; its key is the database's.
TOLD = tuple(sorted(set(CookPoint.model_fields) - {"id", "batch"}))
_MOST = 2**256


def points_digest(points: Iterable[Mapping[str, Any]]) -> str:
    """The SHA-256 of each point, added up: in whatever order they stand, it is the same."""
    found = 0
    for point in points:
        found += int.from_bytes(hashlib.sha256(_line(point)).digest())
    return f"{found % _MOST:064x}"


def both(one: str, other: str) -> str:
    """The digest of the points of both."""
    return f"{(int(one, 16) + int(other, 16)) % _MOST:064x}"


def _line(point: Mapping[str, Any]) -> bytes:
    return json.dumps([_plain(point.get(name)) for name in TOLD]).encode()


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return (value if value.tzinfo is UTC else value.astimezone(UTC)).isoformat()
    return str(nine_places(value)) if isinstance(value, Decimal) else value
