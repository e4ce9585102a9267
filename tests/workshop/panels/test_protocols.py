"""Rating scales and protocols through HTTP."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.panels import HANDLER, RUB, SCALE, SWEAT, WATER, protocol


def test_a_scale_states_its_direction(client: Client) -> None:
    made = client.made("/v1/rating-scales", SCALE)
    assert (made["best"], made["worst"]) == ("5", "1")
    shown = client.read("/v1/rating-scales/effect-5")
    assert [value["value"] for value in shown["values"]] == ["5", "4", "3", "2", "1"]
    assert [row["code"] for row in client.read("/v1/rating-scales")["data"]] == ["EFFECT-5"]


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"best": "1"}, "#/best"),
        ({"worst": "5"}, "#/worst"),
        # The made-up body is a plain dict, whose values may be anything to the type checker.
        ({"values": [SCALE["values"][0], SCALE["values"][2]]}, "#/values"),  # type: ignore[index]
        ({"values": [{"value": "5", "rank": 1, "text": "x"}] * 2}, "#/values"),
    ],
)
def test_a_scale_that_contradicts_itself_is_refused(
    client: Client, change: dict[str, Any], pointer: str
) -> None:
    answer = client.post("/v1/rating-scales", {**SCALE, **change})
    assert answer.status_code == 422, answer.text
    assert answer.json()["errors"][0]["pointer"] == pointer


def test_an_unknown_scale_or_protocol_is_named(client: Client) -> None:
    for path, slug in (
        ("rating-scales/NONE", "rating-scale-unknown"),
        ("protocols/NONE", "protocol-unknown"),
    ):
        answer = client.get(f"/v1/{path}")
        assert (answer.status_code, answer.json()["type"]) == (404, f"/problems/{slug}")


def test_a_protocol_comes_with_its_first_version(client: Client) -> None:
    protocol(client)
    shown = client.read("/v1/protocols/HANDLER")
    assert (shown["version"], shown["versions"]) == (1, [1])
    assert shown["tests"][1]["does"] == "one drop covered for 16 h"
    assert shown["tests"][1]["contact"] == {"value": "16", "unit": "h"}


def test_a_new_version_leaves_the_old_one_as_it_was(client: Client) -> None:
    protocol(client)
    longer = {**WATER, "contact": "24 h"}
    made = client.made("/v1/protocols/HANDLER/versions", {"method": "own", "tests": [longer]})
    assert made["versions"] == [1, 2]
    assert client.read("/v1/protocols")["data"][0]["version"] == 2
    old = client.read("/v1/protocols/HANDLER/versions/1")
    assert [test["contact"] for test in old["tests"]][1] == {"value": "16", "unit": "h"}
    missing = client.get("/v1/protocols/HANDLER/versions/3")
    assert missing.json()["type"] == "/problems/protocol-version-unknown"


@pytest.mark.parametrize(
    ("test", "code", "place"),
    [
        ({**WATER, "contact": None}, "contact-missing", ""),
        ({**WATER, "contact": "16"}, "unit-unknown", "/contact"),
        ({**WATER, "scale": "NO-SCALE"}, "rating-scale-unknown", "/scale"),
        ({**WATER, "scale": None, "reagent": "NOTHING"}, "material-unknown", "/reagent"),
        ({**RUB, "rubs": None}, "rubs-missing", ""),
        ({**SWEAT, "own_method": False, "method": None}, "method-missing", ""),
        ({**WATER, "at": "1A"}, "string-pattern-mismatch", "/at"),
    ],
)
def test_a_test_that_cannot_be_done_is_refused_with_its_place(
    client: Client, test: dict[str, Any], code: str, place: str
) -> None:
    answer = client.post("/v1/protocols", {**HANDLER, "tests": [test]})
    assert answer.status_code == 422, answer.text
    fault = answer.json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == (code, f"#/tests/0{place}")


def test_a_place_on_the_panel_holds_one_test(client: Client) -> None:
    answer = client.post("/v1/protocols", {**HANDLER, "tests": [RUB, {**SWEAT, "at": "B1"}]})
    assert answer.json()["errors"][0]["pointer"] == "#/tests/1/at"
