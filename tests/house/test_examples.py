"""The numbered examples: every operation has one, all of them replay, and their schemas hold."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from openapi_schema_validator import OAS31Validator

from service.app import document
from service.examples import every
from service.web.openapi import operations
from tests.house.playing import Played, play, settled

EXAMPLES = every()


@pytest.fixture(scope="module")
def replayed(tmp_path_factory: pytest.TempPathFactory) -> list[Played]:
    """Every example played once, in order, on a fresh database."""
    return play(f"sqlite:///{tmp_path_factory.mktemp('examples') / 'shop.sqlite'}")


def test_every_example_replays_as_recorded(replayed: list[Played]) -> None:
    for one in replayed:
        assert one.status == one.call.status, (one.call.file, one.body)
        assert one.operation == one.call.operation, one.call.file
        assert settled(one.body) == settled(one.call.response), one.call.file


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
    names = [file.name for file in sorted(Path("openapi_examples").rglob("*.json"))]
    assert all(re.match(r"\d{4}-[a-z0-9-]+\.json", name) for name in names)
