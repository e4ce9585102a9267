"""Deliveries to an invented workshop, and lots made in it."""

from typing import Any

from service.store.session import Store
from service.workshop.stock import actions
from service.workshop.stock.actions import Move, NewLot
from service.workshop.stock.queries import Lot, lot
from tests.client import Client, system

SUPPLIER = "invented supplier"
TABLE = {"basis": "handbook", "source": "an invented table"}
CERTIFICATE = {"basis": "declared", "source": "an invented certificate"}
# Material, kind, amount and price of the first delivery note of the workshop.
NOTE = (
    ("ROSIN", "ingredient", "5 kg", "18.50"),
    ("ZNO", "ingredient", "500 g", "9.10"),
    ("OIL-LIN", "ingredient", "5 kg", "31.00"),
    ("OIL-TUNG", "ingredient", "3 kg", "48.00"),
    ("WSPIRIT", "ingredient", "10 l", "29.00"),
    ("JAR-250", "container", 100, "41.00"),
    ("LID-63", "closure", 100, "9.00"),
)


def currency(client: Client, code: str = "EUR") -> None:
    """The workshop reckons in a currency."""
    assert client.patch("/v1/workshop", {"currency": code}).status_code == 200


def goods(client: Client, code: str, kind: str = "ingredient", **more: Any) -> None:
    """A material, unless it stands already."""
    answer = client.post("/v1/materials", {"code": code, "kind": kind, **more})
    assert answer.status_code == 201 or answer.json()["type"] == "/problems/code-taken", answer.text


def receipt(client: Client, *lines: dict[str, Any], **more: Any) -> Any:
    """A delivery note with these lines; the answer."""
    return client.made("/v1/receipts", {"from": SUPPLIER, **more, "lines": list(lines)})


def received(client: Client, material: str = "OIL-LIN", amount: Any = "5 kg", **line: Any) -> str:
    """The number of one lot that came, its material made before where it was not yet there."""
    goods(client, material)
    made = receipt(client, {"material": material, "amount": amount, **line})
    number: str = made["lots"][0]["lot"]
    return number


def delivery(client: Client, on: str | None = None) -> dict[str, str]:
    """All goods that the resinate and the spar varnish need; lot numbers by material."""
    currency(client)
    for code, kind, _, _ in NOTE:
        density = {"density": {"value": "0.778 kg/l", **TABLE}} if code == "WSPIRIT" else {}
        goods(client, code, kind, figures=density)
    lines = [{"material": code, "amount": much, "price": price} for code, _, much, price in NOTE]
    made = receipt(client, *lines, **({"on": on} if on else {}))
    return {row["material"]: row["lot"] for row in made["lots"]}


def made_lot(
    store: Store,
    number: str,
    material: str,
    parents: dict[str, int],
    *,
    amount: int,
    kind: str = "made",
) -> Lot:
    """A lot made from others, amounts in mg or pieces: edges, and the movements on both sides."""
    with store.writing(system()) as session:
        row = actions.make_lot(session, NewLot(number, kind, material, amount))
        actions.move(session, row, Move(amount, "yield"), plan=False)
        for parent, taken in parents.items():
            source = lot(session, parent)
            actions.move(session, source, Move(-taken, "weighing", number), plan=False)
            actions.link(session, source, row, taken)
    return row
