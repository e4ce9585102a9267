"""A bulk lot ready to be filled, and fills of it."""

from datetime import date
from typing import Any

from service.store.session import Store
from service.workshop.stock import actions
from service.workshop.stock.actions import Move, NewLot
from tests.client import Client, system
from tests.makers.products import jars, product
from tests.makers.recipes import spar
from tests.makers.stock import received

BULK = "SPAR-2611-07-L"
DENSITY = {"rows": {"density": "0.897 kg/l"}, "methods": {"density": "pyknometer"}}
# 151 g of jar and 250 ml at 0.897 kg/l make 375.25 g.
FULL = (375.9, 376.4, 376.1)


def bulk(store: Store, number: str = BULK, *, mg: int = 5_478_000, kind: str = "made") -> str:
    """A made lot of spar varnish of 25 November 2026."""
    with store.writing(system()) as session:
        new = NewLot(number, kind, "SPAR", mg, made_on=date(2026, 11, 25))
        row = actions.make_lot(session, new)
        actions.move(session, row, Move(mg, "yield"), plan=False)
        return row.number


def ready(client: Client, store: Store, *, packs: int = 100) -> dict[str, str]:
    """Product, jars, lids and a bulk lot of known density; the lots by what they are."""
    spar(client)
    jars(client)
    product(client, shelf_months=24)
    held = {
        "jars": received(client, "JAR-250", packs),
        "lids": received(client, "LID-63", packs),
        "bulk": bulk(store),
    }
    client.made(f"/v1/lots/{BULK}/readings", DENSITY)
    return held


def fill(client: Client, *gross: float, lot: str = BULK, **more: Any) -> Any:
    """A fill of 250 ml jars that weighed so much."""
    body = {"pack": "250ML", "gross_g": list(gross or FULL), **more}
    return client.made(f"/v1/lots/{lot}/fills", body)


def left(client: Client, lot: str) -> Any:
    """What is left of a lot: pieces, or grams."""
    found = client.read(f"/v1/lots/{lot}")["left"]
    return found if isinstance(found, int) else float(found["value"])
