"""Fills that are refused, and remedies that work."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, count, key_for
from tests.makers.lots import BULK, FULL, bulk, fill, left, ready
from tests.makers.panels import merged, remedies
from tests.makers.products import product
from tests.makers.recipes import material
from tests.makers.stock import received

FILLS = f"/v1/lots/{BULK}/fills"
BODY: dict[str, Any] = {"pack": "250ML", "gross_g": list(FULL)}


@pytest.fixture
def held(client: Client, store: Store) -> dict[str, str]:
    return ready(client, store, packs=4)


def refused(client: Client, body: dict[str, Any], path: str = FILLS) -> Any:
    """The refusal, each of whose remedies then works (as dry runs, so that all can be tried)."""
    answer = client.post(path, body)
    assert answer.status_code in {409, 422}, answer.text
    for remedy in remedies(answer):
        again = client.post(path, merged(body, remedy["send"]), params={"dry_run": "true"})
        assert again.status_code == 200, again.text
    return answer


def fault(answer: Any) -> tuple[str, str, int]:
    """Place and code of the first fault, and how many remedies there are."""
    first = answer.json()["errors"][0]
    return first["pointer"], first["code"], len(remedies(answer))


def test_jars_that_run_short_are_refused_with_the_other_open_lots(
    client: Client, store: Store, held: dict[str, str]
) -> None:
    fill(client)
    more = received(client, "JAR-250", 50)
    body = {**BODY, "container_lot": held["jars"], "closure_lot": received(client, "LID-63", 50)}
    answer = refused(client, body)
    assert answer.json()["type"] == "/problems/stock-short"
    assert fault(answer) == ("#/container_lot", "stock-short", 2)
    assert remedies(answer)[0]["send"] == {"container_lot": more}
    assert count(store, "fills") == 1


def test_only_a_key_that_releases_may_go_below_zero(
    app: Any, client: Client, store: Store, held: dict[str, str]
) -> None:
    fill(client)
    writer = Client(app, key_for(store, ["read", "write"]))
    body = {**BODY, "override_reason": "two more stood behind the door"}
    answer = refused(writer, body)
    assert fault(answer) == ("#/container_lot", "stock-short", 0)
    made = client.made(FILLS, body)
    assert [flag["code"] for flag in made["flags"]] == ["stock-negative", "stock-negative"]
    assert left(client, held["jars"]) == -2


def test_jars_that_are_not_open_are_taken_only_with_a_reason(
    client: Client, held: dict[str, str]
) -> None:
    client.patch("/v1/materials/JAR-250", {"lots_start_as": "quarantine"})
    body = {**BODY, "container_lot": received(client, "JAR-250", 50)}
    answer = refused(client, body)
    assert fault(answer) == ("#/container_lot", "lot-not-open", 2)
    made = client.made(FILLS, merged(body, remedies(answer)[1]["send"]))
    assert "lot-overridden" in [flag["code"] for flag in made["flags"]]
    assert made["container_lot"] == body["container_lot"] != held["jars"]


def test_more_than_is_left_in_the_bulk_is_refused(
    client: Client, store: Store, held: dict[str, str]
) -> None:
    little = bulk(store, "POT-SMALL", mg=500_000)
    body = {**BODY, "density": {"value": "0.9 kg/l", "basis": "measured", "method": "own"}}
    answer = refused(client, body, f"/v1/lots/{little}/fills")
    assert fault(answer) == ("#/gross_g", "stock-short", 1)


def test_without_a_density_of_the_lot_the_fill_waits(
    client: Client, store: Store, held: dict[str, str]
) -> None:
    other = bulk(store, "POT-OTHER")
    path = f"/v1/lots/{other}/fills"
    answer = refused(client, BODY, path)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/density-needed")
    assert fault(answer) == ("#/density", "density-needed", 1)
    assert f"POST /v1/lots/{other}/readings" in answer.json()["errors"][0]["hint"]
    made = client.made(path, merged(BODY, remedies(answer)[0]["send"]))
    assert made["density"]["basis"] == "calculated"
    assert client.read(f"/v1/lots/{other}/figures")["figures"][0]["of"] == "lot"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"pack": "5L"}, ("#/pack", "pack-unknown", 1)),
        ({"product": "NOTHING"}, ("#/product", "product-unknown", 0)),
        ({"count": 2}, ("#/gross_g", "more-weights-than-packs", 0)),
        ({"gross_g": [376, 150.9]}, ("#/gross_g/1", "lighter-than-empty", 0)),
        ({"gross_g": None}, ("#", "count-missing", 0)),
        ({"density": {"value": "0.9 kg/l"}}, ("#/density/basis", "missing", 0)),
        (
            {"density": {"value": "9 kg/l", "basis": "measured", "method": "own"}},
            ("#/density", "out-of-range", 0),
        ),
        ({"container_lot": BULK}, ("#/container_lot", "lot-needed", 1)),
        ({"closure_lot": "LID-9"}, ("#/closure_lot", "lot-unknown", 0)),
        ({"by": "XY"}, ("#/by", "person-unknown", 0)),
    ],
)
def test_what_cannot_be_meant_is_refused_with_its_place(
    client: Client, held: dict[str, str], change: dict[str, Any], expected: tuple[str, str, int]
) -> None:
    assert fault(refused(client, {**BODY, **change})) == expected


def test_an_unknown_tare_leaves_the_packs_unchecked(client: Client, held: dict[str, str]) -> None:
    assert client.patch("/v1/materials/JAR-250", {"tare": None}).status_code == 200
    answer = refused(client, BODY)
    assert fault(answer) == ("#/tare", "tare-missing", 1)
    assert fill(client, tare="151 g")["check"]["verdict"] == "pass"


def test_of_two_products_and_of_two_lots_of_jars_one_must_be_named(
    client: Client, held: dict[str, str]
) -> None:
    product(client, code="OAR-SPAR")
    assert fault(refused(client, BODY)) == ("#/product", "product-needed", 2)
    received(client, "JAR-250", 50)
    body = {**BODY, "product": "SPAR"}
    assert fault(refused(client, body)) == ("#/container_lot", "lot-needed", 2)


def test_a_product_made_of_something_else_is_refused(client: Client, held: dict[str, str]) -> None:
    material(client, "SEALER", kind="finished")
    line = {"material": "OIL-LIN", "parts": 1}
    client.made("/v1/recipes", {"code": "SEALER", "lines": [line]})
    product(client, code="SEALER", recipe="SEALER")
    answer = refused(client, {**BODY, "product": "SEALER"})
    assert fault(answer) == ("#/product", "wrong-product", 1)


def test_only_a_bulk_lot_is_filled(client: Client, held: dict[str, str]) -> None:
    packed = fill(client)["lot"]
    for number in (packed, held["jars"]):
        answer = client.post(f"/v1/lots/{number}/fills", BODY)
        assert (answer.status_code, answer.json()["type"]) == (409, "/problems/not-bulk")
