"""Jars of an invented spar varnish: a kettle, its readings, a fill, a label, a release."""

from datetime import date
from typing import Any

from service.store.session import Store
from service.workshop.stock import actions
from service.workshop.stock.actions import Move, NewLot
from service.workshop.stock.queries import lot
from tests.client import Client, system
from tests.makers import panels, products
from tests.makers.recipes import material, spar
from tests.makers.stock import receipt

BULK = "SPAR-2611-07-L"
JAR = "SPAR-2611-07A-M"
CARD = {
    "name": "Withy Reach Oar Finishes (invented)",
    "address": "The Boat Shed, Withy Reach",
    "telephone": "+44 1632 960123",
    "currency": "EUR",
    "markets": ["eu"],
    "public_address": "https://lots.example.org",
}
SUPPLIER = "Secret Supplier Ltd (invented)"
PRICE = "987.65"
WEIGHED = ("375.9", "376.4", "376.1", "375.7", "376.0", "375.8", "376.3", "376.2")


def workshop(client: Client, **changes: Any) -> None:
    """The workshop's card, and one person."""
    assert client.patch("/v1/workshop", {**CARD, **changes}).status_code == 200
    client.made("/v1/people", {"code": "MB", "name": "Mara Bellweather (invented)"})


def _made(store: Store, number: str, code: str, parents: dict[str, int], *, amount: int) -> None:
    with store.writing(system()) as session:
        new = NewLot(number, "made", code, amount, made_on=date(2026, 11, 25))
        row = actions.make_lot(session, new)
        actions.move(session, row, Move(amount, "yield"), plan=False)
        for parent, taken in parents.items():
            actions.link(session, lot(session, parent), row, taken)


def kettle(client: Client, store: Store, **product: Any) -> str:
    """A bulk lot cooked from a resinate, two oils and white spirit; its number."""
    spar(client)
    products.jars(client)
    material(client, "LABEL-S", kind="label")
    packs = [{"pack": "250ML", "container": "JAR-250", "closure": "LID-63", "label": "LABEL-S"}]
    kept = {"shelf_months": 24, "open_months": 12, "packs": packs}
    products.product(client, **{**kept, **product})
    amounts: dict[str, Any] = {
        **dict.fromkeys(("ROSIN", "ZNO", "OIL-LIN", "OIL-TUNG", "WSPIRIT"), "9 kg"),
        **dict.fromkeys(("JAR-250", "LID-63", "LABEL-S"), 100),
    }
    lines = [{"material": code, "amount": n, "price": PRICE} for code, n in amounts.items()]
    came = {row["material"]: row["lot"] for row in receipt(client, *lines, **_SECRET)["lots"]}
    resinate = {came["ROSIN"]: 1_143_000, came["ZNO"]: 57_000}
    _made(store, "RESZN-2611-02-E", "RESIN-ZN", resinate, amount=1_183_000)
    cooked = {
        "RESZN-2611-02-E": 1_098_000,
        came["OIL-LIN"]: 1_317_000,
        came["OIL-TUNG"]: 878_000,
        came["WSPIRIT"]: 2_196_000,
    }
    _made(store, BULK, "SPAR", cooked, amount=5_478_000)
    return BULK


_SECRET = {"from": SUPPLIER}


def tried(client: Client, bulk: str = BULK) -> None:
    """Constants of the bulk lot, and a panel on which two of three tests were made."""
    rows = {"flow_time": ["62 s", "61 s", "63 s"], "density": "0.897 kg/l"}
    methods = {"flow_time": "ISO 2431, cup 4, 23 °C", "density": "pyknometer, 20 °C"}
    body = {"rows": rows, "methods": methods, "on": "2026-11-27", "by": "MB"}
    client.made(f"/v1/lots/{bulk}/readings", body)
    panels.protocol(client)
    panels.panel(client, bulk)
    page = panels.page({"A1": "none", "A3": "whitening, faint"}, by="MB")
    client.made("/v1/panels/P-26-014/readings", page)


def filled(client: Client, bulk: str = BULK) -> str:
    """Eight jars filled from a bulk lot; the packed lot's number."""
    made = client.made(f"/v1/lots/{bulk}/fills", {"pack": "250ML", "gross_g": list(WEIGHED)})
    number: str = made["lot"]
    return number


def packed(client: Client, store: Store, **product: Any) -> str:
    """A workshop with a packed lot that was tested; its number."""
    workshop(client)
    bulk = kettle(client, store, **product)
    tried(client, bulk)
    return filled(client, bulk)


def labelled(client: Client, number: str) -> None:
    """The packed lot's label frozen and counted."""
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    client.made(f"/v1/lots/{number}/labellings", {"printed": 10, "used": 8, "spoiled": 2})


def released(client: Client, store: Store, **product: Any) -> str:
    """A packed lot on sale, with its bulk; its number."""
    number = packed(client, store, **product)
    labelled(client, number)
    client.made(f"/v1/lots/{number}/releases", {"with_bulk": True, "by": "MB"})
    return number
