"""The equipment desk: what a kettle's heating draws, and how much of it reaches the charge."""

from typing import Any

import pytest

from tests.client import Client

KETTLE = {"code": "KET-20", "kind": "kettle", "holds": "20 l"}


def added(client: Client, **more: Any) -> Any:
    answer = client.post("/v1/equipment", {**KETTLE, **more})
    assert answer.status_code == 201, answer.text
    return answer.json()


def test_what_is_not_sent_is_unknown_and_never_filled_in(client: Client) -> None:
    kettle = added(client)
    assert (kettle["power"], kettle["efficiency"], kettle["assumed"]) == (None, None, {})


@pytest.mark.parametrize(
    ("sent", "shown"),
    [
        ("3500 W", "3500"),
        ("3.5 kW", "3500"),
        ({"value": "1.2345", "unit": "kW"}, "1234.5"),
        ("100 kW", "100000"),
    ],
)
def test_power_is_shown_in_watts_as_exactly_as_it_was_sent(
    client: Client, sent: Any, shown: str
) -> None:
    assert added(client, power=sent)["power"] == {"value": shown, "unit": "W"}


@pytest.mark.parametrize(
    ("sent", "shown"), [("62.5 %", "62.5"), (62.5, "62.5"), (5, "5"), ("100", "100")]
)
def test_efficiency_is_a_percentage(client: Client, sent: Any, shown: str) -> None:
    assert added(client, efficiency=sent)["efficiency"] == {"value": shown, "unit": "%"}


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("power", 3500, "unit-missing"),
        ("power", "0.5 W", "out-of-range"),
        ("power", "101 kW", "out-of-range"),
        ("power", "3500 J", "wrong-dimension"),
        ("efficiency", "4.9 %", "out-of-range"),
        ("efficiency", "100.1 %", "out-of-range"),
    ],
)
def test_what_no_kettle_can_have_is_refused_where_it_stands(
    client: Client, field: str, value: Any, code: str
) -> None:
    answer = client.post("/v1/equipment", {**KETTLE, field: value})
    assert answer.status_code == 422
    (fault,) = answer.json()["errors"]
    assert (fault["pointer"], fault["code"]) == (f"#/{field}", code)


def test_a_measured_efficiency_is_added_later_and_taken_back(client: Client) -> None:
    added(client, power="3 kW")
    found = client.patch("/v1/equipment/KET-20", {"efficiency": "58 %"}).json()
    assert found["efficiency"] == {"value": "58", "unit": "%"}
    found = client.patch("/v1/equipment/KET-20", {"efficiency": None}).json()
    assert found["efficiency"] is None
    assert found["power"] == {"value": "3000", "unit": "W"}
    assert client.get("/v1/equipment/KET-20").json() == found


def test_a_balance_that_reads_finer_than_weighings_are_kept_is_refused(client: Client) -> None:
    body = {"code": "BAL-NANO", "kind": "balance", "reads_to": "0.0001 mg"}
    (fault,) = client.post("/v1/equipment", body).json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/reads_to", "out-of-range")
