"""One effect per Idempotency-Key, for seven days, exactly as long as the effect itself stands."""

import asyncio
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest

from service.store.session import Store
from service.web.idempotency import KEPT
from tests import walk
from tests.client import SCOPES, Client, count, dump, key_for
from tests.walk import Call

PERSON = {"code": "MARA", "role": "cook"}
KEY = {"Idempotency-Key": "river-2026-0001"}


def send(client: Client, body: Any, **headers: str) -> httpx.Response:
    return client.post("/v1/people", body, headers={**KEY, **headers})


def test_the_same_request_is_answered_again_and_done_once(client: Client, store: Store) -> None:
    first, again = send(client, PERSON), send(client, PERSON)
    assert (first.status_code, again.status_code) == (201, 201)
    assert again.content == first.content
    for name in ("etag", "location", "content-type"):
        assert again.headers[name] == first.headers[name]
    assert again.headers["idempotency-replayed"] == "true"
    assert "idempotency-replayed" not in first.headers
    assert count(store, "people") == 1


def test_a_key_in_quotes_is_the_same_key(client: Client) -> None:
    send(client, PERSON)
    quoted = send(client, PERSON, **{"Idempotency-Key": f'"{KEY["Idempotency-Key"]}"'})
    assert quoted.headers["idempotency-replayed"] == "true"


def test_another_order_of_names_is_the_same_body(client: Client) -> None:
    send(client, PERSON)
    assert send(client, dict(reversed(PERSON.items()))).headers["idempotency-replayed"] == "true"


@pytest.mark.parametrize("other", [{"code": "MARA"}, {"code": "OTHER"}, {**PERSON, "role": None}])
def test_another_body_under_the_key_is_refused(client: Client, store: Store, other: Any) -> None:
    send(client, PERSON)
    answer = send(client, other)
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/idempotency-key-reused"
    assert count(store, "people") == 1


def test_a_number_is_not_the_text_of_a_number(client: Client) -> None:
    path, key = "/v1/equipment", {"headers": KEY}
    body = {"code": "LOGGER-1", "kind": "logger", "holds": {"value": 1.5, "unit": "l"}}
    assert client.post(path, body, **key).status_code == 201
    body["holds"] = {"value": "1.5", "unit": "l"}
    assert client.post(path, body, **key).status_code == 422


def test_other_clients_and_other_addresses_have_keys_of_their_own(
    app: Any, client: Client, store: Store
) -> None:
    send(client, PERSON)
    other = Client(app, key_for(store, SCOPES))
    assert send(other, {"code": "OTHER"}).status_code == 201
    made = client.post("/v1/equipment", {"code": "KETTLE-5", "kind": "kettle"}, headers=KEY)
    assert made.status_code == 201


def test_after_seven_days_the_key_is_free_and_the_old_answer_gone(
    client: Client, store: Store
) -> None:
    send(client, PERSON)
    past = (datetime.now(UTC) - KEPT - timedelta(seconds=1)).replace(tzinfo=None)
    with store.writer.begin() as connection:
        connection.exec_driver_sql("update idempotency set at = ?", (str(past),))
    assert send(client, {"code": "OTHER"}).status_code == 201
    assert count(store, "idempotency") == 1


def test_a_refusal_is_not_kept(client: Client, store: Store) -> None:
    assert send(client, {"code": "17"}).status_code == 422
    assert count(store, "idempotency") == 0
    assert send(client, PERSON).status_code == 201


def test_a_dry_run_neither_keeps_an_answer_nor_is_answered_from_one(
    client: Client, store: Store
) -> None:
    tried = client.post("/v1/people?dry_run=true", PERSON, headers=KEY)
    assert tried.status_code == 200
    assert count(store, "idempotency") == 0
    assert send(client, PERSON).status_code == 201
    again = client.post("/v1/people?dry_run=true", {"code": "OTHER"}, headers=KEY)
    assert again.json()["dry_run"] is True


@pytest.mark.parametrize("key", ["short", "x" * 201, "a b c d e f", "ä" * 9, '"', "a\tbcdefgh"])
def test_a_key_in_another_form_is_refused(client: Client, store: Store, key: str) -> None:
    answer = client.post("/v1/people", PERSON, headers={"Idempotency-Key": key.encode("latin-1")})
    assert answer.status_code == 400
    assert answer.json()["type"] == "/problems/bad-idempotency-key"
    assert count(store, "people") == 0


def test_twenty_twins_at_once_have_one_effect(app: Any, client: Client, store: Store) -> None:
    headers = {**KEY, "Authorization": f"Bearer {client.key}"}

    async def all_at_once() -> list[httpx.Response]:
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url="http://test") as twin:
            post = [twin.post("/v1/people", json=PERSON, headers=headers) for _ in range(20)]
            return await asyncio.gather(*post)

    answers = asyncio.run(all_at_once())
    assert {answer.status_code for answer in answers} == {201}
    assert sum("idempotency-replayed" not in answer.headers for answer in answers) == 1
    assert count(store, "people") == 1


def test_the_text_of_a_new_key_is_not_kept_for_a_second_telling(
    client: Client, store: Store
) -> None:
    body = {"name": "balance", "scopes": ["record"]}
    first = client.post("/v1/keys", body, headers=KEY).json()
    again = client.post("/v1/keys", body, headers=KEY).json()
    assert again == {**first, "key": None}
    assert first["key"].rsplit("_", 1)[1] not in repr(dump(store))


@pytest.mark.parametrize("calls", [walk.desks, walk.examples])
def test_a_dry_run_answers_as_the_run_does_and_writes_nothing(
    client: Client, store: Store, calls: Callable[..., None]
) -> None:
    def send(call: Call) -> httpx.Response:
        if call.method != "POST":
            return call.send(client)
        before = dump(store)
        tried = call.send(client, "?dry_run=true")
        assert tried.status_code == 200, tried.text
        assert tried.headers["cache-control"] == "no-store"
        assert "etag" not in tried.headers
        assert "location" not in tried.headers
        assert dump(store) == before
        done = call.send(client)
        assert tried.json().pop("dry_run") is True
        assert set(tried.json()) == set(done.json()) | {"dry_run"}
        return done

    calls(client, send)


def test_a_dry_run_withholds_the_numbers_that_it_would_draw(client: Client) -> None:
    client.made("/v1/materials", {"code": "OIL-LIN", "kind": "ingredient"})
    figure = {"property": "density", "value": "0.93 kg/l", "basis": "measured", "method": "own"}
    tried = client.post("/v1/materials/OIL-LIN/figures?dry_run=true", figure).json()
    assert tried["figure"] is None
    key = client.post("/v1/keys?dry_run=true", {"name": "a", "scopes": ["read"]}).json()
    assert key["key"] is key["key_id"] is None
    assert "kmk_" not in repr(key)
