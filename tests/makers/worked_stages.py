"""Stages of a batch as they are worked: an oil settled, decanted, dried and left to mature."""

from typing import Any

from tests.client import Client
from tests.makers.batches import as_planned, planned
from tests.makers.stages import paddle

RIPENING = [
    {"stage": "melt"},
    {"stage": "mix"},
    {"stage": "settle", "lasts": "2 weeks"},
    {"stage": "decant"},
    {"stage": "mature", "lasts": "4 weeks"},
]
Body = dict[str, Any]


def charged(client: Client, **changes: Any) -> str:
    """A paddle oil of which all lines are weighed in; its code."""
    paddle(client, **changes)
    code = planned(client, "PADDLE-OIL", "2 kg")
    lines = as_planned(client.read(f"/v1/batches/{code}/sheet"))
    client.made(f"/v1/batches/{code}/pages", {"on": "2026-09-01", "by": "MB", "lines": lines})
    return code


def begun(client: Client, code: str, stage: str, **body: Any) -> Body:
    """A stage, with all that is told of it."""
    return client.made(f"/v1/batches/{code}/stages", {"stage": stage, "by": "MB", **body})


def went_on(client: Client, code: str, number: int, **body: Any) -> Body:
    return client.made(f"/v1/batches/{code}/stages/{number}/entries", {"by": "MB", **body})


def corrected(client: Client, code: str, number: int, **body: Any) -> Body:
    path = f"/v1/batches/{code}/stages/{number}/corrections"
    return client.made(path, {"reason": "read from the wrong line", **body})


def entry_corrected(client: Client, code: str, number: int, entry: int, **body: Any) -> Body:
    path = f"/v1/batches/{code}/stages/{number}/entries/{entry}/corrections"
    return client.made(path, {"reason": "read from the wrong line", **body})


def day(number: int, hour: int = 9) -> str:
    """An hour of a day of September."""
    return f"2026-09-{number:02d}T{hour:02d}:00:00Z"


def decanted(client: Client, code: str, **foots: Any) -> Body:
    """Two weeks settled, then the clear drawn off its foots."""
    begun(client, code, "settle", started_at=day(1, 18), ended_at=day(15))
    parts = [
        {"part": "clear", "amount": "1950 g"},
        {"part": "foots", "amount": "50 g", "goes": "scrap", **foots},
    ]
    return begun(client, code, "decant", started_at=day(15), ended_at=day(15, 11), out=parts)


def flags(body: Body) -> list[str]:
    return [flag["code"] for flag in body["flags"]]
