"""Answers kept under an Idempotency-Key, written in the effect's own transaction.

A row exists exactly if its effect does; a twin waits at the gate and is answered from it.
Refusals changed nothing and are not kept.
"""

import hashlib
import json
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, ClassVar

from sqlalchemy import Index, delete
from sqlmodel import Field, col, select
from starlette.responses import Response

from service.errors import Refused
from service.store.columns import Instant, Row
from service.store.session import WriteSession

KEPT = timedelta(days=7)
_FORM = re.compile(r'"?([A-Za-z0-9_.:-]{8,200})"?')


class BadIdempotencyKey(Refused):
    slug = "bad-idempotency-key"
    title = "The Idempotency-Key cannot be used"
    status = 400
    about = "Send 8 to 200 letters, digits or . : _ - , one key per intended effect."


class KeyReused(Refused):
    slug = "idempotency-key-reused"
    title = "This Idempotency-Key was used for another body"
    status = 422
    about = (
        "A key stands for one effect for seven days: the same key with the same body is answered "
        "again from the record, another body needs a key of its own."
    )


class Kept(Row, table=True):
    """One kept answer."""

    __tablename__ = "idempotency"
    __table_args__ = (Index("ix_idempotency_at", "at"),)
    audited: ClassVar[bool] = False

    caller: str = Field(primary_key=True, max_length=20)
    method: str = Field(primary_key=True, max_length=8)
    path: str = Field(primary_key=True, max_length=400)
    key: str = Field(primary_key=True, max_length=200)
    digest: str = Field(max_length=64)
    at: datetime = Field(sa_type=Instant)
    status: int
    headers: str
    body: bytes


@dataclass(frozen=True)
class Attempt:
    """A request under a key."""

    caller: str
    method: str
    path: str
    key: str
    digest: str


def attempt(header: str, *, caller: str, method: str, path: str, body: Any) -> Attempt:
    """Raises BadIdempotencyKey. Key order in the body makes no new payload; 1.5 is not "1.5"."""
    if (found := _FORM.fullmatch(header.strip())) is None:
        raise BadIdempotencyKey("Send 8 to 200 letters, digits or . : _ - as Idempotency-Key.")
    text = json.dumps(body, sort_keys=True, default=repr)
    digest = hashlib.sha256(text.encode()).hexdigest()
    return Attempt(caller, method, path[:400], found[1], digest)


def find(session: WriteSession, tried: Attempt) -> Response | None:
    """The answer kept for this attempt, marked as replayed. Raises KeyReused."""
    held = session.exec(
        select(Kept).where(
            Kept.caller == tried.caller,
            Kept.method == tried.method,
            Kept.path == tried.path,
            Kept.key == tried.key,
            Kept.at > session.now - KEPT,
        )
    ).first()
    if held is None:
        return None
    if held.digest != tried.digest:
        raise KeyReused("Give this body an Idempotency-Key of its own.")
    headers = {**json.loads(held.headers), "Idempotency-Replayed": "true"}
    return Response(held.body, held.status, headers=headers)


def _without(answer: Any, once: frozenset[str]) -> bytes:
    blanked = {name: None if name in once else value for name, value in answer.items()}
    return json.dumps(blanked, ensure_ascii=False).encode()


def keep(
    session: WriteSession, tried: Attempt, response: Response, *, once: frozenset[str]
) -> None:
    """Keep an answer, the members that are shown `once` as null; drop those whose time is over."""
    session.execute(delete(Kept).where(col(Kept.at) <= session.now - KEPT))
    headers = {
        name: response.headers[name]
        for name in ("content-type", "location", "etag")
        if name in response.headers
    }
    session.add(
        Kept(
            **{name: getattr(tried, name) for name in Attempt.__dataclass_fields__},
            at=session.now,
            status=response.status_code,
            headers=json.dumps(headers),
            body=_without(json.loads(bytes(response.body)), once) if once else bytes(response.body),
        )
    )
