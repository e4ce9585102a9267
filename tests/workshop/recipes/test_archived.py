"""What is archived is planned with no more, and comes back only where it fits."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes, scalings
from tests.makers.batches import COMES

PLAN = {"recipe": "SPAR", "for": "2 kg"}


@pytest.fixture
def shop(client: Client) -> Client:
    scalings.shop(client)
    return client


def archive(client: Client, path: str, *, archived: bool = True) -> Any:
    return client.patch(path, {"archived": archived})


@pytest.mark.parametrize("path", ["recipes/SPAR", "materials/OIL-TUNG", "materials/SPAR"])
def test_nothing_new_is_planned_with_what_is_archived(shop: Client, path: str) -> None:
    known = scalings.scaling(shop, "2 kg")["scaling"]
    assert archive(shop, f"/v1/{path}").status_code == 200
    tries = (
        ("/v1/batches", PLAN),
        ("/v1/batches", {"scaling": known}),
        ("/v1/recipes/SPAR/scalings", {"for": "2 kg"}),
    )
    for where, body in tries:
        answer = shop.post(where, body)
        assert answer.status_code == 409
        assert answer.json()["type"] == "/problems/not-in-use"
        assert f"PATCH /v1/{path}" in answer.json()["errors"][0]["hint"]
    assert archive(shop, f"/v1/{path}", archived=False).status_code == 200
    shop.made("/v1/batches", {**PLAN, **COMES})


def test_a_new_version_and_a_new_product_name_nothing_archived(shop: Client) -> None:
    archive(shop, "/v1/materials/OIL-TUNG")
    line = {"material": "OIL-TUNG", "parts": 1}
    draft = shop.post("/v1/recipes/SPAR/versions", {"why": "a trial", "lines": [line]})
    assert draft.status_code == 422
    assert draft.json()["errors"][0]["code"] == "material-archived"
    assert draft.json()["errors"][0]["pointer"] == "#/lines/0/material"
    archive(shop, "/v1/recipes/SPAR")
    product = shop.post("/v1/products", {"code": "SPAR-TWO", "recipe": "SPAR", "name": "Spar"})
    assert product.status_code == 422
    assert product.json()["errors"][0]["code"] == "recipe-archived"


def test_a_recipe_that_would_close_a_circle_stays_archived(client: Client) -> None:
    for code in ("MIX-ONE", "MIX-TWO"):
        recipes.material(client, code, kind="intermediate")
    for code, part in (("MIX-ONE", "MIX-TWO"), ("MIX-TWO", "MIX-ONE")):
        body = {"code": code, "lines": [{"material": part, "parts": 1}]}
        client.made("/v1/recipes", body)
        client.made(f"/v1/recipes/{code}/approvals", {})
        archive(client, f"/v1/recipes/{code}")
    assert archive(client, "/v1/recipes/MIX-TWO", archived=False).status_code == 200
    answer = archive(client, "/v1/recipes/MIX-ONE", archived=False)
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/recipe-contains-itself"
    assert answer.json()["errors"][0]["pointer"] == "#/archived"
    client.made("/v1/recipes/MIX-TWO/scalings", {"for": "1 kg"})
    renamed = client.patch("/v1/recipes/MIX-ONE", {"name": "Mixture, old"})
    assert renamed.status_code == 200
