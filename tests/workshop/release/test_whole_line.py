"""From two kettles to a public page, through HTTP only, as a maker would do it."""

from typing import Any

from tests.client import Client
from tests.makers import jars, products
from tests.makers.recipes import spar
from tests.makers.stock import delivery

RESINATE = {"1": "1143", "2": "57", "3": "11:20", "4": "60 min, clear"}
VARNISH = {"1": "1098", "2": "1317", "3": "878", "4": "2196", "6": "string 3 cm"}


def cooked(client: Client, body: dict[str, Any], page: dict[str, Any]) -> str:
    """A batch planned and its page entered; the number of what it made."""
    code: str = client.made("/v1/batches", {**body, "on": "2026-09-01"})["batch"]
    client.made(f"/v1/batches/{code}/pages", {"on": "2026-09-01", "finished": True, **page})
    return code


def kettles(client: Client) -> str:
    """The workshop with its goods, a resinate and the varnish cooked from it."""
    jars.workshop(client)
    for kettle in ({"code": "KETTLE-2", "kind": "kettle", "holds": "12 l"}, BALANCE):
        client.made("/v1/equipment", kettle)
    spar(client)
    products.jars(client)
    products.product(client, disclosure="names", tell_oil_length=True, shelf_months=24)
    delivery(client, on="2026-08-20")
    resinate = {"recipe": "RESIN-ZN", "for": "1.2 kg", "kettle": "KETTLE-2"}
    cooked(client, resinate, {"lines": RESINATE, "yield": "1.183 kg", "by": "MB"})
    varnish = {"recipe": "SPAR", "for": "5.5 kg", "kettle": "KETTLE-2"}
    return cooked(client, varnish, {"lines": VARNISH, "yield": "5.478 kg", "by": "MB"})


BALANCE = {"code": "BAL-6KG", "kind": "balance", "reads_to": "1 g"}


def on_sale(client: Client) -> tuple[str, str]:
    """The varnish tested, filled, labelled and released; bulk and packed number."""
    bulk = kettles(client)
    jars.tried(client, bulk)
    number = jars.filled(client, bulk)
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    client.made(f"/v1/lots/{number}/labellings", {"printed": 8, "used": 8, "spoiled": 0})
    for one in client.read(f"/v1/lots/{number}/readiness")["stands_against"]:
        if one["code"] == "deviation-open":
            path = one["concluded_by"].removeprefix("POST ")
            client.made(path, {"text": "looked at and accepted", "by": "MB"})
    client.made(f"/v1/lots/{number}/releases", {"with_bulk": True, "by": "MB"})
    return bulk, number


def test_two_kettles_become_a_public_sheet(client: Client, public: Client) -> None:
    bulk, number = on_sale(client)
    sheet = public.read(f"/l/{number}.json")
    named = [part["name"] for part in sheet["contents"]]
    assert named == ["WSPIRIT", "OIL-LIN", "ROSIN", "OIL-TUNG", "ZNO"]
    assert sheet["made_on"] == "2026-09-01"
    ratio = sheet["constants"][-1]
    # (1317 g + 878 g) / 1098 g, by hand.
    assert (ratio["name"], ratio["value"]) == ("oil_to_resin", "2.0")
    assert public.read(f"/l/{bulk}.json")["packed"][0]["lot"] == number


def test_a_corrected_weighing_puts_the_sheet_under_correction(
    client: Client, public: Client
) -> None:
    bulk, number = on_sale(client)
    assert public.read(f"/l/{number}.json")["status"]["state"] == "current"
    correction = {"replaces": {"weighed": "1617 g"}, "reason": "misread by 300 g", "by": "MB"}
    client.made(f"/v1/batches/{bulk}/lines/2/corrections", correction)
    sheet = public.read(f"/l/{number}.json")
    assert sheet["status"]["state"] == "under correction"
    assert sheet["constants"][-1]["value"] == "2.0"
