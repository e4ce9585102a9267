"""Stock takes and shelves of the invented workshop."""

from typing import Any

from tests.client import Client
from tests.makers.stock import goods, receipt, received

EMPTIED = "5 kg"


def oil(client: Client, amount: str = "5 kg", *, on: str = "2026-10-01") -> str:
    """A lot of oil that came long ago."""
    goods(client, "OIL-LIN")
    line = {"material": "OIL-LIN", "amount": amount}
    note = {"from": "invented supplier", "on": on, "lines": [line]}
    number: str = client.made("/v1/receipts", note)["lots"][0]["lot"]
    return number


def weighed_out(client: Client, lot: str, amount: str, **more: Any) -> Any:
    """So much gone from a lot, as a fact: what lies below nothing is kept and flagged."""
    body = {"lot": lot, "cause": "scrap", "amount": amount, "reason": "spilled", **more}
    return client.made("/v1/movements", body)


def below_nothing(client: Client, much: str = "6 kg", **more: Any) -> str:
    """A lot of which more went than came; its number."""
    lot = received(client, "OIL-LIN", EMPTIED)
    weighed_out(client, lot, much, **more)
    return lot


def take(client: Client, **more: Any) -> str:
    """A stock take; its number."""
    number: str = client.made("/v1/stock-takes", more)["take"]
    return number


def page(client: Client, number: str, lines: dict[str, Any], **more: Any) -> Any:
    """A page of counts; the answer."""
    return client.made(f"/v1/stock-takes/{number}/pages", {"lines": lines, **more})


def left(client: Client, lot: str) -> Any:
    """What the ledger has of a lot."""
    found = client.read(f"/v1/lots/{lot}")["left"]
    return found["value"] if isinstance(found, dict) else found


def open_negatives(client: Client, lot: str) -> list[str]:
    """The open deviations of a lot below nothing."""
    path = f"/v1/deviations?subject={lot}&code=stock-negative&open=true"
    return [row["deviation"] for row in client.read(path)["data"]]


def ways(problem: Any) -> list[Any]:
    """What each remedy of a refusal sends."""
    faults = problem["errors"]
    return [way["send"] for fault in faults for way in fault.get("remedies", ())]


def shelf_of(client: Client, *lines: dict[str, Any]) -> dict[str, str]:
    """A delivery; lot numbers by material."""
    made = receipt(client, *lines)
    return {row["material"]: row["lot"] for row in made["lots"]}
