"""Keys: only a digest is kept, each opens what its scopes say, and ends at once."""

import base64
import csv
from collections import Counter
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from typing import Any

import pytest
from sqlalchemy import event

from service.office.keys.rules import PUBLIC, SCOPES, matrix, mint, read
from service.store.session import Store
from tests import operations
from tests.client import Client, dump, key_for
from tests.operations import Operation

UNDOCUMENTED = {"get_openapi", "get_docs"}


def test_every_operation_has_exactly_one_row_and_every_row_an_operation() -> None:
    folder = files("service.office.keys").joinpath("scopes")
    rows = [row for file in folder.iterdir() for row in csv.reader(file.read_text().splitlines())]
    counts = Counter(name for name, _ in rows)
    assert {name: count for name, count in counts.items() if count > 1} == {}
    assert set(counts) == {o.guard for o in operations.ALL} | UNDOCUMENTED
    assert {scope for _, scope in rows} <= {*SCOPES, PUBLIC}


@pytest.fixture
def lacking(app: Any, store: Store) -> dict[str, Client]:
    """For each scope a client that has all others."""
    return {
        scope: Client(app, key_for(store, [other for other in SCOPES if other != scope]))
        for scope in SCOPES
    }


@pytest.mark.parametrize("operation", operations.KEYED, ids=str)
def test_a_key_with_all_other_scopes_is_refused(
    lacking: dict[str, Client], operation: Operation
) -> None:
    needed = matrix()[operation.guard]
    answer = lacking[needed].request(operation.method, operation.path_of())
    assert answer.status_code == 403
    assert answer.json()["needs"] == needed


def test_the_database_holds_only_the_digest_of_a_key(client: Client, store: Store) -> None:
    made = client.made("/v1/keys", {"name": "balance", "scopes": ["record", "record"]})
    secret = made["key"].rsplit("_", 1)[1]
    assert made["scopes"] == ["record"]
    everything = repr(dump(store))
    assert secret not in everything
    assert secret[:32] not in everything
    assert "key" not in client.read("/v1/keys")["data"][0]


def test_a_key_made_is_a_key_that_works_and_ends_at_once(app: Any, client: Client) -> None:
    made = client.made("/v1/keys", {"name": "visitor", "scopes": ["read"]})
    visitor = Client(app, made["key"])
    assert visitor.get("/v1/people").status_code == 200
    ended = client.made(f"/v1/keys/{made['key_id']}/revocations", None)
    assert ended["revoked_at"]
    assert visitor.get("/v1/people").status_code == 401
    again = client.made(f"/v1/keys/{made['key_id']}/revocations", None)
    assert again["revoked_at"] == ended["revoked_at"]


def test_a_key_is_refused_from_the_instant_at_which_it_expires(app: Any, store: Store) -> None:
    past, future = (datetime.now(UTC) + timedelta(hours=h) for h in (-1, 1))
    old = Client(app, key_for(store, ["read"], expires_at=past))
    new = Client(app, key_for(store, ["read"], expires_at=future))
    assert old.get("/v1/people").status_code == 401
    assert new.get("/v1/people").status_code == 200


def test_a_key_may_be_the_password_of_basic(client: Client, public: Client) -> None:
    # This client has a key; only the public one has none.
    for user in (client.key[4:12], "anyone", ""):  # type: ignore[index]
        sent = base64.b64encode(f"{user}:{client.key}".encode()).decode()
        answer = public.get("/v1/people", headers={"Authorization": f"Basic {sent}"})
        assert answer.status_code == 200


@pytest.mark.parametrize(
    "header",
    [
        *("", "Bearer", "Bearer ", "Basic", "Basic %%%", "Basic /w==", "Digest x", "Bearer a b"),
        *("Bearer " + "x" * 9_000, "Bearer kmk_" + "0" * 8 + "_" + "0" * 36, "ä ö"),
    ],
)
def test_a_header_that_holds_no_key_is_refused(client: Client, header: str) -> None:
    answer = client.get("/v1/people", headers={"Authorization": header.encode("latin-1")})
    assert answer.status_code == 401


def test_a_mistyped_key_is_refused_before_the_database_is_asked(
    client: Client, store: Store
) -> None:
    asked: list[str] = []
    event.listen(store.reader, "before_cursor_execute", lambda *given: asked.append(given[2]))
    text = client.key or ""
    for place in (5, 20, len(text) - 1):
        other = "a" if text[place] != "a" else "b"
        mistyped = text[:place] + other + text[place + 1 :]
        assert read(mistyped) is None
        header = {"Authorization": f"Bearer {mistyped}"}
        assert client.get("/v1/people", headers=header).status_code == 401
    assert asked == []
    strange, _ = mint()
    header = {"Authorization": f"Bearer {strange}"}
    assert client.get("/v1/people", headers=header).status_code == 401
    assert asked


def test_a_key_of_nobody_known_is_refused_and_one_of_a_person_acts_as_that_person(
    app: Any, client: Client
) -> None:
    body = {"name": "bench", "scopes": ["write"], "person": "MARA"}
    answer = client.post("/v1/keys", body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "#/person"
    client.made("/v1/people", {"code": "MARA"})
    bench = Client(app, client.made("/v1/keys", body)["key"])
    client.made("/v1/materials", {"code": "OIL-LIN", "kind": "ingredient"})
    figure = {"property": "density", "value": "0.93 kg/l", "basis": "measured", "method": "own"}
    assert bench.made("/v1/materials/OIL-LIN/figures", figure)["by"] == "MARA"
    gone = client.request("DELETE", "/v1/people/MARA", headers={"If-Match": "*"})
    assert gone.status_code == 409
