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


def refused(client: Client, body: Any, *, code: str = "SPAR", status: int = 422) -> Any:
    """A question that is refused; the refusal."""
    return recipes.refused(client, f"/v1/recipes/{code}/scalings", body, status)


def made_by(client: Client, code: str, *lines: Any, kind: str = "finished", **more: Any) -> None:
    """A material, and the approved recipe that makes it."""
    recipes.material(client, code, kind=kind)
    recipes.recipe(client, {"code": code, "lines": list(lines), **more})


def known(client: Client, subject: str, **figures: str) -> None:
    """Figures of a material or of a lot ("lots/…"), from an invented table."""
    path = subject if "/" in subject else f"materials/{subject}"
    for name, value in figures.items():
        client.made(f"/v1/{path}/figures", {"property": name, "value": value, **recipes.TABLE})


def target(answer: Any, line: int) -> str | None:
    """What is to be weighed for a line, in g."""
    found = answer["lines"][line - 1]["target"]
    return None if found is None else str(found["value"])


def flagged(answer: Any) -> list[tuple[str, int | None]]:
    """The flags of a scaling, with their lines."""
    return [(flag["code"], flag["line"]) for flag in answer["flags"]]


def rules(answer: Any) -> set[str]:
    """The rules whose cautions a scaling has."""
    return {row["rule"] for row in answer["cautions"]}
