"""Events of a batch, of a closed list with a free remark."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import planned, ready, stocked

AT = "2026-11-25T14:35:00+00:00"


def batch(client: Client) -> str:
    """A resinate that is planned."""
    stocked(client)
    return planned(client, "RESIN-ZN", "1.2 kg", kettle="KETTLE-2")


def test_a_string_test_is_kept_with_its_length_and_warmth(client: Client) -> None:
    code = batch(client)
    body = {"event": "string-test", "length": "3 cm", "temperature": 240, "by": "MB"}
    made = client.made(f"/v1/batches/{code}/events", {**body, "happened_at": AT})
    assert made["length"] == {"value": "3", "unit": "cm"}
    assert made["temperature"] == {"value": "240", "unit": "°C"}
    assert (made["summary"], made["assumed"]) == (f"String test, {code}.", {})
    assert client.read(f"/v1/batches/{code}/events")["data"] == [
        {name: made[name] for name in made if name not in {"summary", "assumed", "flags"}}
    ]


def test_events_are_listed_as_they_happened_and_by_kind(client: Client) -> None:
    code = batch(client)
    path = f"/v1/batches/{code}/events"
    client.made(path, {"event": "off-the-heat", "happened_at": "2026-11-25T15:00:00Z"})
    client.made(path, {"event": "foam", "text": "two fingers high", "happened_at": AT})
    listed = client.read(path)["data"]
    assert [row["event"] for row in listed] == ["foam", "off-the-heat"]
    assert [row["text"] for row in client.read(f"{path}?event=foam")["data"]] == [
        "two fingers high"
    ]


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ({"event": "dancing"}, "#/event", "literal-error"),
        ({"event": "other"}, "#/text", "text-missing"),
        ({"event": "foam", "length": "3 cm"}, "#/length", "no-length"),
        ({"event": "string-test", "length": 3}, "#/length", "unit-missing"),
        ({"event": "drop-test", "length": "0 mm"}, "#/length", "out-of-range"),
        ({"event": "smoke", "temperature": "4000 °C"}, "#/temperature", "out-of-range"),
    ],
)
def test_what_says_too_little_or_too_much_is_refused(
    client: Client, body: dict[str, Any], pointer: str, code: str
) -> None:
    answer = client.post(f"/v1/batches/{batch(client)}/events", body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == pointer
    assert answer.json()["errors"][0]["code"] == code


def test_what_no_recipe_asks_for_opens_a_deviation(client: Client) -> None:
    code = batch(client)
    body = {"event": "boiled-over", "text": "About a cupful on the stove."}
    made = client.made(f"/v1/batches/{code}/events", body)
    assert [flag["code"] for flag in made["flags"]] == ["boiled-over"]
    assert client.read(f"/v1/batches/{code}")["open_deviations"] == [made["flags"][0]["opens"]]


def test_an_event_is_corrected_once_and_the_old_one_stays(client: Client) -> None:
    code = batch(client)
    path = f"/v1/batches/{code}/events"
    first = client.made(path, {"event": "string-test", "length": "2 cm", "happened_at": AT})
    fix = {"replaces": {"length": "3 cm"}, "reason": "read from the wrong end", "by": "MB"}
    made = client.made(f"{path}/{first['entry']}/corrections", fix)
    assert (made["corrects"], made["length"]["value"]) == (first["entry"], "3")
    assert made["happened_at"] == first["happened_at"]
    old, new = client.read(path)["data"]
    assert (old["corrected_by"], new["corrected_by"]) == (new["entry"], None)
    again = client.post(f"{path}/{first['entry']}/corrections", fix)
    assert again.json()["type"] == "/problems/already-corrected"
    gone = client.made(f"{path}/{new['entry']}/corrections", {"void": True, "reason": "no test"})
    assert (gone["void"], gone["summary"]) == (True, f"Voided: String test, {code}.")


def test_a_correction_is_held_to_what_an_event_may_say(client: Client) -> None:
    code = batch(client)
    path = f"/v1/batches/{code}/events"
    made = client.made(path, {"event": "string-test", "length": "2 cm"})
    body: dict[str, Any] = {"replaces": {"event": "foam"}, "reason": "it was foam"}
    answer = client.post(f"{path}/{made['entry']}/corrections", body)
    assert answer.json()["errors"][0]["pointer"] == "#/replaces/length"
    body["replaces"]["length"] = None
    assert client.made(f"{path}/{made['entry']}/corrections", body)["event"] == "foam"
    other = planned(client, "RESIN-ZN", "1.2 kg")
    answer = client.post(f"/v1/batches/{other}/events/{made['entry']}/corrections", body)
    assert answer.json()["type"] == "/problems/entry-unknown"


def test_what_comes_after_the_end_is_kept_and_judged(client: Client) -> None:
    code = batch(client)
    client.made(f"/v1/batches/{code}/transitions", {"to": "aborted"})
    body = {"event": "off-the-heat", "happened_at": "2026-01-05T10:00:00Z"}
    made = client.made(f"/v1/batches/{code}/events", body)
    assert [flag["code"] for flag in made["flags"]] == ["late-entry"]


def test_events_are_for_those_who_record(client: Client, app: Any, store: Store) -> None:
    path = f"/v1/batches/{batch(client)}/events"
    reader = Client(app, key_for(store, ["read"]))
    assert reader.post(path, {"event": "foam"}).status_code == 403
    assert reader.read(path)["data"] == []
    assert client.get("/v1/batches/NONE-1/events").status_code == 404


def test_a_batch_shows_what_was_seen_in_its_pot(client: Client) -> None:
    code = batch(client)
    path = f"/v1/batches/{code}/events"
    made = client.made(path, {"event": "foam"})
    client.made(f"{path}/{made['entry']}/corrections", {"void": True, "reason": "steam"})
    client.made(path, {"event": "clear"})
    client.made(f"/v1/batches/{code}/colour-ladder", {"text": "amber"})
    goal = {"property": "acid_value", "target": "90 mg KOH/g", "within": "5 mg KOH/g"}
    goal |= {"material": "ZNO", "method": "titration", "reading": {"value": "94 mg KOH/g"}}
    client.made(f"/v1/batches/{code}/adjustments", goal)
    shown = client.read(f"/v1/batches/{code}")
    assert [row["event"] for row in shown["events"]] == ["clear"]
    assert [row["text"] for row in shown["colour_ladder"]] == ["amber"]
    assert [(row["state"], row["last_read"]["value"]) for row in shown["adjustments"]] == [
        ("reached", "94")
    ]


def test_a_queue_delivers_events_and_drops_with_the_rest_and_once(client: Client) -> None:
    code = batch(client)
    rows = [
        {"seq": 1, "event": {"event": "foam", "text": "lifted off"}, "happened_at": AT},
        {"seq": 2, "drop": {"minutes": 20, "text": "amber"}, "happened_at": AT},
    ]
    body = {"device_id": "bench-tablet", "by": "MB", "entries": rows}
    made = client.made(f"/v1/batches/{code}/entries", body)
    assert [(row["kind"], row["known"]) for row in made["entries"]] == [
        ("event", False),
        ("drop", False),
    ]
    again = client.post(f"/v1/batches/{code}/entries", body).json()
    assert [row["known"] for row in again["entries"]] == [True, True]
    assert [row["by"] for row in client.read(f"/v1/batches/{code}/events")["data"]] == ["MB"]
    assert len(client.read(f"/v1/batches/{code}/colour-ladder")["data"]) == 1


def test_a_row_of_a_queue_that_says_too_little_is_told_at_its_place(client: Client) -> None:
    rows = [{"event": {"event": "foam"}}, {"event": {"event": "other"}}, {"drop": {"minutes": 2}}]
    answer = client.post(f"/v1/batches/{batch(client)}/entries", {"entries": rows})
    assert [fault["pointer"] for fault in answer.json()["errors"]] == [
        "#/entries/1/event/text",
        "#/entries/2/drop",
    ]


@pytest.mark.parametrize("name", ["event", "happened_at"])
def test_what_every_event_has_is_never_taken_away(client: Client, name: str) -> None:
    path = f"/v1/batches/{batch(client)}/events"
    entry = client.made(path, {"event": "foam"})["entry"]
    body = {"replaces": {name: None}, "reason": "x"}
    fault = client.post(f"{path}/{entry}/corrections", body).json()["errors"][0]
    assert (fault["pointer"], fault["code"]) == (f"#/replaces/{name}", "null-given")


@pytest.mark.parametrize(("celsius", "asked"), [(119, False), (200, True)])
def test_a_solvent_told_to_have_gone_in_too_hot_is_asked_about(
    client: Client, celsius: int, asked: bool
) -> None:
    code, _ = ready(client)  # its spirit boils from 150 °C on, so 120 °C at the pour are the most
    body = {"event": "solvent-in", "temperature": celsius}
    made = client.made(f"/v1/batches/{code}/events", body)
    assert [flag["code"] for flag in made["flags"]] == ["solvent-poured-hot"] * asked
    assert len(client.read(f"/v1/batches/{code}")["open_deviations"]) == asked
