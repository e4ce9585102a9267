"""Delivery notes put right: the note, its lots, and how they came."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.panels import merged, remedies
from tests.makers.stock import currency, goods, receipt

REASON = {"reason": "the note of another day"}


@pytest.fixture
def note(client: Client) -> dict[str, Any]:
    currency(client)
    for code in ("OIL-LIN", "ROSIN"):
        goods(client, code)
    lines = [
        {"material": "OIL-LIN", "amount": "5 kg", "price": "31.00", "supplier_lot": "A-1"},
        {"material": "ROSIN", "amount": "2 kg"},
    ]
    found: dict[str, Any] = receipt(client, *lines, on="2026-11-20")
    return found


def correct(client: Client, note: dict[str, Any], **body: Any) -> dict[str, Any]:
    return client.made(f"/v1/receipts/{note['receipt']}/corrections", {**REASON, **body})


def ledger(client: Client, lot: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.read(f"/v1/movements?lot={lot}&sort=entered_at")["data"]
    return found


def test_supplier_and_what_the_note_says_of_a_lot_are_put_right(
    client: Client, note: dict[str, Any]
) -> None:
    oil = note["lots"][0]["lot"]
    line = {"lot": oil, "supplier_lot": "A-7", "expires_on": "2027-05-31"}
    made = correct(client, note, replaces={"from": "Tern & Eel (invented)", "lines": [line]})
    assert (made["from"], made["corrects"]) == ("Tern & Eel (invented)", note["receipt"])
    lot = client.read(f"/v1/lots/{oil}")
    assert (lot["supplier"], lot["supplier_lot"]) == ("Tern & Eel (invented)", "A-7")
    assert (lot["expires_on"], lot["receipt"]) == ("2027-05-31", made["receipt"])
    old = client.read(f"/v1/receipts/{note['receipt']}")
    assert (old["corrected_by"], old["lots"]) == (made["receipt"], [])
    assert len(ledger(client, oil)) == 1
    again = client.post(f"/v1/receipts/{note['receipt']}/corrections", {**REASON, "void": True})
    assert (again.status_code, again.json()["type"]) == (409, "/problems/already-corrected")
    assert made["receipt"] in again.json()["detail"]


def test_a_delivery_of_another_day_came_that_day(client: Client, note: dict[str, Any]) -> None:
    made = correct(client, note, replaces={"on": "2026-11-18"})
    for lot in made["lots"]:
        first, back, anew = ledger(client, lot["lot"])
        assert first["amount"]["value"] == anew["amount"]["value"]
        assert back["amount"]["value"] == f"-{first['amount']['value']}"
        assert anew["happened_at"].startswith("2026-11-18T")
        assert anew["corrects"] == first["movement"]
        assert (lot["left"], lot["price"]) == (lot["came"], lot["price"])
    assert made["lots"][0]["price"]["value"] == "31.00"


def test_a_voided_note_leaves_nothing_of_it_on_the_shelf(
    client: Client, note: dict[str, Any]
) -> None:
    oil, rosin = (lot["lot"] for lot in note["lots"])
    spill = {"lot": rosin, "cause": "scrap", "amount": "100 g", "reason": "split sack"}
    client.made("/v1/movements", spill)
    made = correct(client, note, void=True)
    assert [flag["code"] for flag in made["flags"]] == ["stock-negative"]
    assert client.read(f"/v1/lots/{oil}")["left"] == {"value": "0", "unit": "g"}
    assert client.read(f"/v1/lots/{oil}")["came"] == {"value": "0", "unit": "g"}
    assert client.read(f"/v1/lots/{rosin}")["left"] == {"value": "-100", "unit": "g"}


def test_an_amount_put_right_before_stays_when_the_day_changes(
    client: Client, note: dict[str, Any]
) -> None:
    oil = note["lots"][0]["lot"]
    came = ledger(client, oil)[0]["movement"]
    body = {**REASON, "replaces": {"amount": "4.9 kg"}}
    client.made(f"/v1/movements/{came}/corrections", body)
    correct(client, note, replaces={"on": "2026-11-19"})
    lot = client.read(f"/v1/lots/{oil}")
    assert (lot["left"]["value"], lot["came"]["value"]) == ("4900", "4900")


def test_a_day_to_come_and_a_lot_of_another_note_are_refused(
    client: Client, note: dict[str, Any]
) -> None:
    path = f"/v1/receipts/{note['receipt']}/corrections"
    strange = {**REASON, "replaces": {"lines": [{"lot": "ZZ-1", "made_on": "2026-01-01"}]}}
    wrong = client.post(path, strange)
    assert wrong.json()["errors"][0]["pointer"] == "#/replaces/lines/0/lot"
    late = {**REASON, "replaces": {"on": "2199-01-01"}}
    refused = client.post(path, late)
    assert refused.json()["errors"][0]["code"] == "day-to-come"
    client.made(path, merged(late, remedies(refused)[0]["send"]))
