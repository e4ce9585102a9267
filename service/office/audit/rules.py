"""The form of an entry and of the chain: pure, so that anyone can recompute it."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import rfc8785

FIRST = "0" * 64


def plain_value(value: Any) -> Any:
    """A column's value as JSON: decimals and times as text, bytes by their digest."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, bytes):
        return "sha256:" + hashlib.sha256(value).hexdigest()
    if isinstance(value, Decimal | date):
        return str(value)
    if isinstance(value, int) and abs(value) > 2**53 - 1:
        return str(value)  # beyond what RFC 8785 allows as a number
    return list(value) if isinstance(value, tuple) else value


def link_digest(before: str, entries: Sequence[Mapping[str, Any]]) -> str:
    """SHA-256 over the digest before and the RFC 8785 form of this transaction's entries."""
    return hashlib.sha256(before.encode() + rfc8785.dumps([dict(e) for e in entries])).hexdigest()
