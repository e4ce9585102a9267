"""Scalings of the invented spar varnish, with the shelf, the jars and the equipment it needs."""

from typing import Any

from tests.client import Client
from tests.makers import products, recipes, stock

JARS = {"pack": "250ML", "jars": 24}
DENSITY = {"density": {"value": "0.897 kg/l", "basis": "measured", "method": "pyknometer, 20 °C"}}


def bench(client: Client) -> None:
    """A kettle of 12 l and a balance that reads to 1 g."""
    client.made("/v1/equipment", {"code": "KETTLE-2", "kind": "kettle", "holds": "12 l"})
    client.made("/v1/equipment", {"code": "BAL-6KG", "kind": "balance", "reads_to": "1 g"})


def shop(client: Client) -> None:
    """Recipes, jars, equipment and the product, of which the density is measured."""
    recipes.spar(client)
    products.jars(client)
    bench(client)
    products.product(client, figures={**products.SPAR["figures"], **DENSITY})


def stocked(client: Client) -> dict[str, str]:
    """The shop with its first delivery and a resinate that came; lot numbers by material."""
    shop(client)
    lots = stock.delivery(client)
    return {**lots, "RESIN-ZN": stock.received(client, "RESIN-ZN", "2 kg")}


def scaling(client: Client, asked: Any = JARS, *, code: str = "SPAR", **more: Any) -> Any:
    """A recipe scaled to what is asked; the answer."""
    return client.made(f"/v1/recipes/{code}/scalings", {"for": asked, **more})
