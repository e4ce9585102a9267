"""An invented paddle oil at full depth: stages of its own, a line as needed, waits and checks."""

from typing import Any

from tests.client import Client
from tests.makers.batches import stocked
from tests.makers.recipes import material, recipe

PADDLE = {
    "code": "PADDLE-OIL",
    "stages": [
        {"stage": "melt"},
        {"stage": "mix"},
        {"stage": "settle", "lasts": "2 weeks", "remark": "in the cold shed"},
        {"stage": "decant", "losses": {"residue": "2 %"}},
    ],
    "lines": [
        {"material": "ROSIN", "parts": 1, "stage": "melt", "tolerance": "2 %"},
        {"material": "OIL-LIN", "parts": 3, "stage": "melt", "condition": "in a thin stream"},
        {"material": "WSPIRIT", "parts": 1, "stage": "mix"},
        {
            "material": "OIL-TUNG",
            "derive": {"rule": "as-needed", "until": "it runs off the stick"},
            "stage": "mix",
        },
    ],
    "steps": [
        {"heat": "180 °C", "ramp": "3 K/min", "stage": "melt"},
        {"check": "no bubbles at the rim", "stage": "melt"},
        {"wait": "36 h", "until": "clear on glass", "stage": "settle"},
    ],
}
Lots = dict[str, str]


def paddle(client: Client, **changes: Any) -> Lots:
    """The bench, the shelf and the recipe of the paddle oil; lot numbers by material."""
    lots = stocked(client)
    material(client, "PADDLE-OIL", kind="finished")
    recipe(client, {**PADDLE, **changes})
    return lots
