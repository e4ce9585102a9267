"""What is said to have happened cannot be still to come."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.batches import planned, stocked

LATER = "2099-01-01T10:00:00Z"
TOLD: list[tuple[str, dict[str, Any], str]] = [
    ("transitions", {"to": "running"}, "happened_at"),
    ("yields", {"amount": "900 g"}, "happened_at"),
    ("events", {"event": "foam"}, "happened_at"),
    ("cook-points", {"temperature": "200 °C"}, "happened_at"),
    (
        "figures",
        {"property": "acid_value", "value": "90 mg KOH/g", "basis": "measured", "method": "own"},
        "happened_at",
    ),
    ("stages", {"stage": "settle"}, "started_at"),
]


@pytest.fixture
def code(client: Client) -> str:
    stocked(client)
    return planned(client, "RESIN-ZN", "1 kg")


@pytest.mark.parametrize(("path", "body", "field"), TOLD)
def test_an_entry_of_a_time_to_come_is_refused_with_the_way_out(
    client: Client, code: str, path: str, body: dict[str, Any], field: str
) -> None:
    address = f"/v1/batches/{code}/{path}"
    answer = client.post(address, {**body, field: LATER})
    assert answer.status_code == 422, answer.text
    (fault,) = answer.json()["errors"]
    assert (fault["pointer"], fault["code"]) == (f"#/{field}", "time-to-come")
    assert fault["remedies"][0]["send"] == {field: None}
    assert client.post(address, body).status_code in (200, 201)


def test_a_page_of_a_day_to_come_is_refused_and_taken_as_of_today(
    client: Client, code: str
) -> None:
    address, page = f"/v1/batches/{code}/pages", {"notes": {"10:00": "foam"}}
    answer = client.post(address, {"on": "2099-01-01", **page})
    (fault,) = answer.json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/on", "time-to-come")
    assert client.post(address, {**fault["remedies"][0]["send"], **page}).status_code == 201
