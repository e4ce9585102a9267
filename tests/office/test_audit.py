"""The trail: every changed row has its entry, personal values have none, and the chain shows a
change."""

import json
from collections import Counter
from collections.abc import Callable
from typing import Any

import httpx
import pytest
from sqlmodel import SQLModel

from service.office.audit.faults import first_break
from service.store.columns import Row
from service.store.session import ReadSession, Store
from tests import operations, walk
from tests.client import Client, Dump, dump, system
from tests.walk import Call

PERSONAL = ("Tidewater", "Reedbank", "Marsh")
Changes = Counter[tuple[str, str]]


def audited() -> set[str]:
    """The tables of which each change is logged."""
    kinds = SQLModel._sa_registry.mappers  # every mapped class of the house
    rows = [mapper.class_ for mapper in kinds if issubclass(mapper.class_, Row)]
    return {str(row.__tablename__) for row in rows if row.audited}


def changes(before: Dump, after: Dump) -> Changes:
    """How many rows were made, changed and deleted in each audited table, by their keys, which
    are their first columns."""
    found: Changes = Counter()
    for table in audited() & set(after):
        width = len(SQLModel.metadata.tables[table].primary_key)
        old = {row[:width]: row for row in before[table]}
        new = {row[:width]: row for row in after[table]}
        found[table, "made"] = len(set(new) - set(old))
        found[table, "deleted"] = len(set(old) - set(new))
        found[table, "changed"] = sum(new[k] != old[k] for k in set(old) & set(new))
    return +found


def entries(store: Store, beyond: int) -> list[dict[str, Any]]:
    """The entries written after a link."""
    with store.reading(system()) as session:
        query = "select * from audit_entries where link > ? order by id"
        found = session.connection().exec_driver_sql(query, (beyond,))
        return [dict(row) for row in found.mappings()]


def told_changes(told: list[dict[str, Any]]) -> Changes:
    """The changes that entries tell of, a row counted once."""
    rows = {(e["kind"], e["act"], e["subject"]): json.loads(e["after"] or "null") for e in told}
    deleted = [e for e in told if e["act"] == "deleted"]
    lost = {(e["kind"], e["subject"]): json.loads(e["before"]) for e in deleted}
    seen: Changes = Counter()
    for (kind, act, subject), after in rows.items():
        # A row that is made and then changed in the same transaction is one row made.
        if act == "changed" and (kind, "made", subject) in rows:
            continue
        # One that is deleted and made anew is one row changed, or none.
        if (gone := lost.get((kind, subject))) and (kind, "made", subject) in rows:
            seen[kind, "changed"] += act == "made" and after != gone
            continue
        # A bulk insert is one entry, without a key, that says how many rows it made.
        seen[kind, act] += 1 if "id" in (after or {}) else (after or {}).get("rows", 1)
    return +seen


def links(store: Store) -> int:
    return len(dump(store)["audit_links"])


@pytest.mark.parametrize("calls", [walk.desks, walk.examples])
def test_the_trail_tells_exactly_the_rows_that_changed(
    client: Client, store: Store, calls: Callable[..., None]
) -> None:
    def send(call: Call) -> httpx.Response:
        before, last = dump(store), links(store)
        answer = call.send(client)
        assert answer.status_code < 300, (call.path, answer.text)
        told = entries(store, last)
        wanted = changes(before, dump(store))
        assert told_changes(told) == wanted, call
        assert {e["operation"] for e in told} <= {call.operation}
        assert links(store) == last + bool(wanted)
        return answer

    calls(client, send)
    with store.reading(system()) as session:
        assert first_break(session) is None


def test_the_walk_touches_every_operation_of_the_desks_and_of_materials(
    client: Client,
) -> None:
    sent: set[str] = set()

    def send(call: Call) -> httpx.Response:
        sent.add(call.operation)
        return call.send(client)

    walk.desks(client, send)
    tags = {"people", "equipment", "keys", "workshop", "materials"}
    assert sent == {o.name for o in operations.WRITING if set(o.drawn["tags"]) & tags}


def play(client: Client) -> None:
    walk.desks(client, lambda call: call.send(client))


def test_an_entry_says_who_by_which_operation_and_what(client: Client, store: Store) -> None:
    client.made("/v1/equipment", {"code": "KETTLE-5", "kind": "kettle"})
    client.patch("/v1/equipment/KETTLE-5", {"name": "small"})
    entry = client.read("/v1/audit-entries")["data"][0]
    assert entry["operation"] == "change_equipment"
    # This client has a key; only the public one has none.
    assert entry["key_id"] == client.key[4:12]  # type: ignore[index]
    assert (entry["act"], entry["kind"], entry["subject"]) == ("changed", "equipment", "KETTLE-5")
    assert entry["before"]["name"] is None
    assert entry["after"]["name"] == "small"


def test_personal_values_never_enter_the_trail(client: Client, store: Store) -> None:
    play(client)
    told = json.dumps(entries(store, 0), default=str)
    assert not [name for name in PERSONAL if name in told]
    assert '\\"name\\": \\"changed\\"' in told
    assert client.key is not None
    digests = [row for row in dump(store)["keys"]]
    assert digests
    assert not any(str(cell) in told for row in digests for cell in row if len(str(cell)) == 64)


@pytest.mark.parametrize(
    "tampering",
    [
        "update audit_entries set {} where id = 3",
        "delete from audit_entries where id = 3",
        "delete from audit_entries where link = 3",
        "update audit_links set at = '2020-01-01 00:00:00.000000' where number = 3",
        "update audit_links set digest = '{0:064d}' where number = 3",
        "update audit_links set before = '{0:064d}' where number = 3",
        "update audit_head set digest = '{0:064d}'",
        "update audit_head set number = number - 1",
        "delete from audit_head",
        "insert into audit_entries (link, at, operation, act, kind, subject) "
        "select 3, at, operation, act, kind, subject from audit_entries where id = 3",
    ],
)
def test_a_touched_trail_is_found(client: Client, store: Store, tampering: str) -> None:
    play(client)
    columns = ("at", "operation", "key", "person", "act", "kind", "subject", "before", "after")
    texts = [f"{c} = {c} || 'x'" for c in columns]
    null = [f"{c} = 'x'" for c in ("key", "person", "before", "after")]
    wanted = [tampering.format(t) for t in (*texts, *null)] if "{}" in tampering else [tampering]
    for statement in wanted:
        with store.writer.connect() as connection:
            connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
            before = connection.exec_driver_sql("select count(*) from audit_links").scalar()
            done = connection.exec_driver_sql(statement.format(0))
            assert before
            assert done.rowcount == 1 or "link = 3" in statement
            _check_found(store, connection, statement)
            connection.rollback()


def _check_found(store: Store, connection: Any, statement: str) -> None:
    with ReadSession(connection, info={"actor": system()}) as session:
        unchanged = "|| 'x'" in statement and _still_null(connection, statement)
        assert (first_break(session) is None) == unchanged, statement


def _still_null(connection: Any, statement: str) -> bool:
    column = statement.split(" set ")[1].split(" = ")[0]
    query = f"select {column} is null from audit_entries where id = 3"
    return bool(connection.exec_driver_sql(query).scalar())


def test_the_trail_can_only_be_read(client: Client) -> None:
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        assert client.request(method, "/v1/audit-entries").status_code == 405
