"""What runs short, how far the rest goes, and what to order."""

import csv
import io
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import planned, resinate, stocked
from tests.makers.panels import merged
from tests.makers.shelf import ways, weighed_out
from tests.makers.stock import TABLE, goods, received

BUYS = {"supplier": "Mudflat Stores (invented)", "lead_days": 10, "at": "2 kg", "amount": "5 kg"}


def buys(client: Client, code: str, **more: Any) -> None:
    """How a material is bought again."""
    answer = client.patch(f"/v1/materials/{code}", {"order": {**BUYS, **more}})
    assert answer.status_code == 200, answer.text


def shortages(client: Client, **query: str) -> dict[str, Any]:
    """What runs short or low, by material."""
    found = client.read("/v1/shortages", params={"limit": "500", **query})["data"]
    return {row["material"]: row for row in found}


def test_cover_goes_by_the_version_until_a_batch_was_made(client: Client) -> None:
    stocked(client)
    (cover,) = shortages(client, state="any")["ROSIN"]["cover"]
    # 100 of 105 parts are rosin: 952 g in a kilogram, and 5 kg make five of them.
    assert (cover["basis"], cover["each"]["value"], cover["batches"]) == ("version", "952.381", 5)
    planned(client, "RESIN-ZN", "1.2 kg")
    (cover,) = shortages(client, state="any")["ROSIN"]["cover"]
    assert (cover["basis"], cover["each"]["value"], cover["batches"]) == (
        "planned batch",
        "1143",
        3,  # of the 3857 g that are free
    )


def test_cover_goes_by_past_batches_where_there_are_some(client: Client) -> None:
    stocked(client)
    for much in ("1.2 kg", "0.6 kg", "0.9 kg"):
        resinate(client, much)
    (cover,) = shortages(client, state="any")["ROSIN"]["cover"]
    assert (cover["basis"], cover["how"]) == ("past batches", "the median of the last 3 batches")
    assert (cover["each"]["value"], cover["makes"]["value"]) == ("857", "900")
    # 1143, 571 and 857 g of 5 kg are gone: 2429 g are left for two more.
    assert (cover["batches"], cover["wanted"]) == (2, 1)


def test_a_long_wait_asks_for_more_batches_on_the_shelf(client: Client) -> None:
    stocked(client)
    for _ in range(3):
        resinate(client, "1 kg")
    buys(client, "ROSIN", at=None, lead_days=90)
    row = shortages(client)["ROSIN"]
    # Three were made in ninety days, so three are wanted for ninety days: 2144 g make two.
    assert (row["state"], row["cover"][0]["wanted"], row["cover"][0]["batches"]) == ("low", 3, 2)


def test_what_batches_wait_for_is_short_and_wanted_before_its_day(client: Client) -> None:
    stocked(client)
    buys(client, "ROSIN")
    planned(client, "RESIN-ZN", "6 kg", on="2026-12-24")
    row = shortages(client)["ROSIN"]
    assert (row["state"], row["free"]["value"]) == ("short", "-714")
    assert (row["needed_on"], row["order_by"]) == ("2026-12-24", "2026-12-14")
    assert row["why"].startswith("714 g more is needed")


def test_blocked_lots_are_there_and_not_free(client: Client) -> None:
    stocked(client)
    client.patch("/v1/materials/ROSIN", {"lots_start_as": "quarantine"})
    received(client, "ROSIN", "2 kg")
    received(client, "ROSIN", "1 kg", expires_on="2026-01-01")
    row = shortages(client, state="any")["ROSIN"]
    assert [row[name]["value"] for name in ("left", "blocked", "free")] == ["8000", "3000", "5000"]


def test_a_lot_below_nothing_takes_from_what_is_free(client: Client) -> None:
    lots = stocked(client)
    second = received(client, "ROSIN", "1 kg")
    weighed_out(client, second, "3 kg")
    assert lots
    assert shortages(client, state="any")["ROSIN"]["free"]["value"] == "3000"


def test_packaging_is_low_below_its_own_number(client: Client) -> None:
    goods(client, "JAR-250", "container")
    received(client, "JAR-250", 40)
    assert "JAR-250" not in shortages(client)
    buys(client, "JAR-250", at=50, amount=100)
    row = shortages(client)["JAR-250"]
    assert (row["state"], row["free"]) == ("low", 40)
    (order,) = client.read("/v1/shortages/order-list")["orders"]
    assert (order["material"], order["amount"]) == ("JAR-250", 100)


def test_the_order_list_orders_whole_drums_and_makes_what_is_made(client: Client) -> None:
    stocked(client)
    buys(client, "ROSIN")
    planned(client, "RESIN-ZN", "6 kg", on="2026-12-24")
    planned(client, "SPAR", "2 kg", on="2026-12-30")
    found = client.read("/v1/shortages/order-list")
    rosin = next(row for row in found["orders"] if row["material"] == "ROSIN")
    # 714 g short, and a batch of 5714 g more should stand there: 6428 g are two drums of 5 kg.
    assert rosin["amount"] == {"value": "10", "unit": "kg"}
    assert rosin["supplier_from"] == "material"
    assert rosin["estimate"] == {"value": "37.00", "unit": "EUR"}  # 18.50 for 5 kg
    assert [row["material"] for row in found["to_make"]] == []  # 6 kg are being made


def test_what_was_never_bought_from_anyone_named_goes_by_the_last_receipt(client: Client) -> None:
    stocked(client)
    planned(client, "RESIN-ZN", "6 kg")
    rosin = client.read("/v1/shortages/order-list")["orders"][0]
    assert (rosin["supplier"], rosin["supplier_from"]) == ("invented supplier", "last receipt")


def test_suppliers_and_prices_are_withheld_from_keys_that_see_no_costs(
    client: Client, store: Store
) -> None:
    stocked(client)
    buys(client, "ROSIN")
    planned(client, "RESIN-ZN", "6 kg")
    reader = Client(client.app, key_for(store, ["read"]))
    (row,) = (r for r in reader.read("/v1/shortages")["data"] if r["material"] == "ROSIN")
    assert (row["order"]["supplier"], row["order"]["lead_days"]) == (None, 10)
    for order in reader.read("/v1/shortages/order-list")["orders"]:
        assert (order["supplier"], order["supplier_from"], order["estimate"]) == (None, None, None)
    sheet = reader.get("/v1/shortages/order-list?form=csv").text
    assert "Mudflat" not in sheet
    assert "18" not in sheet.splitlines()[1].split(",")


def test_the_order_list_is_had_as_rows_for_a_spreadsheet(client: Client) -> None:
    stocked(client)
    client.patch("/v1/materials/ROSIN", {"name": "=gum rosin"})
    buys(client, "ROSIN")
    planned(client, "RESIN-ZN", "6 kg", on="2026-12-24")
    answer = client.get("/v1/shortages/order-list?form=csv")
    assert answer.headers["Content-Type"].startswith("text/csv")
    rows = list(csv.DictReader(io.StringIO(answer.text)))
    rosin = next(row for row in rows if row["material"] == "ROSIN")
    assert (rosin["amount"], rosin["unit"], rosin["name"]) == ("10", "kg", "'=gum rosin")
    assert (rosin["supplier"], rosin["order_by"]) == (BUYS["supplier"], "2026-12-14")
    assert "\r\n" in answer.text


def test_a_version_that_waits_for_a_value_is_undecided_and_no_number(client: Client) -> None:
    for code, family in (("GUM", "resin"), ("ZINC", "oxide")):
        goods(client, code, family=family, **({"formula": "ZnO"} if code == "ZINC" else {}))
    goods(client, "SOAP", "intermediate")
    acid = {"property": "acid_value", "value": "160 mg KOH/g", **TABLE}
    figure = client.made("/v1/materials/GUM/figures", acid)["figure"]
    lines = [
        {"material": "GUM", "parts": 100},
        {"material": "ZINC", "derive": {"rule": "neutralise", "share": "50 %"}},
    ]
    assay = {"property": "assay", "value": "99 %", **TABLE}
    client.made("/v1/materials/ZINC/figures", assay)
    client.made("/v1/recipes", {"code": "SOAP", "lines": lines})
    client.made("/v1/recipes/SOAP/approvals", {})
    assert shortages(client, state="any")["GUM"]["cover"][0]["basis"] == "version"
    wrong = {"void": True, "reason": "of another resin"}
    client.made(f"/v1/figures/{figure}/corrections", wrong)
    row = shortages(client, state="any")["GUM"]
    assert (row["cover"], row["undecided"]) == ([], ["SOAP, version 1"])


WRONG: list[tuple[str, Any]] = [
    ("ROSIN", {"at": 12}),
    ("ROSIN", {"amount": "3 pcs"}),
    ("JAR-250", {"at": "2 kg"}),
]


@pytest.mark.parametrize(("code", "order"), WRONG)
def test_a_material_is_ordered_as_it_is_kept(client: Client, code: str, order: Any) -> None:
    goods(client, "ROSIN")
    goods(client, "JAR-250", "container")
    body = {"order": order}
    answer = client.patch(f"/v1/materials/{code}", body)
    assert answer.status_code == 422
    if order.get("amount") != "3 pcs":
        assert answer.json()["errors"][0]["code"] == "wrong-dimension"
    for send in ways(answer.json()):
        assert client.patch(f"/v1/materials/{code}", merged(body, send)).status_code == 200


def test_how_a_material_is_bought_is_replaced_as_a_whole(client: Client) -> None:
    goods(client, "ROSIN", order=BUYS)
    assert client.read("/v1/materials/ROSIN")["order"]["amount"] == {"value": "5000", "unit": "g"}
    client.patch("/v1/materials/ROSIN", {"order": {"lead_days": 3}})
    order = client.read("/v1/materials/ROSIN")["order"]
    assert (order["lead_days"], order["at"], order["supplier"]) == (3, None, None)
    client.patch("/v1/materials/ROSIN", {"order": None})
    assert client.read("/v1/materials/ROSIN")["order"] is None


def test_shortages_are_paged_like_every_list(client: Client) -> None:
    stocked(client)
    whole = [row["material"] for row in client.read("/v1/shortages?state=any")["data"]]
    first = client.read("/v1/shortages?state=any&limit=2")
    assert [row["material"] for row in first["data"]] == whole[:2]
    rest = client.read(first["next"].removeprefix("http://test"))
    assert [row["material"] for row in rest["data"]] == whole[2:4]
