"""The OpenAPI document is valid, and says of each operation what a client needs."""

import re
from collections import Counter
from typing import Any

import pytest
from openapi_schema_validator import OAS31Validator
from openapi_spec_validator import validate

from tests import operations
from tests.operations import DOCUMENT, Operation

VERBS = {
    "GET": {"get", "list", "look", "query"},
    "PATCH": {"change"},
    "DELETE": {"delete", "remove"},
}
LISTS = tuple(o for o in operations.READING if o.name.startswith("list_"))
# Short and always wanted whole: the kinds of problem, the sums, what is sold, what is of one lot.
UNPAGED = {
    "list_problems",
    "list_calculations",
    "list_public_products",
    "list_lot_origins",
    "list_lot_destinations",
    "list_lot_figures",
    "list_fills",
}


def test_the_document_is_valid() -> None:
    validate(DOCUMENT)


def test_every_operation_has_a_name_of_its_own() -> None:
    counts = Counter(o.name for o in operations.EVERY)
    assert {name for name, count in counts.items() if count > 1} == set()


@pytest.mark.parametrize("operation", operations.EVERY, ids=str)
def test_an_operation_is_named_by_a_verb_and_described(operation: Operation) -> None:
    assert re.fullmatch(r"[a-z]+(_[a-z0-9]+)+", operation.name)
    verb = operation.name.split("_")[0]
    assert verb in VERBS.get(operation.method, {verb})
    assert operation.drawn["summary"][:1].isupper()
    assert len(operation.drawn["tags"]) == 1


@pytest.mark.parametrize("operation", LISTS, ids=str)
def test_a_list_is_paged_and_sorted(operation: Operation) -> None:
    names = {p["name"] for p in operation.drawn["parameters"]}
    assert operation.name in UNPAGED or {"limit", "cursor", "sort"} <= names


@pytest.mark.parametrize("operation", operations.WRITING, ids=str)
def test_what_no_if_match_guards_may_be_tried_and_repeated(operation: Operation) -> None:
    names = {p["name"] for p in operation.drawn["parameters"]}
    writes = operation.method in {"POST", "PUT"} and operation.guard != "calculate"
    assert ({"dry_run", "Idempotency-Key"} <= names) == writes


def answer_schema(operation: Operation) -> dict[str, Any]:
    """The schema of a success that made something."""
    content = operation.drawn["responses"].get("201", {}).get("content", {})
    found: dict[str, Any] = content.get("application/json", {}).get("schema", {})
    schemas = DOCUMENT["components"]["schemas"]
    return schemas[found["$ref"].rsplit("/", 1)[1]] if "$ref" in found else found


@pytest.mark.parametrize(
    "operation", [o for o in operations.ALL if "201" in o.drawn["responses"]], ids=str
)
def test_what_a_post_made_is_told_with_what_was_assumed(operation: Operation) -> None:
    assert {"assumed", "summary"} <= set(answer_schema(operation).get("required", ()))


@pytest.mark.parametrize("operation", operations.WITH_BODY, ids=str)
def test_a_body_takes_no_unknown_names(operation: Operation) -> None:
    schema = operation.drawn["requestBody"]["content"]["application/json"]["schema"]
    schemas = DOCUMENT["components"]["schemas"]
    found = schemas[schema["$ref"].rsplit("/", 1)[1]] if "$ref" in schema else schema
    assert found.get("additionalProperties") is False or "properties" not in found


ADDRESSED = [o for o in operations.ALL if "{" in o.path]


@pytest.mark.parametrize("operation", ADDRESSED, ids=str)
def test_what_stands_in_an_address_is_shown_by_an_example(operation: Operation) -> None:
    shown = [p for p in operation.drawn["parameters"] if p["in"] == "path"]
    assert {p["name"] for p in shown} == set(re.findall(r"{(\w+)}", operation.path))
    for parameter in shown:
        assert "{" not in str(parameter["example"])
        OAS31Validator(parameter["schema"]).validate(parameter["example"])
