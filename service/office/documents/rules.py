"""What freezing means: pure."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import rfc8785

from service.errors import NotFound

# Nothing else is called frozen.
Kind = Literal[
    "recipe-version",
    "scaling",
    "batch-record",
    "test-report",
    "label",
    "lot-sheet",
    "recall-report",
]


class UnknownDocument(NotFound):
    slug = "document-unknown"
    title = "There is no such document"


@dataclass(frozen=True, slots=True)
class Frozen:
    """Canonical bytes and their digest."""

    canonical: bytes
    sha256: str


def freeze(content: Mapping[str, Any]) -> Frozen:
    """The RFC 8785 form and its SHA-256. Quantities are texts, so no float rule bites."""
    canonical = rfc8785.dumps(dict(content))
    return Frozen(canonical, hashlib.sha256(canonical).hexdigest())
