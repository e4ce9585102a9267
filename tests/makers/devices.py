"""What a device at the bench sends."""

from datetime import UTC, datetime, timedelta
from typing import Any

TABLET = "BENCH-TABLET"


def ago(**span: float) -> str:
    """An instant so long before now, as a body says it."""
    return (datetime.now(UTC) - timedelta(**span)).isoformat()


def queue(*entries: dict[str, Any], first: int = 1, **more: Any) -> dict[str, Any]:
    """Entries of a device, numbered in order."""
    numbered = [{"seq": number, **entry} for number, entry in enumerate(entries, first)]
    return {"device_id": TABLET, "entries": numbered, **more}


def weighed(line: int, amount: str, **more: Any) -> dict[str, Any]:
    """A row of a queue that is a weighing."""
    return {"weighing": {"line": line, "amount": amount}, **more}
