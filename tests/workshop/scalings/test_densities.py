"""Where the density of what comes out is taken from."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes, scalings, stock


@pytest.fixture
def bare(client: Client) -> Client:
    """The recipes without a product or any density of what comes out."""
    recipes.spar(client)
    return client


def measured(client: Client, path: str, value: str) -> None:
    body = {"property": "density", "value": value, "basis": "measured", "method": "pyknometer"}
    client.made(f"{path}/figures", body)


def source(client: Client, **more: Any) -> Any:
    notes = scalings.scaling(client, "5 l", **more)["notes"]
    return notes["volume"]["from"][0]


def test_with_every_line_known_it_is_calculated_and_called_an_approximation(bare: Client) -> None:
    found = source(bare)
    # 60 % binder in the parts 1 : 1.2 : 0.8, additive volumes; the resinate is 105 parts in
    # 100 / 1.07 + 5 / 5.6 = 94.351 ml. By hand: 100 / (20 / 1.1129 + 24 / 0.930 + 16 / 0.938
    # + 40 / 0.778) = 0.8910.
    assert (found["value"], found["basis"]) == ("0.891", "calculated")
    assert "approximation" in found["valid"]


def test_a_figure_of_the_material_comes_before_a_calculation(bare: Client) -> None:
    measured(bare, "/v1/materials/SPAR", "0.901 kg/l")
    assert source(bare)["value"] == "0.901"


def test_a_figure_of_the_product_comes_before_the_materials(bare: Client) -> None:
    measured(bare, "/v1/materials/SPAR", "0.901 kg/l")
    bare.made("/v1/products", {"code": "SPAR", "recipe": "SPAR", "name": "spar"})
    measured(bare, "/v1/products/SPAR", "0.902 kg/l")
    assert source(bare)["value"] == "0.902"


def test_a_figure_of_the_last_made_lot_comes_before_the_products(bare: Client, store: Any) -> None:
    bare.made("/v1/products", {"code": "SPAR", "recipe": "SPAR", "name": "spar"})
    measured(bare, "/v1/products/SPAR", "0.902 kg/l")
    lot = stock.made_lot(store, "SPAR-2611-07-L", "SPAR", {}, amount=5_000_000)
    measured(bare, f"/v1/lots/{lot.number}", "0.903 kg/l")
    found = source(bare)
    assert (found["value"], found["lot"]) == ("0.903", "SPAR-2611-07-L")


def test_what_is_sent_comes_first(bare: Client) -> None:
    measured(bare, "/v1/materials/SPAR", "0.901 kg/l")
    found = source(bare, density="0.95 kg/l")
    assert (found["value"], found["basis"]) == ("0.95", "declared")


def test_a_volume_without_any_density_is_refused_with_a_way_out(client: Client) -> None:
    recipes.shelf(client)
    recipes.recipe(client, recipes.SPAR)  # its resinate is of no known density
    body = {"for": "5 l"}
    answer = client.post("/v1/recipes/SPAR/scalings", body)
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/density-needed"
    fault = answer.json()["errors"][0]
    assert "RESIN-ZN" in fault["detail"]
    for remedy in fault["remedies"]:
        client.made("/v1/recipes/SPAR/scalings", {**body, **remedy["send"]})


def test_a_mass_needs_no_density_and_then_has_no_volume(client: Client) -> None:
    recipes.shelf(client)
    recipes.recipe(client, recipes.SPAR)
    assert scalings.scaling(client, "1 kg")["makes"]["volume"] is None
