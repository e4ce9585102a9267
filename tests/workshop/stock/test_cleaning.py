"""Cleaning: what rinsed a kettle or a brush is a line of the ledger like any other."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.stock import CERTIFICATE, goods, received


def cleaned(client: Client, lot: str, amount: Any = "200 ml", **more: Any) -> Any:
    return client.made("/v1/movements", {"lot": lot, "cause": "cleaning", "amount": amount, **more})


@pytest.fixture
def spirit(client: Client) -> str:
    density = {"value": "0.778 kg/l", "temperature": "20 °C", **CERTIFICATE}
    return received(client, "WSPIRIT", "1 l", density=density)


def test_it_needs_no_reason_and_is_converted_once(client: Client, spirit: str) -> None:
    made = cleaned(client, spirit)
    # 0.2 l at 0.778 kg/l
    assert made["amount"] == {"value": "-155.6", "unit": "g"}
    assert (made["entered"]["value"], made["density"]["value"]) == ("200", "0.778")
    assert made["assumed"]["density"].startswith("0.778 kg/l at 20 °C")
    assert (made["left"]["value"], made["flags"], made["reason"]) == ("622.4", [], None)


def test_a_key_that_only_records_may_enter_it(client: Client, spirit: str, store: Store) -> None:
    recorder = Client(client.app, key_for(store, ["record"]))
    assert cleaned(recorder, spirit)["cause"] == "cleaning"


def test_more_than_was_left_is_kept_flagged_and_to_be_concluded(
    client: Client, spirit: str
) -> None:
    made = cleaned(client, spirit, "1.5 l", reason="the kettle after the resinate")
    assert made["left"]["value"] == "-389"
    (flag,) = made["flags"]
    assert (flag["code"], flag["opens"] is not None) == ("stock-negative", True)


def test_a_lot_in_quarantine_or_expired_may_clean_and_that_is_said(client: Client) -> None:
    goods(client, "WSPIRIT", lots_start_as="quarantine")
    lot = received(client, "WSPIRIT", "1 kg", expires_on="2020-01-01")
    made = cleaned(client, lot, "100 g")
    assert [flag["code"] for flag in made["flags"]] == ["lot-not-released", "lot-expired"]
    assert [flag["opens"] for flag in made["flags"]] == [None, None]
    assert made["left"]["value"] == "900"
    due = received(client, "OIL-RAW", "1 kg", retest_on="2020-01-01")
    assert [flag["code"] for flag in cleaned(client, due, "100 g")["flags"]] == ["lot-retest-due"]


def test_what_is_scrapped_may_be_as_bad_as_it_likes(client: Client) -> None:
    lot = received(client, "WSPIRIT", "1 kg", expires_on="2020-01-01")
    body = {"lot": lot, "cause": "scrap", "amount": "1 kg", "reason": "too old"}
    assert client.made("/v1/movements", body)["flags"] == []


def test_it_is_corrected_by_the_one_mechanism(client: Client, spirit: str) -> None:
    first = cleaned(client, spirit)
    path = f"/v1/movements/{first['movement']}/corrections"
    less = client.made(path, {"replaces": {"amount": "100 ml"}, "reason": "misread the jug"})
    assert less["left"]["value"] == "700.2"
    void = {"void": True, "reason": "it was the other can"}
    gone = client.made(f"/v1/movements/{less['movement']}/corrections", void)
    assert gone["left"]["value"] == "778"


def test_the_ledger_lists_it_by_its_cause(client: Client, spirit: str) -> None:
    made = cleaned(client, spirit)
    rows = client.read(f"/v1/movements?lot={spirit}&cause=cleaning")["data"]
    assert [row["movement"] for row in rows] == [made["movement"]]
