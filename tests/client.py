"""A small client on the app itself, keys for it, and what stands in its database."""

import asyncio
from datetime import UTC, datetime
from typing import Any

import httpx

from service.office.keys.actions import create_key
from service.office.keys.bodies import KeyIn
from service.store.session import Actor, Store

SCOPES = ["read", "record", "write", "release", "admin"]
Dump = dict[str, list[tuple[Any, ...]]]


def system(operation: str = "tests") -> Actor:
    """An actor for rows made outside HTTP."""
    return Actor(operation=operation, now=datetime.now(UTC))


class Client:
    """A small synchronous client on the app itself, through ASGI and a real database file."""

    def __init__(self, app: Any, key: str | None) -> None:
        self.app, self.key = app, key

    def request(self, method: str, path: str, **more: Any) -> httpx.Response:
        headers = dict(more.pop("headers", {}))
        if self.key and "Authorization" not in headers:
            headers["Authorization"] = f"Bearer {self.key}"

        async def send() -> httpx.Response:
            transport = httpx.ASGITransport(self.app)
            async with httpx.AsyncClient(transport=transport, base_url="http://test") as client:
                return await client.request(method, path, headers=headers, **more)

        return asyncio.run(send())

    def get(self, path: str, **more: Any) -> httpx.Response:
        return self.request("GET", path, **more)

    def post(self, path: str, body: Any = None, **more: Any) -> httpx.Response:
        return self.request("POST", path, json=body, **more)

    def patch(self, path: str, body: Any, etag: str | None = "*") -> httpx.Response:
        headers = {"If-Match": etag} if etag else {}
        return self.request("PATCH", path, json=body, headers=headers)

    def made(self, path: str, body: Any) -> dict[str, Any]:
        """POST and expect 201; the answer's body."""
        answer = self.post(path, body)
        assert answer.status_code == 201, answer.text
        found: dict[str, Any] = answer.json()
        return found

    def read(self, path: str, **more: Any) -> Any:
        """GET and expect 200; the answer's body."""
        answer = self.get(path, **more)
        assert answer.status_code == 200, answer.text
        return answer.json()


def key_for(store: Store, scopes: list[str], **more: Any) -> str:
    """The text of a new key."""
    with store.writing(system()) as session:
        _, text = create_key(session, KeyIn(name="test", scopes=scopes, **more))
    return text


def dump(store: Store) -> Dump:
    """Every row of every table."""
    with store.reading(system()) as session:
        run = session.connection().exec_driver_sql
        names = run("select name from sqlite_master where type = 'table' order by name").scalars()
        return {
            name: sorted((tuple(row) for row in run(f'select * from "{name}"')), key=repr)
            for name in names.all()
        }


def count(store: Store, table: str) -> int:
    return len(dump(store)[table])
