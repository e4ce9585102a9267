"""Bodies that no maker sends, on every operation that takes one: refused, nothing written."""

import asyncio
import json
import time
from collections.abc import AsyncIterator
from typing import Any

import httpx
import pytest

from service.store.session import Store
from service.web.bodies import BULK, ORDINARY
from tests import operations
from tests.client import Client, dump
from tests.operations import Operation

BODIES = {
    "NaN": b'{"name": NaN}',
    "Infinity": b'{"name": -Infinity}',
    "1e999": b'{"name": 1e999}',
    "an exponent beyond decimals": b'{"name": 1e99999999999999999999}',
    "5,000 digits": b'{"name": ' + b"9" * 5_000 + b"}",
    "a number beyond 64 bits": b'{"name": 9223372036854775808}',
    "20,000 deep": b"[" * 20_000 + b"]" * 20_000,
    "20,000 deep unclosed": b'{"a":' * 20_000,
    "33 deep": b'{"a":' * 33 + b"1" + b"}" * 33,
    "a name twice": b'{"name": "a", "name": "b"}',
    "lone surrogate": b'{"name": "\\ud800"}',
    "lone surrogate as a name": b'{"\\udfff": 1}',
    "broken UTF-8": b'{"name": "\xff\xfe"}',
    "overlong UTF-8": b'{"name": "\xc0\xaf"}',
    "byte order mark": b'\xef\xbb\xbf{"name": "a"}',
    "NUL": b'{"name": "a\\u0000b"}',
    "raw NUL": b"\x00",
    "empty": b"",
    "blanks": b"   ",
    "cut short": b'{"name": "a',
    "two values": b"{}{}",
    "array": b"[]",
    "text": b'"name"',
    "number": b"17",
    "null": b"null",
    "unknown field": b'{"no_such_field_here": 1}',
    "a very long name": b'{"' + b"n" * 90_000 + b'": 1}',
}


def send(client: Client, operation: Operation, body: Any, **headers: str) -> httpx.Response:
    sent = {"Content-Type": "application/json", "If-Match": "*", **headers}
    return client.request(operation.method, operation.path_of(), content=body, headers=sent)


def check_refused(answer: httpx.Response) -> None:
    assert 400 <= answer.status_code < 500, answer.text[:500]
    assert answer.headers["content-type"] == "application/problem+json"
    assert len(answer.content) < 30_000


@pytest.mark.parametrize("operation", operations.WITH_BODY, ids=str)
def test_a_body_that_is_no_json_is_refused_and_nothing_written(
    client: Client, store: Store, operation: Operation
) -> None:
    before = dump(store)
    for name, body in BODIES.items():
        begun = time.monotonic()
        answer = send(client, operation, body)
        check_refused(answer)
        assert answer.status_code in {400, 422}, name
        assert time.monotonic() - begun < 2, name
    assert dump(store) == before


@pytest.mark.parametrize("operation", operations.WITH_BODY, ids=str)
@pytest.mark.parametrize(
    "kind", ["application/x-www-form-urlencoded", "text/plain", "multipart/form-data", "json", ""]
)
def test_a_body_that_is_not_declared_as_json_names_the_header_to_add(
    client: Client, operation: Operation, kind: str
) -> None:
    answer = send(client, operation, b'{"name": "a"}', **{"Content-Type": kind})
    assert answer.status_code == 415, answer.text
    assert "Content-Type: application/json" in answer.json()["detail"]


@pytest.mark.parametrize("operation", operations.WITH_BODY, ids=str)
def test_a_body_over_the_limit_is_refused_with_and_without_its_length(
    client: Client, operation: Operation
) -> None:
    limit = BULK if operation.drawn.get("x-bulk") else ORDINARY

    async def pieces() -> AsyncIterator[bytes]:
        for _ in range(limit // 50_000 + 1):
            yield b" " * 50_000

    for body in (b" " * (limit + 1), pieces()):
        answer = send(client, operation, body)
        check_refused(answer)
        assert answer.status_code == 413
    claimed = send(client, operation, b"{}", **{"Content-Length": "9" * 5_000})
    assert claimed.status_code == 413


def wrong_types(schema: dict[str, Any], document: dict[str, Any]) -> list[dict[str, Any]]:
    """Bodies in which one field holds what none of ours holds."""
    found = schema
    while "$ref" in found:
        found = document["components"]["schemas"][found["$ref"].rsplit("/", 1)[1]]
    names = found.get("properties", {})
    strange: list[Any] = [{"$gt": ""}, [[[1]]], True, -1, 9e15, "x" * 20_000, "\u202e\U0001f300"]
    return [{name: value} for name in names for value in strange]


@pytest.mark.parametrize("operation", operations.WITH_BODY, ids=str)
def test_no_value_of_a_wrong_type_makes_the_service_fail(
    client: Client, store: Store, operation: Operation
) -> None:
    document = client.app.openapi()
    schema = operation.drawn["requestBody"]["content"]["application/json"]["schema"]
    before = dump(store)
    slow = 0.0
    for body in wrong_types(schema, document):
        begun = time.monotonic()
        answer = send(client, operation, json.dumps(body).encode())
        slow = max(slow, time.monotonic() - begun)
        if operation.path.startswith("/v1/workshop") and answer.status_code == 200:
            continue  # a patch of the card that happens to be one
        check_refused(answer)
    assert slow < 2
    assert operation.name == "change_workshop" or dump(store) == before


def test_many_names_of_which_one_comes_twice_are_refused_at_once(client: Client) -> None:
    names = ",".join(f'"{n}":0' for n in range(70_000))
    begun = time.monotonic()
    answer = client.request(
        "POST",
        "/v1/people",
        content=f'{{{names},"69999":0}}'.encode(),
        headers={"Content-Type": "application/json"},
    )
    assert answer.status_code == 400
    assert "69999" in answer.json()["detail"]
    assert time.monotonic() - begun < 2


def test_a_connection_that_ends_in_the_middle_writes_nothing(app: Any, client: Client) -> None:
    sent: list[dict[str, Any]] = []
    messages = iter(
        [
            {"type": "http.request", "body": b'{"code": "MA', "more_body": True},
            {"type": "http.disconnect"},
        ]
    )

    async def receive() -> dict[str, Any]:
        return next(messages)

    async def send_back(message: dict[str, Any]) -> None:
        sent.append(message)

    headers = [
        (b"authorization", f"Bearer {client.key}".encode()),
        (b"content-type", b"application/json"),
    ]
    scope = {
        "type": "http",
        "method": "POST",
        "path": "/v1/people",
        "query_string": b"",
        "headers": headers,
        "server": ("test", 80),
        "scheme": "http",
    }
    asyncio.run(app(scope, receive, send_back))
    assert sent[0]["status"] == 400
    assert client.read("/v1/people")["data"] == []
