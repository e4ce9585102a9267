"""List prices of materials, and who sees them."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.materials import PRICED, material
from tests.makers.stock import currency


def test_a_list_price_is_shown_in_the_workshops_currency(client: Client) -> None:
    currency(client)
    shown = material(client, "OIL-X", **PRICED)
    assert shown["price"] == {"value": "6.20", "unit": "EUR", "per": "kg"}
    assert shown["price_on"] == "2026-11-02"
    assert shown["price_source"].startswith("price list")


def test_prices_are_hidden_from_who_may_not_see_costs(client: Client, store: Store) -> None:
    currency(client)
    material(client, "OIL-X", **PRICED)
    reader = Client(client.app, key_for(store, ["read"]))
    for shown in (reader.read("/v1/materials/OIL-X"), reader.read("/v1/materials")["data"][0]):
        assert [shown[name] for name in PRICED] == [None, None, None]


def test_a_price_says_nothing_without_a_currency(client: Client) -> None:
    answer = client.post("/v1/materials", {"code": "OIL-X", "kind": "ingredient", **PRICED})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["code"] == "currency-missing"
    assert "EUR" in answer.json()["errors"][0]["hint"]


@pytest.mark.parametrize(
    ("body", "faults"),
    [
        ({"price_source": None}, [("#/price_source", "evidence-missing")]),
        ({"price_on": None}, [("#/price_on", "evidence-missing")]),
        ({"price": None}, [("#/price", "price-missing")]),
        ({"price": {"value": "1", "per": "piece"}}, [("#/price/per", "wrong-per")]),
        ({"price": {"value": "1.00001", "per": "kg"}}, [("#/price/value", "number-malformed")]),
        ({"price": {"value": "-1", "per": "kg"}}, [("#/price/value", "out-of-range")]),
        ({"price": {"value": "1", "per": "lb"}}, [("#/price/per", "literal-error")]),
    ],
)
def test_a_price_that_is_not_whole_is_refused(
    client: Client, body: dict[str, Any], faults: list[tuple[str, str]]
) -> None:
    currency(client)
    answer = client.post("/v1/materials", {"code": "OIL-X", "kind": "ingredient", **PRICED, **body})
    assert answer.status_code == 422, answer.text
    found = [(fault["pointer"], fault["code"]) for fault in answer.json()["errors"]]
    assert found == faults


@pytest.mark.parametrize(("kind", "per"), [("ingredient", "piece"), ("container", "kg")])
def test_each_way_out_of_a_wrong_per_is_taken(client: Client, kind: str, per: str) -> None:
    currency(client)
    body = {"kind": kind, **PRICED, "price": {"value": "0.41", "per": per}}
    answer = client.post("/v1/materials", {"code": "THING", **body})
    remedies = answer.json()["errors"][0]["remedies"]
    assert remedies
    for place, remedy in enumerate(remedies):
        price = body["price"] | remedy["send"]["price"]
        material(client, f"THING-{place}", **{**body, "price": price})


def test_a_price_is_changed_alone_and_taken_away_whole(client: Client) -> None:
    currency(client)
    material(client, "OIL-X", **PRICED)
    dearer = {"price": {"value": "7.05", "per": "l"}}
    shown = client.patch("/v1/materials/OIL-X", dearer).json()
    assert shown["price"] == {"value": "7.05", "unit": "EUR", "per": "l"}
    assert shown["price_on"] == "2026-11-02"
    refused = client.patch("/v1/materials/OIL-X", {"price_on": None})
    assert refused.json()["errors"][0]["pointer"] == "#/price_on"
    gone = client.patch("/v1/materials/OIL-X", {"price": None}).json()
    assert [gone[name] for name in PRICED] == [None, None, None]
