"""What a key looks like, and which scope each operation needs."""

import csv
import functools
import hashlib
import re
import secrets
import string
import zlib
from dataclasses import dataclass
from importlib.resources import files

from service.errors import NotFound, Refused

SCOPES = ("read", "record", "write", "release", "admin")
PUBLIC = "public"
_LETTERS = string.digits + string.ascii_letters
_FORM = re.compile(r"kmk_([0-9A-Za-z]{8})_([0-9A-Za-z]{32})([0-9A-Za-z]{4})")


class KeyNeeded(Refused):
    slug = "key-needed"
    title = "A key is needed here"
    status = 401
    about = (
        "Send `Authorization: Bearer kmk_…`, or Basic with the key's public id as user and the "
        "key as password. `kettlemark keys create` makes one. Mistyped, expired and revoked keys "
        "are answered alike."
    )


class ScopeNeeded(Refused):
    slug = "scope-needed"
    title = "This key may not do that"
    status = 403
    about = (
        "Every key lists its scopes and none implies another: read, record, write, release, admin. "
        "`needs` names the one that is missing."
    )


class UnknownKey(NotFound):
    slug = "key-unknown"
    title = "There is no such key"


@dataclass(frozen=True, slots=True)
class Credential:
    """A key's public id and the digest of its secret."""

    public_id: str
    digest: str


def mint() -> tuple[str, Credential]:
    """A new key as shown once, and what is kept of it."""
    public_id = "".join(secrets.choice(_LETTERS) for _ in range(8))
    secret = "".join(secrets.choice(_LETTERS) for _ in range(32))
    text = f"kmk_{public_id}_{secret}{_checksum(public_id + secret)}"
    return text, Credential(public_id, _digest(secret))


def read(text: str) -> Credential | None:
    """The credential in a key's text, or None where it is mistyped (no database is asked)."""
    found = _FORM.fullmatch(text.strip())
    if found is None or _checksum(found[1] + found[2]) != found[3]:
        return None
    return Credential(found[1], _digest(found[2]))


def _digest(secret: str) -> str:
    # 190 random bits: a slow hash would add nothing.
    return hashlib.sha256(secret.encode()).hexdigest()


def _checksum(text: str) -> str:
    rest = zlib.crc32(text.encode())
    letters = []
    for _ in range(4):
        rest, place = divmod(rest, 62)
        letters.append(_LETTERS[place])
    return "".join(letters)


@functools.cache
def matrix() -> dict[str, str]:
    """The scope that each operation id needs, `public` for none."""
    found: dict[str, str] = {}
    for file in sorted(files("service.office.keys").joinpath("scopes").iterdir(), key=str):
        rows = csv.reader(file.read_text("utf-8").splitlines())
        found.update({operation: scope for operation, scope in rows})
    return found
