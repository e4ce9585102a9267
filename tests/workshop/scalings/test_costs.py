"""What a charge costs, and who may see it."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers import recipes, stock
from tests.makers.recipes import figure
from tests.makers.scalings import made_by, scaling

LISTED = {
    "price": {"value": "4", "per": "kg"},
    "price_source": "price list of an invented supplier",
    "price_on": "2026-11-02",
}
OIL = {"material": "OIL-LIN", "parts": 1, "stage": "mix"}
ROSIN = {"material": "ROSIN", "parts": 1, "stage": "mix"}


def cost(answer: Any) -> Any:
    return next(row for row in answer["figures"] if row["name"] == "cost")


@pytest.fixture
def mix(client: Client) -> Client:
    """Oil that was bought at 6.20 a kilogram, and rosin of which there is only a list price."""
    stock.currency(client)
    recipes.shelf(client)
    stock.received(client, "OIL-LIN", "5 kg", price="31.00")
    assert client.patch("/v1/materials/ROSIN", LISTED).status_code == 200
    made_by(client, "MIX-X", OIL, ROSIN)
    return client


def test_what_was_never_bought_costs_what_the_list_asks(mix: Client) -> None:
    found = cost(scaling(mix, "1 kg", code="MIX-X"))
    # 0.5 x 6.20 + 0.5 x 4. By hand.
    assert (found["value"], found["unit"], found["at_least"]) == ("5.10", "EUR", False)


def test_what_was_bought_costs_what_was_paid_and_not_what_the_list_asks(mix: Client) -> None:
    stock.received(mix, "ROSIN", "5 kg", price="10.00")
    assert cost(scaling(mix, "1 kg", code="MIX-X"))["value"] == "4.10"


def test_a_price_that_is_not_known_makes_the_cost_at_least_that(mix: Client) -> None:
    assert mix.patch("/v1/materials/ROSIN", {"price": None}).status_code == 200
    answer = scaling(mix, "1 kg", code="MIX-X")
    assert (cost(answer)["value"], cost(answer)["at_least"]) == ("3.10", True)
    assert any("ROSIN" in name for name in answer["notes"]["cost"]["missing"])


def test_only_who_may_write_sees_what_it_costs(mix: Client, store: Store) -> None:
    number = scaling(mix, "1 kg", code="MIX-X")["scaling"]
    reader = Client(mix.app, key_for(store, ["read"]))
    seen = reader.read(f"/v1/recipes/MIX-X/scalings/{number}")
    assert figure(seen, "cost") is None
    assert "5.10" not in str(seen)
    assert "EUR" not in str(seen)
    assert reader.post("/v1/recipes/MIX-X/scalings", {"for": "1 kg"}).status_code == 403


def test_without_a_currency_no_cost_is_told_and_none_is_missed_by_a_reader(
    client: Client, store: Store
) -> None:
    recipes.shelf(client)
    made_by(client, "MIX-X", OIL)
    answer = scaling(client, "1 kg", code="MIX-X")
    assert {"name": "cost", "missing": ["currency of the workshop"]}.items() <= next(
        row for row in answer["undecided"] if row["name"] == "cost"
    ).items()
    reader = Client(client.app, key_for(store, ["read"]))
    seen = reader.read(f"/v1/recipes/MIX-X/scalings/{answer['scaling']}")
    assert all(row["name"] != "cost" for row in seen["undecided"])


def test_a_charge_costs_what_the_lots_cost_that_it_takes(mix: Client) -> None:
    mix_of = {"code": "MIX-X"}
    stock.received(mix, "OIL-LIN", "5 kg", price="100.00")  # dearer, and taken after the first
    answer = scaling(mix, "1 kg", **mix_of)
    assert cost(answer)["value"] == "5.10"  # 0.5 x 6.20 + 0.5 x 4, by hand
    # Of 12 kg the oil is 5 kg at 6.20 and 1 kg at 20, the rosin 6 kg at 4. By hand.
    assert cost(scaling(mix, "12 kg", **mix_of))["value"] == "75.00"


def test_a_cost_names_the_sources_of_its_prices(mix: Client) -> None:
    answer = scaling(mix, "1 kg", code="MIX-X")
    assert answer["notes"]["cost"]["how"] == "prices of the lots taken; list prices"
    short = scaling(mix, "12 kg", code="MIX-X")
    assert short["notes"]["cost"]["how"] == (
        "prices of the lots taken; latest receipt prices; list prices"
    )
