"""A real server app on a real SQLite file, with keys; nothing of our own is replaced."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.app import create_app, create_store
from service.settings import Settings
from service.store import migrate
from service.store.session import Store
from tests.client import SCOPES as SCOPES
from tests.client import Client as Client
from tests.client import key_for as key_for
from tests.client import system as system


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


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty database at the newest migration, made once and copied for each test."""
    file = tmp_path_factory.mktemp("empty") / "empty.sqlite"
    migrate.to(f"sqlite:///{file}")
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


@pytest.fixture
def client(app: Any, store: Store) -> Client:
    """A client whose key has every scope."""
    return Client(app, key_for(store, SCOPES))


@pytest.fixture
def public(app: Any) -> Client:
    """A client without a key."""
    return Client(app, None)
