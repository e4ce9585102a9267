"""The workshop card: an hour's work has a price only in a currency, and only for some eyes."""

from typing import Any

import pytest

from service.office.workshop_card.rules import rate_faults
from service.store.session import Store
from tests.client import Client, key_for


def changed(client: Client, **patch: Any) -> Any:
    answer = client.patch("/v1/workshop", patch)
    assert answer.status_code == 200, answer.text
    return answer.json()


@pytest.mark.parametrize(
    ("sent", "shown"), [(24, "24.00"), ("24.5", "24.50"), ("18.1234", "18.1234"), ("0", "0.00")]
)
def test_the_rate_is_money_for_an_hour(client: Client, sent: Any, shown: str) -> None:
    card = changed(client, currency="EUR", labour_rate=sent)
    assert card["labour_rate"] == {"value": shown, "unit": "EUR/h"}
    assert client.get("/v1/workshop").json() == card


def test_the_rate_is_unknown_until_it_is_said(client: Client) -> None:
    assert changed(client, currency="EUR")["labour_rate"] is None


def test_the_rate_is_shown_only_to_keys_that_see_costs(client: Client, store: Store) -> None:
    changed(client, currency="EUR", labour_rate=24)
    for scopes, seen in ((["read", "record"], False), (["read", "write"], True)):
        reader = Client(client.app, key_for(store, scopes))
        card = reader.get("/v1/workshop").json()
        assert (card["labour_rate"] is not None) == seen
        assert card["currency"] == "EUR"


@pytest.mark.parametrize(
    ("standing", "patch", "pointer", "code"),
    [
        ({}, {"labour_rate": 24}, "#/labour_rate", "currency-missing"),
        (
            {"currency": "EUR"},
            {"labour_rate": 24, "currency": None},
            "#/labour_rate",
            "currency-missing",
        ),
        (
            {"currency": "EUR", "labour_rate": 24},
            {"currency": "GBP"},
            "#/currency",
            "rate-in-old-currency",
        ),
        (
            {"currency": "EUR", "labour_rate": 24},
            {"currency": None},
            "#/currency",
            "rate-in-old-currency",
        ),
    ],
)
def test_a_rate_without_its_currency_is_refused_and_the_remedy_holds(
    client: Client, standing: Any, patch: Any, pointer: str, code: str
) -> None:
    before = changed(client, **standing) if standing else client.get("/v1/workshop").json()
    answer = client.patch("/v1/workshop", patch)
    assert answer.status_code == 422
    (fault,) = answer.json()["errors"]
    assert (fault["pointer"], fault["code"]) == (pointer, code)
    assert client.get("/v1/workshop").json() == before
    for remedy in fault["remedies"]:
        changed(client, **{**patch, **remedy["send"]})


def test_a_new_rate_goes_with_a_new_currency(client: Client) -> None:
    changed(client, currency="EUR", labour_rate=24)
    card = changed(client, currency="GBP", labour_rate=21)
    assert card["labour_rate"] == {"value": "21.00", "unit": "GBP/h"}


@pytest.mark.parametrize("rate", [-1, 1000001, "18.12345"])
def test_what_no_hour_costs_is_refused(client: Client, rate: Any) -> None:
    answer = client.patch("/v1/workshop", {"currency": "EUR", "labour_rate": rate})
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json()["errors"]] == ["#/labour_rate"]


def test_a_currency_is_free_to_change_while_no_rate_stands() -> None:
    before = {"currency": "EUR", "labour_rate": None}
    assert rate_faults(before, {"currency": "GBP"}) == ()
    assert rate_faults(before, {"currency": None}) == ()
