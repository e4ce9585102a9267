"""A real server app on a real SQLite file, with keys; nothing of our own is replaced."""

import asyncio
import os
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.app import create_app, create_store
from service.office.keys.actions import create_key
from service.office.keys.bodies import KeyIn
from service.settings import Settings
from service.store import migrate
from service.store.engine import writing_engine
from service.store.session import Actor, Store

SCOPES = ["read", "record", "write", "release", "admin"]


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Where no skip is allowed, a skip mark alone already fails."""
    if os.environ.get("KETTLEMARK_NO_SKIPS") and item.get_closest_marker("skip"):
        pytest.fail("a skip is a failure here")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
    report = yield
    if os.environ.get("KETTLEMARK_NO_SKIPS") and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped where no skip is allowed: {report.longrepr}"
    return report


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


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty database at the newest migration, made once and copied for each test."""
    file = tmp_path_factory.mktemp("empty") / "empty.sqlite"
    engine = writing_engine(f"sqlite:///{file}")
    with engine.begin() as connection:
        migrate.all_tables().create_all(connection)
        connection.exec_driver_sql(
            "insert into workshop (id, revision, zone, markets, languages) "
            "values (1, 1, 'UTC', '', 'en')"
        )
    engine.dispose()
    return file


@pytest.fixture
def settings(tmp_path: Path, migrated: Path) -> Settings:
    file = tmp_path / "shop.sqlite"
    file.write_bytes(migrated.read_bytes())
    return Settings(database_url=f"sqlite:///{file}", gate_seconds=5)


@pytest.fixture
def store(settings: Settings) -> Iterator[Store]:
    found = create_store(settings)
    yield found
    found.dispose()


@pytest.fixture
def app(settings: Settings, store: Store) -> Any:
    return create_app(settings, store)


def key_for(store: Store, scopes: list[str]) -> str:
    with store.writing(system()) as session:
        _, text = create_key(session, KeyIn(name="test", scopes=scopes))  # type: ignore[arg-type]
    return text


@pytest.fixture
def client(app: Any, store: Store) -> Client:
    """A client whose key has every scope."""
    return Client(app, key_for(store, SCOPES))


@pytest.fixture
def public(app: Any) -> Client:
    """A client without a key."""
    return Client(app, None)
