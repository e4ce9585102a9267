"""The app with the sums open to all, on a database nobody made: they look at no record."""

from typing import Any

import pytest

from service.app import create_app
from service.settings import Settings
from tests.client import Client


@pytest.fixture(scope="session")
def sums_app() -> Any:
    """Open to all, and without a limit."""
    return create_app(
        Settings(database_url="sqlite://", open_calculations=True, calculations_per_minute=0)
    )


@pytest.fixture(scope="session")
def visitor(sums_app: Any) -> Client:
    """Someone without a key."""
    return Client(sums_app, None)
