"""The record verified on PostgreSQL: it holds, and a touched entry is named."""

from collections.abc import Iterator

import pytest
from sqlalchemy import text

from service import running
from service.app import create_app, create_store
from service.settings import Settings
from service.store.session import ReadSession, Store
from service.verifying import first_fault
from tests.client import SCOPES, Client, key_for, system
from tests.makers.batches import evening, ready
from tests.store.postgres import Server

# Each a change that says something else; keys have gaps there, so only their order counts.
TOUCHED = (
    "at = at + interval '1 microsecond'",
    "operation = operation || 'x'",
    "key = coalesce(key, '') || 'x'",
    "person = coalesce(person, '') || 'x'",
    "act = 'made '",
    "kind = upper(kind)",
    "subject = subject || ' '",
    "link = link - 1",
    "before = '{\"x\": 1}'",
    "after = cast(cast(after as text) || ' ' as json)",
    "id = id + 100000",
)


@pytest.fixture(scope="module")
def cooked(server: Server) -> Iterator[Store]:
    """A batch cooked and put right."""
    url = server.fresh()
    running.make_fit(url)
    store = create_store(Settings(database_url=url))
    client = Client(create_app(Settings(database_url=url), store), key_for(store, SCOPES))
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    body = {"replaces": {"weighed": "1150 g"}, "reason": "misread"}
    client.made(f"/v1/batches/{code}/lines/1/corrections", body)
    yield store
    store.dispose()


def test_the_record_of_a_batch_holds(cooked: Store) -> None:
    with cooked.reading(system()) as session:
        assert first_fault(session, lambda _: None) is None


@pytest.mark.parametrize("change", TOUCHED)
def test_a_touched_entry_breaks_its_link(cooked: Store, change: str) -> None:
    touch = f"update audit_entries set {change} where id = (select max(id) - 3 from audit_entries)"
    with cooked.writer.connect() as connection:
        assert connection.execute(text(touch)).rowcount == 1
        with ReadSession(connection, info={"actor": system()}) as session:
            found = first_fault(session, lambda _: None)
        connection.rollback()
    assert "audit chain breaks at link" in (found or "no fault")
