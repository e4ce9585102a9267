"""Materials of an invented workshop: with a drier's metal, hazards and a list price."""

from typing import Any

from tests.client import Client

TABLE = {"basis": "handbook", "source": "an invented table"}
SHEET = {"basis": "declared", "source": "an invented data sheet", "dated": "2026-02-01"}
SOLVENT: dict[str, Any] = {
    "code": "THIN-X",
    "kind": "ingredient",
    "family": "solvent",
    "hazards": [
        {"code": "H226", "category": "Flam. Liq. 3", **SHEET},
        {"code": "H410", "category": "Aquatic Chronic 1", "m_factor": 10, **SHEET},
        {"code": "H319", "scl": "0.5 %", "notes": ["P", "10"], **SHEET},
    ],
}
PRICED: dict[str, Any] = {
    "price": {"value": "6.2", "per": "kg"},
    "price_source": "price list of an invented supplier",
    "price_on": "2026-11-02",
}


def material(client: Client, code: str, kind: str = "ingredient", **more: Any) -> Any:
    """A material; the answer."""
    return client.made("/v1/materials", {"code": code, "kind": kind, **more})


def figure(client: Client, code: str, name: str, value: str, **more: Any) -> str:
    """One more figure of a material; its number."""
    body = {"property": name, "value": value, **TABLE, **more}
    number: str = client.made(f"/v1/materials/{code}/figures", body)["figure"]
    return number
