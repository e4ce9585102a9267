"""Notes, cook points and moves of a batch put right."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import evening, planned, ready, stocked

REASON = {"reason": "the clock on the wall was slow"}


@pytest.fixture
def code(client: Client) -> str:
    """A spar varnish that was cooked and is complete."""
    found, lots = ready(client)
    client.made(f"/v1/batches/{found}/pages", evening(lots))
    return found


def correct(client: Client, entry: str, **body: Any) -> dict[str, Any]:
    return client.made(f"{entry}/corrections", {**REASON, **body})


def rows(client: Client, code: str, what: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.read(f"/v1/batches/{code}/{what}")["data"]
    return found


def standing(client: Client, code: str, what: str) -> list[dict[str, Any]]:
    found = rows(client, code, what)
    return [row for row in found if row["corrected_by"] is None and not row["void"]]


def test_a_note_is_put_in_other_words_and_voided(client: Client, code: str) -> None:
    note = rows(client, code, "notes")[0]
    path = f"/v1/batches/{code}/notes"
    made = correct(client, f"{path}/{note['entry']}", replaces={"text": "foam one finger high"})
    assert (made["text"], made["happened_at"]) == ("foam one finger high", note["happened_at"])
    assert [row["text"] for row in standing(client, code, "notes")] == ["foam one finger high"]
    correct(client, f"{path}/{made['entry']}", void=True)
    assert standing(client, code, "notes") == []
    again = client.post(f"{path}/{note['entry']}/corrections", {**REASON, "void": True})
    assert again.json()["type"] == "/problems/already-corrected"


def test_a_cook_point_is_put_right_by_batch_and_by_kettle(client: Client, code: str) -> None:
    hottest = max(rows(client, code, "cook-points"), key=lambda p: float(p["temperature"]["value"]))
    by_batch = f"/v1/batches/{code}/cook-points/{hottest['entry']}"
    made = correct(client, by_batch, replaces={"temperature": "238 C"})
    assert made["temperature"] == {"value": "238", "unit": "°C"}
    assert (made["corrects"], made["remark"]) == (hottest["entry"], "string 3 cm")
    by_kettle = f"/v1/equipment/KETTLE-2/cook-points/{made['entry']}"
    correct(client, by_kettle, void=True)
    left = [row["temperature"]["value"] for row in standing(client, code, "cook-points")]
    assert sorted(left) == ["150", "60"]
    impossible = {**REASON, "replaces": {"temperature": 4000}}
    refused = client.post(f"{by_batch}/corrections", impossible)
    assert refused.json()["errors"][0]["pointer"] == "#/replaces/temperature"


def test_a_point_of_a_logger_keeps_its_number_so_that_a_repeat_is_known(
    client: Client, code: str
) -> None:
    at = "2026-11-25T14:00:00Z"
    points = [
        {"seq": 1, "at": at, "temperature_c": 900},
        {"seq": 2, "at": at, "temperature_c": 230},
    ]
    stream = {"device": "LOG-1", "points": points}
    path = "/v1/equipment/KETTLE-2/cook-points"
    assert client.post(path, stream).json()["stored"] == 2
    aside = next(row for row in client.read(path)["data"] if row["seq"] == 1)
    assert aside["set_aside"]
    made = correct(client, f"{path}/{aside['entry']}", replaces={"temperature": 229})
    assert (made["device"], made["seq"], made["set_aside"]) == ("LOG-1", None, None)
    assert (made["batch"], made["temperature"]["value"]) == (code, "229")
    assert client.post(path, stream).json()["known"] == 2


def test_a_later_end_makes_the_lot_a_day_younger_with_all_that_follows(
    client: Client, code: str
) -> None:
    end = standing(client, code, "transitions")[-1]
    assert end["to"] == "complete"
    path = f"/v1/batches/{code}/transitions/{end['entry']}"
    made = correct(client, path, replaces={"happened_at": "2026-11-26T09:00:00Z"})
    assert (made["lots"], made["state"]) == ([code], "complete")
    lot = client.read(f"/v1/lots/{code}")
    assert (lot["made_on"], lot["left"]) == ("2026-11-26", lot["came"])
    assert client.read(f"/v1/batches/{code}")["ended_at"] == "2026-11-26T09:00:00Z"
    assert made["figures"][0]["property"] == "loss"
    figure = client.read(f"/v1/figures/{made['figures'][0]['figure']}")
    assert figure["dated"] == "2026-11-26"


def test_a_move_is_never_put_before_the_one_before_it(client: Client, code: str) -> None:
    start, end = standing(client, code, "transitions")
    path = f"/v1/batches/{code}/transitions/{end['entry']}/corrections"
    body = {**REASON, "replaces": {"happened_at": "2026-11-20T09:00:00Z"}}
    answer = client.post(path, body)
    assert answer.json()["errors"][0]["code"] == "time-backwards"
    kept = client.post(path, {**REASON, "void": True})
    assert (kept.status_code, kept.json()["type"]) == (409, "/problems/move-kept")
    begun = f"/v1/batches/{code}/transitions/{start['entry']}/corrections"
    assert client.post(begun, {**REASON, "void": True}).json()["type"] == "/problems/move-kept"


def test_the_last_move_is_taken_back(client: Client) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    path = f"/v1/batches/{code}/transitions"
    client.made(path, {"to": "running"})
    held = client.made(path, {"to": "held"})
    given_up = client.made(path, {"to": "aborted", "text": "the pot cracked"})
    early = client.post(f"{path}/{held['entry']}/corrections", {**REASON, "void": True})
    assert early.json()["type"] == "/problems/move-kept"
    for move, state in ((given_up, "held"), (held, "running")):
        made = correct(client, f"{path}/{move['entry']}", void=True)
        assert made["state"] == state == client.read(f"/v1/batches/{code}")["state"]
    client.made(path, {"to": "aborted"})
    assert [row["to"] for row in standing(client, code, "transitions")] == ["running", "aborted"]


def test_once_it_is_complete_only_who_releases_corrects(
    client: Client, store: Store, code: str
) -> None:
    note = rows(client, code, "notes")[0]["entry"]
    recorder = Client(client.app, key_for(store, ["read", "record", "write"]))
    answer = recorder.post(f"/v1/batches/{code}/notes/{note}/corrections", {**REASON, "void": True})
    assert (answer.status_code, answer.json()["needs"]) == (403, "release")
    other = planned(client, "RESIN-ZN", "500 g")
    wrong = client.post(f"/v1/batches/{other}/notes/{note}/corrections", {**REASON, "void": True})
    assert (wrong.status_code, wrong.json()["type"]) == (404, "/problems/entry-unknown")
