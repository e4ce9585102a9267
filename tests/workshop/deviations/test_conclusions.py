"""Conclusions put in other words, and deviations opened again."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.lots import fill, ready

REASON = {"reason": "it was another crate"}


@pytest.fixture
def number(client: Client, store: Store) -> str:
    """A fill that was not checked, concluded."""
    ready(client, store)
    found: str = fill(client, count=3, gross_g=[])["flags"][0]["opens"]
    client.made(f"/v1/deviations/{found}/conclusions", {"text": "Weighed later: all full."})
    return found


def correct(client: Client, number: str, **body: Any) -> dict[str, Any]:
    return client.made(f"/v1/deviations/{number}/conclusions/corrections", {**REASON, **body})


def test_a_conclusion_is_put_in_other_words(client: Client, number: str) -> None:
    made = correct(client, number, replaces={"text": "Weighed later: two of three full."})
    assert (made["was"], made["open"]) == ("Weighed later: all full.", False)
    held = client.read(f"/v1/deviations/{number}")
    assert held["conclusion"] == "Weighed later: two of three full."


def test_a_voided_conclusion_opens_the_deviation_until_it_is_concluded_again(
    client: Client, number: str
) -> None:
    made = correct(client, number, void=True)
    assert (made["open"], made["conclusion"], made["void"]) == (True, None, True)
    lot = made["subject"]
    against = client.read(f"/v1/lots/{lot}/readiness")["stands_against"]
    assert f"POST /v1/deviations/{number}/conclusions" in {one["concluded_by"] for one in against}
    path = f"/v1/deviations/{number}/conclusions/corrections"
    none = client.post(path, {**REASON, "void": True})
    assert (none.status_code, none.json()["type"]) == (404, "/problems/not-concluded")
    client.made(f"/v1/deviations/{number}/conclusions", {"text": "Weighed again."})
    assert client.read(f"/v1/deviations/{number}")["conclusion"] == "Weighed again."


def test_only_who_releases_corrects_a_conclusion(client: Client, store: Store, number: str) -> None:
    writer = Client(client.app, key_for(store, ["read", "record", "write"]))
    path = f"/v1/deviations/{number}/conclusions/corrections"
    assert writer.post(path, {**REASON, "void": True}).status_code == 403
