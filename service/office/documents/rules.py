"""What freezing means: pure."""

import hashlib
import json
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


_LAST_ALIKE = "\ud7ff"  # above it surrogates begin, which sort below U+E000 in UTF-16


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
    canonical = _quickly(content) or rfc8785.dumps(dict(content))
    return Frozen(canonical, hashlib.sha256(canonical).hexdigest())


def rendering_tag(body: bytes, form: str) -> str:
    """The ETag under which a form is kept: of its bytes."""
    return f'"{hashlib.sha256(body).hexdigest()[:24]}.{form}"'


class _HoldsFloat(Exception):
    """A float is spelled by a rule of its own."""


def _no_float(text: str) -> None:
    raise _HoldsFloat(text)


def _quickly(content: Mapping[str, Any]) -> bytes | None:
    """The same bytes by the standard library, a tenth of the time, where its spelling is that of
    RFC 8785: without floats, and without characters beyond the plane in which names sort alike
    as UTF-16 and as code points (RFC 8785, 3.2.3). None otherwise."""
    text = json.dumps(
        content, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    )
    if max(text) > _LAST_ALIKE:
        return None
    try:
        json.loads(text, parse_float=_no_float)
    except _HoldsFloat:
        return None
    return text.encode()
