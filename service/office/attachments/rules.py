"""What an attachment may be and what it is called: pure."""

import hashlib
import re
from dataclasses import dataclass
from typing import Literal

from service.errors import Fault, Invalid, NotFound, Refused

Kind = Literal["photo", "certificate"]
PHOTOS = ("image/jpeg", "image/png", "image/webp")
CERTIFICATE = "application/pdf"
MEDIA_TYPES = (*PHOTOS, CERTIFICATE)
MOST_BYTES, MOST_PIXELS = 15_000_000, 50_000_000
LONG_EDGE, THUMBNAIL_EDGE = 2_000, 400

DIGEST_PATTERN = "^[0-9a-f]{64}$"
NAME_PATTERN = "^sha256:[0-9a-f]{64}$"
_PDF = b"%PDF-"


class UnknownAttachment(NotFound):
    slug = "attachment-unknown"
    title = "There is no such attachment yet"
    about = (
        "Nothing was sent under this name yet. A record may name a photo before it is here: "
        "`PUT /v1/attachments/sha256:{digest}` sends it."
    )


class NoThumbnail(NotFound):
    slug = "no-thumbnail"
    title = "A certificate has no thumbnail"
    about = "Only photos have one; `kind` says which an attachment is."


class DigestMismatch(Refused):
    slug = "digest-mismatch"
    title = "The file is not the one that the address names"
    about = (
        "The name of an attachment is the SHA-256 of the file as it is sent, in lower-case "
        "hexadecimal. Where both are right, the file was changed or cut short on its way."
    )


class BrokenFile(Refused):
    slug = "broken-file"
    title = "The file cannot be read as what it is declared to be"
    about = (
        "A photo must be a whole JPEG, PNG or WebP picture and a certificate a PDF, and the "
        "Content-Type must say which. Nothing was written."
    )


class TooManyPixels(Refused):
    slug = "too-many-pixels"
    title = "The photo has too many pixels"
    about = (
        "A photo may have 50 megapixels; 2,000 pixels of its longer edge are kept. Send it smaller."
    )


@dataclass(frozen=True, slots=True)
class Opened:
    """A file that was read and found sound, with what is kept of it."""

    digest: str
    media_type: str
    size: int
    kind: Kind
    content: bytes
    thumbnail: bytes | None = None
    width: int | None = None
    height: int | None = None


def sha256(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def name_of(digest: str) -> str:
    """What bodies and addresses call it."""
    return f"sha256:{digest}"


def address_of(name: str) -> str:
    """Where it is sent to and read from."""
    return f"/v1/attachments/{name}"


def tidy(text: str) -> str:
    """A name or digest as it is kept: some tools write the digits A to F large."""
    return text.strip().lower()


def is_name(text: str) -> bool:
    return re.fullmatch(NAME_PATTERN, text) is not None


def check_named(digest: str, body: bytes) -> None:
    """Raises Invalid for what is no digest, DigestMismatch where it is another file's."""
    if re.fullmatch(DIGEST_PATTERN, digest) is None:
        wrong = "A SHA-256 has 64 hexadecimal digits."
        hint = f"This file is {address_of(name_of(sha256(body)))}."
        raise Invalid(wrong, (Fault(wrong, "bad-digest", parameter="digest", hint=hint),))
    if (found := sha256(body)) != digest:
        wrong = f"The address names sha256:{digest}; what was sent is sha256:{found}."
        hint = f"Send this file to {address_of(name_of(found))}, or the other one here."
        fault = Fault(wrong, DigestMismatch.slug, parameter="digest", hint=hint)
        raise DigestMismatch(wrong, (fault,), more={"named": digest, "sent": found})


def check_certificate(body: bytes) -> None:
    """Raises BrokenFile."""
    if not body.startswith(_PDF):
        raise BrokenFile("The file is no PDF: it does not begin with %PDF-.")
