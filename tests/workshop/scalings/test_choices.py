"""Which lot feeds a line, or which version makes what it needs."""

from typing import Any

import pytest

from service.store.session import Store
from service.workshop.stock.actions import set_quality
from service.workshop.stock.queries import lot
from tests.client import Client, system
from tests.makers import recipes, scalings, stock
from tests.makers.scalings import refused, scaling


@pytest.fixture
def shop(client: Client) -> Client:
    scalings.shop(client)
    return client


def fault(client: Client, code: str, **choice: Any) -> Any:
    """The one refusal of a choice."""
    (found,) = refused(client, {"for": "1 kg", "choose": {code: choice}})["errors"]
    return found


def test_other_lots_are_named_in_the_order_of_their_expiry(shop: Client) -> None:
    endless = stock.received(shop, "OIL-LIN", "1 kg")
    later = stock.received(shop, "OIL-LIN", "1 kg", expires_on="2090-01-01")
    sooner = stock.received(shop, "OIL-LIN", "1 kg", expires_on="2080-01-01")
    line = scaling(shop, "1 kg")["lines"][1]
    assert [row["lot"] for row in line["from"]] == [sooner]
    assert [(row["lot"], row["expires_on"]) for row in line["others"]] == [
        (later, "2090-01-01"),
        (endless, None),
    ]


def test_a_lot_that_is_chosen_is_taken_before_the_others(shop: Client) -> None:
    first = stock.received(shop, "OIL-LIN", "1 kg")
    second = stock.received(shop, "OIL-LIN", "200 g")
    line = scaling(shop, "1 kg", choose={"OIL-LIN": {"lot": second}})["lines"][1]
    assert [(row["lot"], row["take"]["value"]) for row in line["from"]] == [
        (second, "200"),
        (first, "51"),
    ]


def test_a_lot_of_another_material_is_refused(shop: Client) -> None:
    tung = stock.received(shop, "OIL-TUNG", "1 kg")
    found = fault(shop, "OIL-LIN", lot=tung)
    assert (found["pointer"], found["code"]) == ("#/choose/OIL-LIN/lot", "lot-not-open")
    assert found["detail"] == f"{tung} is a lot of OIL-TUNG, not of OIL-LIN."


@pytest.mark.parametrize("quality", ["quarantine", "rejected"])
def test_a_lot_that_is_not_open_is_refused_with_those_that_are(
    shop: Client, store: Store, quality: str
) -> None:
    there = stock.received(shop, "OIL-LIN", "1 kg")
    held = stock.received(shop, "OIL-LIN", "1 kg")
    with store.writing(system()) as session:
        set_quality(session, lot(session, held), quality)
    found = fault(shop, "OIL-LIN", lot=held)
    assert (found["code"], found["hint"]) == ("lot-not-open", f"Open lots: {there}.")


def test_a_lot_that_nobody_knows_is_refused(shop: Client) -> None:
    assert fault(shop, "OIL-LIN", lot="NOPE")["code"] == "lot-unknown"


def test_a_choice_for_no_line_is_refused_with_the_lines_there_are(shop: Client) -> None:
    found = fault(shop, "ROSIN", version=1)
    assert (found["pointer"], found["code"]) == ("#/choose/ROSIN", "not-in-recipe")
    assert "RESIN-ZN" in found["hint"]


@pytest.mark.parametrize("choice", [{}, {"lot": "OIL-LIN-2611-01", "version": 1}])
def test_a_choice_is_a_lot_or_a_version(shop: Client, choice: Any) -> None:
    assert fault(shop, "RESIN-ZN", **choice)["code"] == "one-of-two"


def test_a_version_that_is_chosen_makes_what_stands_on_the_shelf_anew(client: Client) -> None:
    scalings.stocked(client)
    second = {"lines": [{"material": "ROSIN", "parts": 90}, {"material": "ZNO", "parts": 10}]}
    recipes.again(client, "RESIN-ZN", second)
    client.made("/v1/recipes/RESIN-ZN/approvals", {})
    answer = scaling(client, "1 kg", choose={"RESIN-ZN": {"version": 1}})
    (made,) = answer["to_make"]
    assert (made["material"], made["version"], made["level"]) == ("RESIN-ZN", 1, 1)
    # 209 g of it, by 100 parts in 105: 199.05 g of rosin and 9.95 g of zinc oxide. By hand.
    assert [row["amount"]["value"] for row in made["lines"]] == ["199", "10"]
    assert answer["lines"][0]["from"] == []


@pytest.mark.parametrize(
    ("number", "code"),
    [(1, "version-retired"), (3, "recipe-not-approved"), (7, "version-unknown")],
)
def test_a_version_that_nobody_works_from_is_refused(shop: Client, number: int, code: str) -> None:
    recipes.again(shop, "RESIN-ZN", {"lines": recipes.RESINATE["lines"]})
    shop.made("/v1/recipes/RESIN-ZN/approvals", {})
    recipes.retired(shop, "RESIN-ZN")
    recipes.again(shop, "RESIN-ZN", {"lines": recipes.RESINATE["lines"]})
    found = fault(shop, "RESIN-ZN", version=number)
    assert (found["pointer"], found["code"]) == ("#/choose/RESIN-ZN/version", code)


def test_a_version_of_what_is_only_bought_is_refused(shop: Client) -> None:
    found = fault(shop, "OIL-LIN", version=1)
    assert (found["code"], found["hint"]) == ("version-unknown", "Approved: none.")
