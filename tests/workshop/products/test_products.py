"""Products and packs through HTTP."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import products, recipes
from tests.makers.products import SPAR

EAN = "4006381333931"  # check digit by python-stdnum 2.2, ean


def merged(body: Any, patch: Any) -> Any:
    """JSON Merge Patch (RFC 7396), without removals."""
    if not isinstance(patch, dict):
        return patch
    held = body if isinstance(body, dict) else {}
    return {**held, **{name: merged(held.get(name), value) for name, value in patch.items()}}


@pytest.fixture
def shop(client: Client) -> Client:
    recipes.spar(client)
    products.jars(client)
    return client


def refused(client: Client, path: str, body: Any, status: int = 422) -> Any:
    answer = client.post(path, body)
    assert answer.status_code == status, answer.text
    return answer.json()


def test_a_product_comes_back_as_it_was_made(shop: Client) -> None:
    shop.patch("/v1/workshop", {"currency": "EUR"})
    made = products.product(shop)
    assert made["assumed"] == {
        "disclosure": "nothing",
        "tell_oil_length": False,
        "markets": [],
        "nominal": {"250ML": "250 ml"},
    }
    shown = shop.read("/v1/products/spar")
    assert shown["name"] == SPAR["name"]
    assert shown["packs"][0]["nominal"] == {"value": "250", "unit": "ml"}
    assert shown["packs"][0]["price"] == {"value": "24.00", "unit": "EUR"}
    assert shown["figures"][0]["name"] == "flash_point"
    assert shown["notes"]["flash_point"]["method"] == "ISO 3679"


def test_a_bare_name_is_in_the_workshops_first_language(shop: Client) -> None:
    made = products.product(shop, name="Spar varnish", directions="Thin coats.")
    assert made["assumed"]["language"] == "en"
    assert made["name"] == {"en": "Spar varnish"}


def test_directions_in_a_language_without_a_name_are_refused(shop: Client) -> None:
    problem = refused(shop, "/v1/products", {**SPAR, "directions": {"de": "Dünn streichen."}})
    assert problem["errors"][0]["pointer"] == "#/directions/de"


@pytest.mark.parametrize(
    ("changes", "pointer", "code"),
    [
        ({"recipe": "NOTHING"}, "#/recipe", "recipe-unknown"),
        ({"packs": [{"pack": "X", "container": "LID-63"}]}, "#/packs/0/container", "no-container"),
        (
            {"packs": [{"pack": "X", "container": "JAR-250", "closure": "JAR-250"}]},
            "#/packs/0/closure",
            "no-closure",
        ),
        ({"packs": [{"pack": "2 5", "container": "JAR-250"}]}, "#/packs/0/pack", "bad-pack"),
        ({"shelf_months": 0}, "#/shelf_months", "greater-than-equal"),
    ],
)
def test_a_bad_product_is_refused_at_its_place(
    shop: Client, changes: dict[str, Any], pointer: str, code: str
) -> None:
    fault = refused(shop, "/v1/products", {**SPAR, **changes})["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code), fault


def test_a_container_that_does_not_say_what_it_holds_asks_for_the_nominal_content(
    shop: Client,
) -> None:
    recipes.material(shop, "TIN-X", kind="container")
    packs = [SPAR["packs"][0], {"pack": "500ML", "container": "TIN-X"}]
    body = {**SPAR, "packs": packs}
    fault = refused(shop, "/v1/products", body)["errors"][0]
    assert fault["pointer"] == "#/packs/1/nominal"
    for remedy in fault["remedies"]:
        made = shop.made("/v1/products", merged(body, remedy["send"]))
        assert made["packs"][1]["nominal"] == {"value": "500", "unit": "ml"}


def test_a_pack_larger_than_its_container_is_refused(shop: Client) -> None:
    packs = [{"pack": "BIG", "container": "JAR-250", "nominal": "900 ml"}, SPAR["packs"][0]]
    body = {**SPAR, "packs": packs}
    fault = refused(shop, "/v1/products", body)["errors"][0]
    assert (fault["code"], fault["pointer"]) == ("pack-too-large", "#/packs/0/nominal")
    (remedy,) = fault["remedies"]
    made = shop.made("/v1/products", merged(body, remedy["send"]))
    assert made["packs"][0]["nominal"] == {"value": "250", "unit": "ml"}


def test_a_remedy_for_one_pack_goes(shop: Client) -> None:
    recipes.material(shop, "TIN-X", kind="container")
    products.product(shop)
    body = {"pack": "500ML", "container": "TIN-X"}
    fault = refused(shop, "/v1/products/SPAR/packs", body)["errors"][0]
    for remedy in fault["remedies"]:
        shop.made("/v1/products/SPAR/packs", merged(body, remedy["send"]))
    assert [pack["pack"] for pack in shop.read("/v1/products/SPAR")["packs"]] == ["250ML", "500ML"]


@pytest.mark.parametrize(
    "gtin",
    [
        "4006381333932",  # one digit beside EAN
        "2012345678900",  # 20 to 29: restricted circulation (GS1 General Specifications)
        "0212345678909",  # 02
        "412345678903",  # GTIN-12 beginning with 4, so 04
        "400638133393",  # a digit short
    ],
)
def test_a_gtin_that_is_not_for_trade_is_refused(shop: Client, gtin: str) -> None:
    body = {"pack": "1L", "container": "JAR-250", "gtin": gtin}
    products.product(shop)
    fault = refused(shop, "/v1/products/SPAR/packs", body)["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/gtin", "bad-gtin")


def test_a_gtin_is_borne_by_one_pack(shop: Client) -> None:
    products.product(shop)
    body = {"container": "JAR-250", "gtin": EAN}
    shop.made("/v1/products/SPAR/packs", {"pack": "A1", **body})
    fault = refused(shop, "/v1/products/SPAR/packs", {"pack": "A2", **body})["errors"][0]
    assert fault["code"] == "gtin-taken"


def test_a_pack_is_added_once_and_changes_the_products_tag(shop: Client) -> None:
    products.product(shop)
    before = shop.get("/v1/products/SPAR").headers["ETag"]
    body = {"pack": "100ML", "container": "JAR-250", "nominal": "100 ml"}
    assert shop.made("/v1/products/SPAR/packs", body)["assumed"] == {}
    assert shop.get("/v1/products/SPAR").headers["ETag"] != before
    problem = refused(shop, "/v1/products/SPAR/packs", body, 409)
    assert problem["type"] == "/problems/pack-taken"


def test_texts_are_changed_under_the_tag_and_a_stale_one_is_refused(shop: Client) -> None:
    products.product(shop)
    tag = shop.get("/v1/products/SPAR").headers["ETag"]
    changed = shop.patch("/v1/products/SPAR", {"name": {"de": "Bootslack"}}, etag=tag)
    assert changed.json()["name"] == {"en": "Spar varnish, long oil", "de": "Bootslack"}
    assert changed.headers["ETag"] != tag
    assert shop.patch("/v1/products/SPAR", {"shelf_months": 24}, etag=tag).status_code == 412


def test_a_figure_of_a_product_is_recorded_and_listed(shop: Client) -> None:
    products.product(shop)
    figure = {"property": "density", "value": "0.897 kg/l", "basis": "measured", "method": "pyk."}
    shop.made("/v1/products/SPAR/figures", figure)
    listed = shop.read("/v1/products/SPAR/figures")["data"]
    assert {row["property"] for row in listed} == {"density", "flash_point"}


def test_a_product_of_which_figures_are_recorded_is_archived_not_deleted(shop: Client) -> None:
    products.product(shop)
    kept = shop.request("DELETE", "/v1/products/SPAR", headers={"If-Match": "*"})
    assert kept.json()["type"] == "/problems/in-use"
    assert shop.patch("/v1/products/SPAR", {"archived": True}).status_code == 200
    assert shop.read("/v1/products")["data"] == []


def test_a_product_nothing_points_at_goes_with_its_packs(shop: Client) -> None:
    products.product(shop, figures={})
    gone = shop.request("DELETE", "/v1/products/SPAR", headers={"If-Match": "*"})
    assert gone.status_code == 200, gone.text
    assert shop.get("/v1/products/SPAR").status_code == 404
