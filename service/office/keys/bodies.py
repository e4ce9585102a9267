"""Bodies of the key desk."""

from typing import Literal

from pydantic import Field

from service.web.fields import Code, In, Instant, Out, Short, Utc, Written

Scope = Literal["read", "record", "write", "release", "admin"]


class KeyIn(In):
    name: Short
    scopes: list[Scope] = Field(min_length=1, max_length=5)
    person: Code | None = None
    expires_at: Instant | None = None


class KeyOut(Out):
    key_id: str
    name: str
    scopes: list[str]
    person: str | None
    created_at: Utc
    expires_at: Utc | None
    revoked_at: Utc | None


class KeyMade(KeyOut, Written):
    key: str | None = Field(
        description="The whole key, shown this once: null where the answer is told again."
    )


class KeyRevoked(KeyOut, Written):
    pass
