"""Products of an invented workshop."""

from typing import Any

from tests.client import Client
from tests.makers.recipes import material

SPAR = {
    "code": "SPAR",
    "recipe": "SPAR",
    "name": {"en": "Spar varnish, long oil"},
    "directions": {"en": "Three thin coats, a day apart."},
    "packs": [{"pack": "250ML", "container": "JAR-250", "closure": "LID-63", "price": "24.00"}],
    "figures": {"flash_point": {"value": "41.5 °C", "basis": "measured", "method": "ISO 3679"}},
}


def jars(client: Client) -> None:
    """A jar of 250 ml and its lid."""
    material(client, "JAR-250", kind="container", holds="250 ml", tare="151 g")
    material(client, "LID-63", kind="closure")


def product(client: Client, **changes: Any) -> Any:
    """The spar varnish as a product, its recipe and its jars made before."""
    return client.made("/v1/products", {**SPAR, **changes})
