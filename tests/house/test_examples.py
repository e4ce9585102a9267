"""The numbered examples: every operation has one, all of them replay, and their schemas hold."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from openapi_schema_validator import OAS31Validator

from service import running
from service.app import create_app, create_store, document
from service.examples import Example, load
from service.settings import Settings
from service.web.openapi import operations
from tests.client import Client
from tests.record_examples import answer_of, operation_of

EXAMPLES = load()
# What differs from one playing to the next: instants, digests, key ids, the year in record numbers.
_VOLATILE = re.compile(
    r"(?<=Key )\w{8}(?= )|\d{4}-\d\d-\d\dT[\d:.]+(Z|[+-]\d\d:\d\d)?|[0-9a-f]{16,64}|kmk_\w+|"
    r"(?<![A-Z0-9-])([A-Z]{1,2})-\d\d-\d{3,}"
)


def settled(value: Any, name: str = "") -> Any:
    """The answer without what differs between two playings."""
    if isinstance(value, dict):
        return {key: settled(inner, key) for key, inner in value.items()}
    if isinstance(value, list):
        return [settled(inner, name) for inner in value]
    if isinstance(value, str) and name not in {"key_id", "key", "next", "version"}:
        return _VOLATILE.sub("…", value)
    return "…" if isinstance(value, str) else value


@pytest.fixture(scope="module")
def replayed(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Example, int, Any, str]]:
    """Every example played once, in order, on a fresh database."""
    url = f"sqlite:///{tmp_path_factory.mktemp('examples') / 'shop.sqlite'}"
    running.make_fit(url)
    settings = Settings(database_url=url)
    key = running.create_key(settings, "examples", "all", None)
    app = create_app(settings, create_store(settings))
    client, kept, found = Client(app, key), dict[str, str](), []
    for call in EXAMPLES:
        more = {} if call.request is None else {"json": call.request}
        path = call.path_with(kept)
        answer = client.request(call.method, path, headers=dict(call.headers), **more)
        body = answer_of(answer)
        kept.update(call.kept_from(body) if answer.status_code == call.status else {})
        found.append((call, answer.status_code, body, operation_of(app, call.method, path)))
    return found


def test_every_example_replays_as_recorded(replayed: list[tuple[Example, int, Any, str]]) -> None:
    for call, status, body, operation in replayed:
        assert status == call.status, (call.file, body)
        assert operation == call.operation, call.file
        assert settled(body) == settled(call.response), call.file


def test_every_operation_has_an_example() -> None:
    named = {operation["operationId"] for _, operation in operations(document())}
    assert named - {call.operation for call in EXAMPLES} == set()


def resolved(schema: dict[str, Any], whole: dict[str, Any]) -> dict[str, Any]:
    return {**schema, "components": whole["components"]}


def test_requests_and_answers_fit_the_document() -> None:
    whole = json.loads(json.dumps(document()))
    by_name = {operation["operationId"]: operation for _, operation in operations(whole)}
    for call in EXAMPLES:
        operation = by_name.get(call.operation)
        if operation is None:
            continue
        if call.request is not None:
            media = next(iter(operation["requestBody"]["content"].values()))
            OAS31Validator(resolved(media["schema"], whole)).validate(call.request)
        answer = operation["responses"][str(call.status)].get("content", {})
        if call.response is not None and "application/json" in answer:
            schema = resolved(answer["application/json"]["schema"], whole)
            OAS31Validator(schema).validate(call.response)


def test_the_document_shows_the_files_themselves() -> None:
    by_name = {operation["operationId"]: operation for _, operation in operations(document())}
    shown = by_name["create_recipe"]["requestBody"]["content"]["application/json"]["example"]
    first = next(call for call in EXAMPLES if call.operation == "create_recipe")
    assert shown == first.request


def test_files_are_numbered_in_order() -> None:
    names = [file.name for file in sorted(Path("openapi_examples").glob("*.json"))]
    assert all(re.match(r"\d{4}-[a-z0-9-]+\.json", name) for name in names)
