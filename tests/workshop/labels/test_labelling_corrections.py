"""Counts of labels put right: blank labels go back or are drawn anew."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers import jars
from tests.makers.panels import merged, remedies

REASON = {"reason": "counted the wrong heap"}


@pytest.fixture
def number(client: Client, store: Store) -> str:
    found = jars.packed(client, store)
    jars.labelled(client, found)
    return found


def counts(client: Client, number: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.read(f"/v1/lots/{number}/labellings")["data"]
    return found


def blank(client: Client) -> Any:
    return client.read("/v1/stock?material=LABEL-S")["data"][0]["left"]


def correct(client: Client, number: str, entry: int, **body: Any) -> dict[str, Any]:
    path = f"/v1/lots/{number}/labellings/{entry}/corrections"
    return client.made(path, {**REASON, **body})


def test_a_count_put_right_draws_the_difference_and_is_judged_anew(
    client: Client, number: str
) -> None:
    entry = counts(client, number)[0]["entry"]
    assert blank(client) == 90
    made = correct(client, number, entry, replaces={"printed": 12})
    assert blank(client) == 88
    assert (made["printed"], made["corrects"]) == (12, entry)
    # 12 printed; 8 on jars and 2 spoiled leave two that nobody has seen.
    assert made["flags"]
    assert [row["corrected_by"] for row in counts(client, number)] == [made["entry"], None]
    again = correct(client, number, made["entry"], replaces={"printed": 10})
    assert (blank(client), again["flags"]) == (90, [])


def test_a_voided_count_gives_the_labels_back(client: Client, number: str) -> None:
    entry = counts(client, number)[0]["entry"]
    made = correct(client, number, entry, void=True)
    assert (blank(client), made["void"]) == (100, True)
    path = f"/v1/lots/{number}/labellings/{made['entry']}/corrections"
    answer = client.post(path, {**REASON, "replaces": {"used": 8}})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/already-corrected")
    unknown = client.post(f"/v1/lots/{number}/labellings/999/corrections", {**REASON, "void": True})
    assert unknown.status_code == 404


def test_labels_taken_from_no_lot_after_all_go_back(client: Client, number: str) -> None:
    entry = counts(client, number)[0]["entry"]
    assert correct(client, number, entry, replaces={"label_lot": None})["label_lot"] is None
    assert blank(client) == 100


def test_a_revision_that_was_never_frozen_is_refused_with_those_there_are(
    client: Client, number: str
) -> None:
    entry = counts(client, number)[0]["entry"]
    path = f"/v1/lots/{number}/labellings/{entry}/corrections"
    body = {**REASON, "replaces": {"revision": 7}}
    wrong = client.post(path, body)
    assert wrong.json()["errors"][0]["pointer"] == "#/replaces/revision"
    client.made(path, merged(body, remedies(wrong)[0]["send"]))
