"""A rating scale, a protocol and a panel of an invented workshop, and readings on it."""

from typing import Any

from service.store.session import Store
from tests.client import Client
from tests.makers.recipes import shelf
from tests.makers.stock import made_lot, received

SCALE = {
    "code": "EFFECT-5",
    "name": "Effect on a film, five steps",
    "best": "5",
    "worst": "1",
    "values": [
        {"value": "5", "rank": 1, "text": "no change"},
        {"value": "4", "rank": 2, "text": "seen only against the light"},
        {"value": "3", "rank": 3, "text": "slight, seen from several sides"},
        {"value": "2", "rank": 4, "text": "strong, the film sound"},
        {"value": "1", "rank": 5, "text": "the film attacked"},
    ],
}
WATER = {
    "at": "A3",
    "test": "WATER-16H",
    "tried": "water",
    "mode": "spot-covered",
    "contact": "16 h",
    "scale": "EFFECT-5",
}
SWEAT = {
    "at": "A1",
    "test": "SWEAT-4H",
    "tried": "artificial perspiration, acid",
    "mode": "spot-open",
    "contact": "4 h",
    "method": "own method",
}
RUB = {
    "at": "B1",
    "test": "ALCOHOL-RUB",
    "tried": "hand-rub alcohol, 70 % v/v ethanol",
    "mode": "rub",
    "rubs": 20,
}
HANDLER = {
    "code": "HANDLER",
    "name": "What a hand brings to an oar",
    "method": "the workshop's own",
    "tests": [SWEAT, WATER, RUB],
}
COATS = [{"on": f"2026-11-{day}", "wet": "80 g/m2"} for day in (26, 27, 28)]


def merged(body: Any, patch: Any) -> Any:
    """A body with a JSON merge patch on it (RFC 7396)."""
    if not isinstance(patch, dict):
        return patch
    held = dict(body) if isinstance(body, dict) else {}
    for name, value in patch.items():
        held[name] = merged(held.get(name), value)
    return {name: value for name, value in held.items() if patch.get(name, ...) is not None}


def remedies(answer: Any) -> list[dict[str, Any]]:
    """Every remedy of a refusal."""
    return [way for fault in answer.json()["errors"] for way in fault.get("remedies", [])]


def protocol(client: Client) -> None:
    """The scale and the protocol that uses it."""
    client.made("/v1/rating-scales", SCALE)
    client.made("/v1/protocols", HANDLER)


def varnish(client: Client, store: Store, number: str = "SPAR-2611-07-L") -> str:
    """A varnish cooked from oil and white spirit: 5,478 g."""
    shelf(client)
    oil, spirit = received(client), received(client, "WSPIRIT")
    parents = {oil: 3_300_000, spirit: 2_200_000}
    return made_lot(store, number, "SPAR", parents, amount=5_478_000).number


def panel(client: Client, lot: str, **more: Any) -> Any:
    """A panel of three weighed coats."""
    body = {"code": "P-26-014", "lot": lot, "wood": "maple, sealed", "coats": COATS, **more}
    return client.made("/v1/panels", body)


def page(rows: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A page of the panel's sheet, four weeks after the last coat."""
    said = {"protocol": "HANDLER", "on": "2026-12-26", "room": "21 °C, 48 %"}
    return {**said, "rows": rows, **more}
