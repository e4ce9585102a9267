"""Addresses and queries that no maker sends: answered with a problem, never with a failure."""

from urllib.parse import quote

import pytest

from tests import operations
from tests.client import Client
from tests.operations import Operation

STEPS = {
    "NUL": "%00",
    "NUL inside": "OIL%00LIN",
    "slash": "A%2FB",
    "dots": "..%2F..%2Fetc",
    "newline": "A%0D%0AX-Injected:%201",
    "broken UTF-8": "%FF%FE",
    "surrogate": "%ED%A0%80",
    "emoji": quote("🛶"),
    "long": "X" * 20_000,
    "digits": "9" * 40,
    "many digits": "9" * 5_000,
    "minus": "-1",
    "quote": "'%20or%20''='",
    "percent": "%25s%25n",
    "braces": "{0.__class__}",
    "not a number": "NaN",
}
IN_PATH = tuple(o for o in operations.ALL if "{" in o.path)
QUERIED = tuple(
    (o, p["name"])
    for o in operations.ALL
    for p in o.drawn["parameters"]
    if p["in"] == "query" and p["name"] != "dry_run"
)
VALUES = (
    *("%00", "a%00b", "%ED%A0%80", "%FF", "", "x" * 5_000, "9" * 30, "9" * 5_000, "-9", "1.5"),
    *("NaN", "'--", "%F0%9F%9B%B6", "2026-13-01T00:00:00Z", "0001-01-01T00:00:00Z"),
    *("9999-12-31T23:59:59-14:00", "1e400", "null", "[]", "%25%25_%5C"),
)


@pytest.mark.parametrize("operation", IN_PATH, ids=str)
def test_an_odd_address_is_answered_with_a_problem(client: Client, operation: Operation) -> None:
    for name, step in STEPS.items():
        answer = client.request(
            operation.method, operation.path_of(step), headers={"If-Match": "*"}
        )
        assert 400 <= answer.status_code < 500, (name, answer.text)
        assert answer.headers["content-type"] == "application/problem+json"
        assert "x-injected" not in answer.headers


@pytest.mark.parametrize(("operation", "name"), QUERIED, ids=str)
def test_an_odd_query_never_makes_the_service_fail(
    client: Client, operation: Operation, name: str
) -> None:
    for value in VALUES:
        path = f"{operation.path_of()}?{name}={value}"
        answer = client.request(operation.method, path)
        assert answer.status_code < 500, (value, answer.text)
        if "%00" in value:
            assert answer.status_code == 400


@pytest.mark.parametrize(("operation", "name"), QUERIED, ids=str)
def test_a_parameter_given_twice_is_refused(
    client: Client, operation: Operation, name: str
) -> None:
    answer = client.request(operation.method, f"{operation.path_of()}?{name}=1&{name}=1")
    schema = next(p for p in operation.drawn["parameters"] if p["name"] == name)["schema"]
    if "array" in str(schema):
        assert answer.status_code < 500
    else:
        assert answer.status_code == 400
        assert answer.json()["errors"][0]["parameter"] == name


@pytest.mark.parametrize("operation", operations.ALL, ids=str)
def test_an_unknown_parameter_lists_those_that_are_known(
    client: Client, operation: Operation
) -> None:
    answer = client.request(operation.method, operation.path_of() + "?pagesize=3")
    assert answer.status_code == 400
    assert answer.json()["type"] == "/problems/unknown-parameter"
    fault = answer.json()["errors"][0]
    assert fault["parameter"] == "pagesize"
    known = {p["name"] for p in operation.drawn["parameters"] if p["in"] == "query"}
    assert all(name in fault["detail"] for name in known)


@pytest.mark.parametrize("value", ["yes", "1", "TRUE", "", "true&dry_run=false"])
def test_a_dry_run_is_asked_for_in_one_way(client: Client, value: str) -> None:
    answer = client.post(f"/v1/people?dry_run={value}", {"code": "MARA"})
    assert answer.status_code in {400, 422}
    assert client.read("/v1/people")["data"] == []


def test_thousands_of_parameters_are_refused(client: Client) -> None:
    query = "&".join(f"a{n}=1" for n in range(6_000))
    assert client.get(f"/v1/people?{query}").status_code == 400
