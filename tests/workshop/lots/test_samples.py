"""Samples through HTTP: taken from the ledger, kept somewhere, made good when corrected."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.store.session import Store
from tests.client import Client
from tests.makers.lots import BULK, fill, left, ready
from tests.makers.panels import merged, remedies

KEPT = {"kind": "retained", "amount": "250 g", "kept_at": "shelf 3, box 7"}


@pytest.fixture
def jar(client: Client, store: Store) -> str:
    ready(client, store)
    number: str = fill(client)["lot"]
    return number


def correct(client: Client, lot: str, entry: int, **body: Any) -> Any:
    at = f"/v1/lots/{lot}/samples/{entry}/corrections"
    return client.made(at, {"reason": "misread", **body})


def test_a_sample_leaves_the_ledger(client: Client, jar: str) -> None:
    before = left(client, BULK)
    made = client.made(f"/v1/lots/{BULK}/samples", KEPT)
    assert made["amount"] == {"value": "250", "unit": "g"}
    assert left(client, BULK) == pytest.approx(before - 250)
    assert float(made["left"]["value"]) == pytest.approx(before - 250)
    line = client.read(f"/v1/movements/{made['movement']}")
    assert (line["cause"], line["amount"]["value"]) == ("sample", "-250")
    assert made["summary"] == f"250 g of {BULK} taken to keep, kept at shelf 3, box 7."


def test_a_jar_is_taken_by_the_piece(client: Client, jar: str) -> None:
    made = client.made(f"/v1/lots/{jar}/samples", {"kind": "test", "amount": 1})
    assert (made["amount"], made["left"]) == (1, 2)
    assert made["entered"] == {"value": "1", "unit": "pcs"}


def test_a_volume_is_weighed_by_the_density_of_the_lot(client: Client, jar: str) -> None:
    made = client.made(f"/v1/lots/{BULK}/samples", {"kind": "test", "amount": "100 ml"})
    # 100 ml x 0.897 kg/l
    assert made["amount"] == {"value": "89.7", "unit": "g"}
    assert made["assumed"]["density"].startswith("0.897 kg/l")


def test_what_is_kept_is_kept_somewhere(client: Client, jar: str) -> None:
    body = {"kind": "retained", "amount": "100 g"}
    fault = client.post(f"/v1/lots/{BULK}/samples", body).json()["errors"][0]
    assert (fault["code"], "kept_at" in fault["hint"]) == ("place-missing", True)
    taken = client.made(f"/v1/lots/{BULK}/samples", {"kind": "test", "amount": "100 g"})
    at = f"/v1/lots/{BULK}/samples/{taken['entry']}/corrections"
    sent = {"replaces": {"kind": "retained"}, "reason": "it was kept"}
    refused = client.post(at, sent)
    assert refused.status_code == 422
    (way,) = remedies(refused)
    assert client.made(at, merged(sent, way["send"]))["kind"] == "retained"


def test_a_sample_beyond_what_is_left_is_kept_and_flagged(client: Client, jar: str) -> None:
    made = client.made(f"/v1/lots/{jar}/samples", {"kind": "test", "amount": 5})
    assert (made["left"], [flag["code"] for flag in made["flags"]]) == (-2, ["stock-negative"])


def test_an_amount_that_does_not_fit_is_refused(client: Client, jar: str) -> None:
    answer = client.post(f"/v1/lots/{jar}/samples", {"kind": "test", "amount": "5 g"})
    assert answer.json()["errors"][0]["code"] == "wrong-dimension"
    assert left(client, jar) == 3


def test_a_correction_makes_the_ledger_good(client: Client, jar: str) -> None:
    before = left(client, BULK)
    taken = client.made(f"/v1/lots/{BULK}/samples", KEPT)
    new = correct(client, BULK, taken["entry"], replaces={"amount": "200 g"})
    assert (new["corrects"], new["kept_at"]) == (taken["entry"], "shelf 3, box 7")
    assert left(client, BULK) == pytest.approx(before - 200)
    moved = correct(client, BULK, new["entry"], replaces={"kept_at": "shelf 4"})
    assert (moved["movement"], left(client, BULK)) == (new["movement"], pytest.approx(before - 200))
    voided = correct(client, BULK, moved["entry"], void=True)
    assert (voided["void"], left(client, BULK)) == (True, pytest.approx(before))


@settings(
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.integers(1, 900), min_size=1, max_size=4))
def test_whatever_was_corrected_a_void_gives_all_of_it_back(
    client: Client, jar: str, grams: list[int]
) -> None:
    before = left(client, BULK)
    entry = client.made(f"/v1/lots/{BULK}/samples", KEPT)["entry"]
    for amount in grams:
        entry = correct(client, BULK, entry, replaces={"amount": f"{amount} g"})["entry"]
        assert left(client, BULK) == pytest.approx(before - amount)
    correct(client, BULK, entry, void=True)
    assert left(client, BULK) == pytest.approx(before)
