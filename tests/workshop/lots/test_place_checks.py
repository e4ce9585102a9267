"""Checks of the place through HTTP: a yes or a no with a name, corrected by a newer one."""

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.lots import BULK, fill, ready

BEFORE = {"place": "filling", "moment": "before", "clear": True, "by": "MB"}


@pytest.fixture
def jar(client: Client, store: Store) -> str:
    client.made("/v1/people", {"code": "MB"})
    ready(client, store)
    number: str = fill(client)["lot"]
    return number


def test_a_clear_place_is_kept_with_a_name(client: Client, jar: str) -> None:
    made = client.made(f"/v1/lots/{BULK}/place-checks", BEFORE)
    assert (made["lot"], made["clear"], made["by"], made["flags"]) == (BULK, True, "MB", [])
    assert made["assumed"] == {"happened_at": "now"}
    assert made["summary"] == f"{BULK}: place of filling clear before the work."
    assert client.read(f"/v1/lots/{BULK}/place-checks")["data"][0]["entry"] == made["entry"]
    assert client.read(f"/v1/lots/{jar}/place-checks")["data"] == []


def test_a_place_that_was_not_clear_is_kept_and_opens_a_deviation(client: Client, jar: str) -> None:
    found = {**BEFORE, "place": "both", "moment": "after", "clear": False, "text": "two old lids"}
    made = client.made(f"/v1/lots/{jar}/place-checks", found)
    (flag,) = made["flags"]
    assert flag["code"] == "place-not-clear"
    said = "The place of filling and labelling was not clear after the work: two old lids"
    assert client.read(f"/v1/deviations/{flag['opens']}")["text"] == said


def test_a_correction_is_a_newer_entry_and_the_old_one_stays(client: Client, jar: str) -> None:
    old = client.made(f"/v1/lots/{jar}/place-checks", BEFORE)["entry"]
    at = f"/v1/lots/{jar}/place-checks/{old}/corrections"
    sent = {"replaces": {"moment": "after", "clear": False}, "reason": "the wrong box", "by": "MB"}
    new = client.made(at, sent)
    assert (new["corrects"], new["moment"], new["clear"]) == (old, "after", False)
    assert [flag["code"] for flag in new["flags"]] == ["place-not-clear"]
    rows = client.read(f"/v1/lots/{jar}/place-checks")["data"]
    assert [(row["entry"], row["corrected_by"]) for row in rows] == [
        (old, new["entry"]),
        (new["entry"], None),
    ]
    assert client.post(at, {"void": True, "reason": "again"}).json()["status"] == 409
    voided = client.made(
        f"/v1/lots/{jar}/place-checks/{new['entry']}/corrections",
        {"void": True, "reason": "of another jar", "by": "MB"},
    )
    assert (voided["void"], voided["flags"]) == (True, [])
    again = f"/v1/lots/{jar}/place-checks/{voided['entry']}/corrections"
    assert client.post(again, {"void": True, "reason": "no"}).status_code == 409


def test_an_entry_of_another_lot_cannot_be_corrected_here(client: Client, jar: str) -> None:
    old = client.made(f"/v1/lots/{BULK}/place-checks", BEFORE)["entry"]
    answer = client.post(
        f"/v1/lots/{jar}/place-checks/{old}/corrections", {"void": True, "reason": "no"}
    )
    assert (answer.status_code, answer.json()["type"]) == (404, "/problems/entry-unknown")


def test_after_the_release_a_correction_needs_its_scope(
    client: Client, store: Store, jar: str
) -> None:
    old = client.made(f"/v1/lots/{BULK}/place-checks", BEFORE)["entry"]
    client.made(f"/v1/lots/{BULK}/releases", {"by": "MB"})
    writer = Client(client.app, key_for(store, ["read", "record", "write"]))
    sent = {"void": True, "reason": "twice"}
    at = f"/v1/lots/{BULK}/place-checks/{old}/corrections"
    answer = writer.post(at, sent)
    assert (answer.status_code, answer.json()["needs"]) == (403, "release")
    assert client.made(at, sent)["void"]


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("place-checks", BEFORE),
        ("samples", {"kind": "test", "amount": "1", "by": "MB"}),
        ("examinations", {"examined": 1, "leaking": 0, "marred": 0, "appearance": "clear"}),
    ],
)
def test_nothing_was_looked_at_or_taken_at_a_time_still_to_come(
    client: Client, jar: str, entry: str, said: dict[str, object]
) -> None:
    path = f"/v1/lots/{jar}/{entry}"
    answer = client.post(path, {**said, "happened_at": "2099-01-01T00:00:00+00:00"})
    assert answer.status_code == 422
    (fault,) = answer.json()["errors"]
    assert (fault["code"], fault["pointer"]) == ("time-to-come", "#/happened_at")
    assert client.read(path)["data"] == []
    client.made(path, {**said, **fault["remedies"][0]["send"]})
