"""The door: every request becomes an actor here, or is refused."""

import base64
import binascii
import hmac
from collections.abc import Callable
from datetime import datetime

from service.office.keys import queries
from service.office.keys._tables import ApiKey
from service.office.keys.rules import PUBLIC, KeyNeeded, ScopeNeeded, matrix, read
from service.store.session import Actor, Store

_CHALLENGE = {"WWW-Authenticate": 'Bearer realm="kettlemark", Basic realm="kettlemark"'}


def door(store: Store, unlocked: frozenset[str] = frozenset()) -> Callable[..., Actor]:
    """The function that authorises each request; `unlocked` operations need no key.

    A key that is sent to an unlocked operation is not looked at.
    """

    def authorise(
        *, header: str | None, operation: str, now: datetime, request_id: str, dry_run: bool
    ) -> Actor:
        nobody = Actor(operation=operation, now=now, request_id=request_id, dry_run=dry_run)
        needed = matrix()[operation]
        if needed == PUBLIC or operation in unlocked:
            return nobody
        key = _key(store, nobody, _sent(header))
        if needed not in key.scopes:
            detail = f"This needs the scope {needed}; the key has {', '.join(key.scopes)}."
            raise ScopeNeeded(detail, more={"needs": needed})
        return Actor(
            operation=operation,
            now=now,
            key=key.public_id,
            person=key.person,
            scopes=frozenset(key.scopes),
            request_id=request_id,
            dry_run=dry_run,
        )

    return authorise


def _sent(header: str | None) -> str:
    scheme, _, rest = (header or "").strip().partition(" ")
    if scheme.lower() == "bearer":
        return rest
    if scheme.lower() == "basic":
        try:
            return base64.b64decode(rest, validate=True).decode().partition(":")[2]
        except (binascii.Error, UnicodeDecodeError):
            return ""
    raise KeyNeeded("Send the key as Authorization: Bearer kmk_….", headers=_CHALLENGE)


def _key(store: Store, nobody: Actor, text: str) -> ApiKey:
    refused = KeyNeeded("The key is mistyped, expired, revoked or unknown.", headers=_CHALLENGE)
    if (credential := read(text)) is None:
        raise refused
    with store.reading(nobody) as session:
        row = queries.by_public_id(session, credential.public_id)
    if row is None or not hmac.compare_digest(row.digest, credential.digest):
        raise refused
    if row.revoked_at or (row.expires_at and row.expires_at <= nobody.now):
        raise refused
    return row
