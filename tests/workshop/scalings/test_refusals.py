"""What cannot be scaled, and the ways out, each of which goes."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes, scalings

PATH = "/v1/recipes/SPAR/scalings"


@pytest.fixture
def shop(client: Client) -> Client:
    scalings.shop(client)
    return client


def merged(body: Any, patch: Any) -> Any:
    """JSON Merge Patch (RFC 7396)."""
    if not isinstance(patch, dict):
        return patch
    held = dict(body) if isinstance(body, dict) else {}
    for name, value in patch.items():
        if value is None:
            held.pop(name, None)
        else:
            held[name] = merged(held.get(name), value)
    return held


def refused(client: Client, body: Any, *, status: int = 422, ways: int = 0) -> Any:
    """The refusal of a body; each of its remedies is applied and goes."""
    answer = client.post(PATH, body)
    assert answer.status_code == status, answer.text
    found = answer.json()
    remedies = found["errors"][0].get("remedies", [])
    assert len(remedies) == ways, remedies
    for remedy in remedies:
        client.made(PATH, merged(body, remedy["send"]))
    return found


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ({}, "#/for", "missing"),
        ({"for": {}}, "#/for", "asked-unknown"),
        ({"for": 5}, "#/for", "asked-unknown"),
        ({"for": None}, "#/for", "missing"),
        (
            {"for": "1 kg", "bench": {"scaling": "SC-26-001", "weighed": {"1": "5 g"}}},
            "#",
            "one-of-two",
        ),
        ({"for": "stocks"}, "#/for", "number-malformed"),
        ({"for": ["stock"]}, "#/for", "asked-unknown"),
        ({"for": {"jars": 5}}, "#/for/pack", "missing"),
        ({"for": {"jars": 5, "each": "250 ml", "ullage": "51 %"}}, "#/for/ullage", "out-of-range"),
        ({"for": {"jars": 5, "each": "250 g"}}, "#/for/each", "wrong-dimension"),
        ({"for": {"jars": 100000, "each": "1 l"}}, "#/for/jars", "out-of-range"),
        ({"for": {"pack": "250ML", "jars": 5000}}, "#/for/jars", "out-of-range"),
        ({"for": "0.001 mg"}, "#/balance", "too-small-to-weigh"),
        ({"for": {"kettle": "BAL-6KG"}}, "#/for/kettle", "equipment-unknown"),
        ({"for": "1 kg", "loss_cook": "61 %"}, "#/loss_cook", "out-of-range"),
        ({"for": "1 kg", "measured": [{"stage": "cook"}]}, "#/measured/0", "nothing-measured"),
        (
            {"for": "1 kg", "measured": [{"stage": "wash", "mass": "1 g"}]},
            "#/measured/0/stage",
            "no-stage",
        ),
        (
            {"for": "1 kg", "measured": [{"stage": "cook", "mass": "9 kg"}]},
            "#/measured/0/mass",
            "out-of-range",
        ),
        ({"for": "5"}, "#/for", "unit-unknown"),
        ({"for": "5 gal"}, "#/for", "unit-ambiguous"),
        ({"for": "5 °C"}, "#/for", "wrong-dimension"),
        ({"for": "0 kg"}, "#/for", "out-of-range"),
        ({"for": "-1 l"}, "#/for", "out-of-range"),
        ({"for": {"value": "1", "unit": 7}}, "#/for", "wrong-type"),
        ({"for": {"pack": "250ML"}}, "#/for/jars", "missing"),
        ({"for": {"pack": "250ML", "jars": 0}}, "#/for/jars", "greater-than-equal"),
        ({"for": {"pack": "250ML", "jars": 5, "lids": 5}}, "#/for/lids", "unknown-field"),
        ({"for": {"material": "ROSIN", "amount": "5 l"}}, "#/for/amount", "wrong-dimension"),
        ({"for": "1 kg", "density": "3 kg/l"}, "#/density", "out-of-range"),
        ({"for": "1 kg", "overage": "60 %"}, "#/overage", "out-of-range"),
        ({"for": "1 kg", "overage": "-1 %"}, "#/overage", "out-of-range"),
        ({"for": "1 kg", "balance": "KETTLE-2"}, "#/balance", "equipment-unknown"),
        ({"for": "1 kg", "kettle": "NOTHING"}, "#/kettle", "equipment-unknown"),
        (
            {"for": {"pack": "250ML", "jars": 5, "product": "NOTHING"}},
            "#/for/product",
            "product-unknown",
        ),
    ],
)
def test_a_bad_question_is_refused_at_its_place(
    shop: Client, body: Any, pointer: str, code: str
) -> None:
    fault = refused(shop, body)["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code), fault


def test_a_pack_it_is_not_sold_in_is_refused_with_those_there_are(shop: Client) -> None:
    body = {"for": {"pack": "1L", "jars": 4}}
    assert refused(shop, body, ways=1)["errors"][0]["code"] == "pack-unknown"


def test_two_products_in_one_pack_are_asked_apart(shop: Client) -> None:
    pack = {"pack": "250ML", "container": "JAR-250"}
    other = {"code": "SPAR-B", "recipe": "SPAR", "name": "spar for blades", "packs": [pack]}
    shop.made("/v1/products", other)
    found = refused(shop, {"for": scalings.JARS, "density": "0.9 kg/l"}, ways=2)
    assert found["errors"][0]["code"] == "product-missing"


def test_a_material_that_no_line_names_is_refused_with_those_there_are(shop: Client) -> None:
    body = {"for": {"material": "ROSIN", "amount": "1 kg"}}
    assert refused(shop, body, ways=4)["errors"][0]["code"] == "not-in-recipe"


def test_an_ingredient_takes_no_overage(shop: Client) -> None:
    body = {"for": {"material": "RESIN-ZN", "amount": "1 kg"}, "overage": "2 %"}
    assert refused(shop, body, ways=1)["errors"][0]["code"] == "no-overage"


def test_a_charge_that_the_kettle_does_not_hold_is_refused(shop: Client) -> None:
    found = refused(shop, {"for": "15 kg"}, ways=1)
    assert found["type"] == "/problems/kettle-too-small"


def test_a_line_that_the_balance_reads_as_nothing_is_refused(shop: Client) -> None:
    shop.made("/v1/equipment", {"code": "BAL-FINE", "kind": "balance", "reads_to": "0.01 g"})
    found = refused(shop, {"for": "2 g", "balance": "BAL-6KG"}, ways=1)
    assert found["type"] == "/problems/too-small-to-weigh"


def test_a_balance_that_does_not_say_what_it_reads_to_is_refused(shop: Client) -> None:
    shop.made("/v1/equipment", {"code": "BAL-OLD", "kind": "balance"})
    found = refused(shop, {"for": "2 kg", "balance": "BAL-OLD"})
    assert found["errors"][0]["code"] == "balance-unread"


def test_a_recipe_of_drafts_is_scaled_only_to_look_at_it(client: Client) -> None:
    recipes.shelf(client)
    recipes.recipe(client, recipes.SPAR, approved=False)
    found = refused(client, {"for": "1 kg"}, status=409, ways=1)
    assert found["type"] == "/problems/recipe-not-approved"


@pytest.mark.parametrize(("asked", "most"), [("2000 kg", "1000 kg"), ("2000 l", "1000 l")])
def test_more_than_a_workshop_makes_is_refused_with_the_most(
    shop: Client, asked: str, most: str
) -> None:
    found = refused(shop, {"for": asked})
    assert found["errors"][0]["detail"] == (
        f"{asked} cannot be made: more than 0 and at most {most} is taken."
    )


def test_what_is_added_as_it_needs_is_no_line_to_ask_by(client: Client) -> None:
    recipes.shelf(client)
    spirit = {"material": "WSPIRIT", "derive": {"rule": "as-needed", "until": "it runs"}}
    scalings.made_by(client, "MIX-X", {"material": "OIL-LIN", "parts": 1}, spirit)
    body = {"for": {"material": "WSPIRIT", "amount": "1 kg"}}
    (fault,) = scalings.refused(client, body, code="MIX-X")["errors"]
    assert fault["code"] == "not-in-recipe"
    for remedy in fault["remedies"]:
        client.made("/v1/recipes/MIX-X/scalings", merged(body, remedy["send"]))
