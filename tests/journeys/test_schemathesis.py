"""Schemathesis against the running demo: no 5xx, no answer outside the document.

First every numbered example is sent as a case of its operation, so that each operation is seen to
answer 2xx and state-changing ones are read back; then generated calls, good and bad.
"""

import warnings
from collections import defaultdict
from typing import Any

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable

from service.app import document
from service.examples import every
from service.web.openapi import operations
from tests.journeys.conftest import Served
from tests.operations import ALL

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the library's own imports warn
    import schemathesis
    from schemathesis.checks import not_a_server_error
    from schemathesis.specs.openapi.checks import (
        content_type_conformance,
        response_schema_conformance,
        status_code_conformance,
    )

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
NAMES = sorted(operation["operationId"] for _, operation in operations(document()))
TRIED = sorted(operation.name for operation in ALL)
pytestmark = pytest.mark.filterwarnings("ignore")


@pytest.fixture(scope="module")
def known(demo: Served) -> dict[str, Any]:
    """Every operation of the served document by its id."""
    schema = schemathesis.openapi.from_url(f"{demo.url}/openapi.json")
    found = (result.ok() for result in schema.get_all_operations())
    return {operation.definition.raw["operationId"]: operation for operation in found}


def sent(case: Any, demo: Served) -> Any:
    """Send a case and hold its answer against the document."""
    response = case.call(headers={"Authorization": f"Bearer {demo.key}"})
    case.validate_response(response, checks=CHECKS)
    return response


def test_every_operation_answers_2xx_and_what_it_wrote_can_be_read(empty: Served) -> None:
    schema = schemathesis.openapi.from_url(f"{empty.url}/openapi.json")
    found = (result.ok() for result in schema.get_all_operations())
    by_name = {operation.definition.raw["operationId"]: operation for operation in found}
    seen: dict[str, list[int]] = defaultdict(list)
    kept: dict[str, str] = {}
    with httpx.Client(
        base_url=empty.url, headers={"Authorization": f"Bearer {empty.key}"}
    ) as client:
        for call in every():
            path, headers = call.path_with(kept), dict(call.headers)
            answer = client.request(call.method, path, headers=headers, **call.sending())
            assert answer.status_code == call.status, (call.file, answer.text)
            if call.operation in by_name:
                by_name[call.operation].validate_response(answer)
            seen[call.operation].append(answer.status_code)
            kept.update(call.kept_from(answer.json() if call.keep else None))
            if made := answer.headers.get("Location"):
                assert client.get(made).status_code == 200, made
    assert {name for name in NAMES if not any(200 <= s < 300 for s in seen[name])} == set()


MODES = [
    pytest.param(schemathesis.GenerationMode.POSITIVE, id="good"),
    pytest.param(schemathesis.GenerationMode.NEGATIVE, id="bad"),
]


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("name", TRIED)
def test_generated_calls_never_break_it(
    demo: Served, known: dict[str, Any], name: str, mode: Any
) -> None:
    @settings(
        max_examples=12,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=known[name].as_strategy(generation_mode=mode))
    def try_one(case: Any) -> None:
        sent(case, demo)

    try:
        try_one()
    except Unsatisfiable:
        assert mode == schemathesis.GenerationMode.NEGATIVE  # nothing in it can be bent
