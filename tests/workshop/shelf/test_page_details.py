"""What a page of counts says beside amounts in grams: its photo, and volumes."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.shelf import left, oil, page, take, ways
from tests.makers.stock import goods, received


def test_a_page_names_its_photo_which_may_come_later(client: Client) -> None:
    oil(client)
    number = take(client)
    name = "sha256:" + "ab" * 32
    page(client, number, {"1": {"counted": "4 kg", "remark": "in two cans"}}, photo=name)
    found = client.read(f"/v1/stock-takes/{number}")
    assert found["entered"][0]["photo"]["name"] == name
    assert not found["entered"][0]["photo"]["here"]
    assert found["rows"][0]["count"]["remark"] == "in two cans"


def test_a_volume_is_counted_with_the_density_that_is_known(client: Client) -> None:
    table = {"basis": "handbook", "source": "an invented table"}
    goods(client, "THIN-1")
    lot = received(client, "THIN-1", "2 kg")
    path = f"/v1/stock-takes/{take(client)}/pages"
    unknown = client.post(path, {"lines": {"1": "2 l"}})
    assert (unknown.status_code, unknown.json()["type"]) == (422, "/problems/density-needed")
    client.made(
        "/v1/materials/THIN-1/figures", {"property": "density", "value": "0.8 kg/l", **table}
    )
    made = client.made(path, {"lines": {"1": "2 l"}})
    assert made["lines"][0]["count"]["density"] == {"value": "0.8", "unit": "kg/l"}
    assert left(client, lot) == "1600"


@pytest.mark.parametrize(
    ("sent", "stands"),
    [
        ("0.5 kg", "500"),
        ("0.05kg", "50"),
        ({"value": "0.25", "unit": "kg"}, "250"),
        ("0.0 kg", "0"),
    ],
)
def test_an_amount_that_begins_with_a_nought_is_not_nothing(
    client: Client, sent: Any, stands: str
) -> None:
    lot = oil(client)
    page(client, take(client), {"1": sent})
    assert left(client, lot) == stands


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"counted_at": "2026-10-02T09:00Z", "counted_on": "2026-10-03"}, "#/counted_at"),
        ({"found": [{"counted": "1 kg"}, {"counted": "2 kg"}]}, "#/found/1/lot"),
    ],
)
def test_what_a_page_says_twice_and_differently_is_refused_with_ways_out(
    client: Client, more: dict[str, Any], pointer: str
) -> None:
    number, beside = take(client, lots=[oil(client)]), received(client, "OIL-RAW", "1 kg")
    found = [{"lot": beside, **each} for each in more.get("found", [])]
    body = {"lines": {"1": "4 kg"}, **more, "found": found}
    answer = client.post(f"/v1/stock-takes/{number}/pages", body)
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["pointer"]) == (422, pointer)
    for way in ways(answer.json()):
        sent = {name: value for name, value in {**body, **way}.items() if value is not None}
        again = client.post(f"/v1/stock-takes/{number}/pages?dry_run=true", sent)
        assert again.status_code == 200, again.text
