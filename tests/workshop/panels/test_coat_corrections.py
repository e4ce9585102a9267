"""Coats put right: the panel, and the readings of the film with it."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers import jars
from tests.makers.panels import page, panel, protocol, varnish

PANEL = "/v1/panels/P-26-014"
REASON = {"reason": "the diary says another day"}


@pytest.fixture
def read(client: Client, store: Store) -> str:
    protocol(client)
    panel(client, varnish(client, store))
    rows = {"A1": "none", "A3": "whitening, faint"}
    made = client.made(f"{PANEL}/readings", page(rows))
    number: str = made["readings"][0]["reading"]
    return number


def correct(client: Client, coat: int, **body: Any) -> dict[str, Any]:
    return client.made(f"{PANEL}/coats/{coat}/corrections", {**REASON, **body})


def test_a_coat_of_another_day_makes_the_film_another_age(client: Client, read: str) -> None:
    assert client.read(f"/v1/readings/{read}")["condition"]["age"]["value"] == "28"
    made = correct(client, 3, replaces={"on": "2026-12-01"})
    assert [coat["on"] for coat in made["coats"]] == ["2026-11-26", "2026-11-27", "2026-12-01"]
    assert (len(made["renewed"]), made["flags"]) == (2, [])
    old, new = (
        client.read(f"/v1/readings/{read}"),
        client.read(f"/v1/readings/{made['renewed'][0]}"),
    )
    assert (old["corrected_by"], new["corrects"]) == (new["reading"], read)
    assert new["condition"]["age"]["value"] == "25"
    assert (new["saw"], new["at"], new["trial"]) == (old["saw"], old["at"], old["trial"])


def test_a_voided_coat_leaves_a_film_of_two(client: Client, read: str) -> None:
    made = correct(client, 2, void=True)
    assert [coat["coat"] for coat in made["coats"]] == [1, 3]
    assert client.read(f"/v1/readings/{made['renewed'][1]}")["condition"]["coats"] == 2
    answer = client.post(f"{PANEL}/coats/2/corrections", {**REASON, "void": True})
    assert (answer.status_code, answer.json()["type"]) == (404, "/problems/coat-unknown")


def test_how_it_was_put_on_touches_no_reading(client: Client, read: str) -> None:
    made = correct(client, 1, replaces={"how": "rubber, thinned by a tenth"})
    assert (made["renewed"], made["coats"][0]["how"]) == ([], "rubber, thinned by a tenth")
    assert client.read(f"/v1/readings/{read}")["corrected_by"] is None


def test_a_coat_after_the_reading_is_flagged(client: Client, read: str) -> None:
    for coat in (1, 2):
        correct(client, coat, void=True)
    made = correct(client, 3, replaces={"on": "2027-01-05"})
    assert {flag["code"] for flag in made["flags"]} == {"reading-before-coat"}
    assert client.read("/v1/deviations?code=reading-before-coat")["data"][0]["open"]


def test_a_released_sheet_says_that_it_is_under_correction(client: Client, store: Store) -> None:
    number = jars.released(client, store)
    assert client.read(f"/l/{number}.json")["status"]["state"] == "current"
    correct(client, 1, replaces={"wet": "60 g/m2"})
    assert client.read(f"/l/{number}.json")["status"]["state"] == "under correction"
    client.made(f"/v1/lots/{number}/releases", {"by": "MB"})
    assert client.read(f"/l/{number}.json")["status"]["state"] == "current"
