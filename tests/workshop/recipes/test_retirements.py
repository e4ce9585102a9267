"""Versions that are taken out of use, through HTTP."""

from typing import Any

import pytest

from tests.client import Client, key_for
from tests.makers import recipes, scalings
from tests.makers.recipes import RESINATE, SPAR, refused

RETIRE = {"version": 1, "reason": "the resin ran short"}
PATH = "/v1/recipes/SPAR/retirements"


@pytest.fixture
def shop(client: Client) -> Client:
    recipes.spar(client)
    return client


def second(client: Client) -> None:
    recipes.again(client, "SPAR", {"lines": SPAR["lines"]})
    client.made("/v1/recipes/SPAR/approvals", {})


def test_the_newest_approved_version_is_used_after_one_is_retired(shop: Client) -> None:
    second(shop)
    made = shop.made(PATH, {**RETIRE, "version": 2})
    assert made["summary"] == "Version 2 of SPAR is retired; version 1 is used."
    assert (made["state"], made["retired_for"]) == ("retired", "the resin ran short")
    assert made["assumed"] == {"by": None}
    assert shop.read("/v1/recipes/SPAR")["approved"] == 1
    listed = shop.read("/v1/recipes/SPAR/versions", params={"state": "retired"})["data"]
    assert [row["version"] for row in listed] == [2]


def test_a_retired_version_keeps_its_frozen_form(shop: Client) -> None:
    before = recipes.version(shop, "SPAR")
    recipes.retired(shop, "SPAR")
    after = recipes.version(shop, "SPAR")
    changed = {name for name in before if before[name] != after[name]}
    assert changed == {"state", "retired_at", "retired_for"}


def test_a_recipe_without_an_approved_version_says_so(shop: Client) -> None:
    made = recipes.retired(shop, "SPAR")
    assert made["summary"] == "Version 1 of SPAR is retired; no version is approved any more."
    assert shop.read("/v1/recipes/SPAR")["approved"] is None
    unnamed = refused(shop, "/v1/recipes/SPAR/scalings", {"for": "2 kg"}, 409)
    assert unnamed["type"] == "/problems/recipe-not-approved"


@pytest.mark.parametrize(
    ("body", "status", "kind"),
    [
        ({**RETIRE, "version": 2}, 409, "version-not-approved"),
        ({**RETIRE, "version": 9}, 404, "version-unknown"),
        ({"version": 1}, 422, "invalid"),
        ({"reason": "it is old"}, 422, "invalid"),
        ({**RETIRE, "by": "NOBODY"}, 422, "invalid"),
    ],
)
def test_only_an_approved_version_is_retired_and_for_a_reason(
    shop: Client, body: dict[str, Any], status: int, kind: str
) -> None:
    recipes.again(shop, "SPAR", {"lines": SPAR["lines"]})
    assert refused(shop, PATH, body, status)["type"] == f"/problems/{kind}"


def test_a_version_is_retired_once(shop: Client) -> None:
    recipes.retired(shop, "SPAR")
    assert refused(shop, PATH, RETIRE, 409)["type"] == "/problems/version-not-approved"
    approval = refused(shop, "/v1/recipes/SPAR/approvals", {"version": 1}, 409)
    assert approval["type"] == "/problems/already-approved"


def test_retiring_needs_the_scope_of_release(shop: Client, store: Any) -> None:
    writer = Client(shop.app, key_for(store, ["read", "write"]))
    assert refused(writer, PATH, RETIRE, 403)["needs"] == "release"


def test_a_recipe_with_a_retired_version_is_not_deleted(shop: Client) -> None:
    recipes.retired(shop, "SPAR")
    gone = shop.request("DELETE", "/v1/recipes/SPAR", headers={"If-Match": "*"})
    assert gone.json()["type"] == "/problems/in-use"


def test_nothing_is_planned_with_a_retired_version(client: Client) -> None:
    scalings.shop(client)
    second(client)
    recipes.retired(client, "SPAR")
    body = {"for": "2 kg", "version": 1}
    for path, more in (("/v1/recipes/SPAR/scalings", {}), ("/v1/batches", {"recipe": "SPAR"})):
        problem = refused(client, path, {**body, **more}, 409)
        assert problem["type"] == "/problems/version-retired"
        assert "name 2" in problem["errors"][0]["hint"]
    client.made("/v1/recipes/SPAR/scalings", {"for": "2 kg"})


def test_nothing_is_planned_with_an_intermediate_that_was_retired(client: Client) -> None:
    scalings.shop(client)
    recipes.retired(client, "RESIN-ZN")
    for path, body in (("/v1/recipes/SPAR/scalings", {}), ("/v1/batches", {"recipe": "SPAR"})):
        problem = refused(client, path, {"for": "2 kg", **body}, 409)
        assert problem["type"] == "/problems/intermediate-retired"
        assert "RESIN-ZN" in problem["detail"]
    recipes.again(client, "RESIN-ZN", {"lines": RESINATE["lines"]})
    still = refused(client, "/v1/recipes/SPAR/scalings", {"for": "2 kg"}, 409)
    assert still["type"] == "/problems/intermediate-retired"
    client.made("/v1/recipes/RESIN-ZN/approvals", {})
    client.made("/v1/recipes/SPAR/scalings", {"for": "2 kg"})


def test_an_intermediate_of_an_intermediate_counts_too(client: Client) -> None:
    scalings.shop(client)
    recipes.material(client, "BLEND-X", kind="finished")
    lines = [{"material": "SPAR", "parts": 1}, {"material": "WSPIRIT", "parts": 1}]
    recipes.recipe(client, {"code": "BLEND-X", "lines": lines})
    recipes.retired(client, "RESIN-ZN")
    problem = refused(client, "/v1/recipes/BLEND-X/scalings", {"for": "2 kg"}, 409)
    assert problem["type"] == "/problems/intermediate-retired"


def test_a_version_is_approved_whose_intermediate_has_no_approved_recipe(client: Client) -> None:
    recipes.shelf(client)
    recipes.recipe(client, RESINATE, approved=False)
    recipes.recipe(client, SPAR)
    assert recipes.version(client, "SPAR")["state"] == "approved"
