"""A PostgreSQL for the tests that want one; where none can be run they are skipped and say so."""

from collections.abc import Iterator

import pytest

from tests.store import postgres


@pytest.fixture(scope="session")
def server() -> Iterator[postgres.Server]:
    try:
        with postgres.running() as found:
            yield found
    except postgres.Absent as reason:
        pytest.skip(str(reason))
