"""Bodies that are right but for one value: tried as dry runs, they never make the service fail."""

import copy
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import httpx
import pytest

from service.store.session import Store
from tests import walk
from tests.client import Client, dump
from tests.walk import Call

MOST = 80  # bodies tried for one operation
STRANGE: tuple[Any, ...] = (
    *("9**9**9 kg", "0,930 kg/l", "-1 kg", "-5", "1e400 kg", "NaN kg", "1 kg; drop", "Infinity"),
    *(
        "0.1234567890123 kg/l",
        "7.7612 lb/US gal",
        "68.1 F",
        "1 oz",
        "999999999999 kg",
        "٣ kg",
        "",
        " ",
    ),
    *("9999-12-31", "2026-11-25T13:05:00", "0001-01-01T00:00:00Z", "\u202e", "=1+1", "a\nb"),
    *(-1, 0, 2**62, 1.5, True, None, [], {}, [None], {"value": "1"}, {"value": 1, "unit": "kg"}),
)


def bent(body: Any) -> Iterator[Any]:
    """The body with each of its values in turn replaced by each strange one."""
    for steps in places(body):
        for strange in STRANGE:
            changed = copy.deepcopy(body)
            inner = changed
            for step in steps[:-1]:
                inner = inner[step]
            inner[steps[-1]] = strange
            yield changed


def places(value: Any, *above: Any) -> Iterator[tuple[Any, ...]]:
    if isinstance(value, dict | list):
        for step, inner in value.items() if isinstance(value, dict) else enumerate(value[:2]):
            yield (*above, step)
            yield from places(inner, *above, step)


def some_of(bodies: list[Any], operation: str) -> list[Any]:
    """Enough of them for one operation, the same in every run: large bodies bend in hundreds."""
    return Random(operation).sample(bodies, min(len(bodies), MOST))


@pytest.mark.parametrize("calls", [walk.desks, walk.examples])
def test_no_bent_value_makes_the_service_fail(
    client: Client, store: Store, calls: Callable[..., None]
) -> None:
    tried: set[str] = set()

    def send(call: Call) -> httpx.Response:
        if call.method == "POST" and call.body and call.operation not in tried:
            tried.add(call.operation)
            before = dump(store)
            for body in some_of(list(bent(call.body)), call.operation):
                answer = client.post(call.path + "?dry_run=true", body)
                assert answer.status_code < 500, (call.path, body, answer.text)
            assert dump(store) == before
        return call.send(client)

    calls(client, send)


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("9**9**9 kg/l", "number-malformed"),
        ("0,930 kg/l", "number-malformed"),
        ("-0.9 kg/l", "out-of-range"),
        ("0.9 kg", "wrong-dimension"),
        ("0.9 l/kg", "unit-unknown"),
        ("NaN kg/l", "number-malformed"),
        ("1e3 kg/m3", "number-malformed"),
        ("kg/l", "number-malformed"),
        (0.93, "unit-missing"),
        (True, "wrong-type"),
    ],
)
def test_a_figure_that_cannot_be_right_says_why(client: Client, value: Any, code: str) -> None:
    client.made("/v1/materials", {"code": "OIL-LIN", "kind": "ingredient"})
    figure = {"property": "density", "value": value, "basis": "measured", "method": "hydrometer"}
    answer = client.post("/v1/materials/OIL-LIN/figures", figure)
    assert answer.status_code == 422, answer.text
    assert answer.json()["errors"][0]["code"] == code
    assert client.read("/v1/figures")["data"] == []


@pytest.mark.parametrize("tare", ["-1 g", "0 g", "1 l", "2000 t", "1.5 oz.", {"value": 1}])
def test_a_tare_that_cannot_be_is_refused(client: Client, tare: Any) -> None:
    answer = client.post("/v1/materials", {"code": "JAR-250", "kind": "container", "tare": tare})
    assert answer.status_code == 422, answer.text
    assert answer.json()["errors"][0]["pointer"] == "#/tare"


@pytest.mark.parametrize("value", ["7.7612 lb/US gal", "0.9301234567 kg/l", "930.1234567891 kg/m3"])
def test_a_value_whose_conversion_never_ends_is_kept_as_it_was_written(
    client: Client, value: str
) -> None:
    client.made("/v1/materials", {"code": "OIL-LIN", "kind": "ingredient"})
    figure = {"property": "density", "value": value, "basis": "measured", "method": "hydrometer"}
    made = client.made("/v1/materials/OIL-LIN/figures", {**figure, "temperature": "68.1 F"})
    assert f"{made['value']} {made['unit']}" == value
    assert made["temperature"]["unit"] == "°C"
