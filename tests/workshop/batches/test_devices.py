"""Entries of devices: known by their number, put right in time, all of them or none."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as trying
from hypothesis import strategies as st

from service.app import create_app
from service.settings import Settings
from service.store.session import Store
from tests.client import Client, count, dump
from tests.makers.batches import left, planned, ready, stocked
from tests.makers.devices import TABLET, ago, queue, weighed
from tests.makers.panels import merged
from tests.served import at_once, serving

WEIGHING = {"line": 2, "amount": "1379", "device_id": TABLET, "device_seq": 7}


def entries(client: Client, code: str, body: Any) -> Any:
    return client.post(f"/v1/batches/{code}/entries", body)


def test_the_same_sending_makes_one_entry(client: Client) -> None:
    code, lots = ready(client)
    first = client.made(f"/v1/batches/{code}/weighings", WEIGHING)
    assert (first["device_id"], first["device_seq"]) == (TABLET, 7)
    again = client.post(f"/v1/batches/{code}/weighings", {**WEIGHING, "sent_at": ago(hours=1)})
    assert again.status_code == 200, again.text
    assert again.json()["entry"] == first["entry"]
    assert again.json()["summary"].startswith("Known already: ")
    assert left(client, lots["OIL-LIN"])["value"] == "3621"


def test_a_number_used_again_for_something_else_is_refused(client: Client) -> None:
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/weighings", WEIGHING)
    for other in ({"amount": "1380"}, {"line": 3}, {"checked_by": "MB"}):
        body = {**WEIGHING, **other}
        answer = client.post(f"/v1/batches/{code}/weighings", body)
        (fault,) = answer.json()["errors"]
        assert answer.json()["type"] == "/problems/device-seq-used"
        assert fault["pointer"] == "#/device_seq"
    note = {"text": "foam", "device_id": TABLET, "device_seq": 7}
    answer = client.post(f"/v1/batches/{code}/notes", note)
    way = merged(note, answer.json()["errors"][0]["remedies"][0]["send"])
    assert client.made(f"/v1/batches/{code}/notes", way)["device_seq"] == 8
    assert left(client, lots["OIL-LIN"])["value"] == "3621"


def test_a_split_weighing_sent_again_shows_all_its_parts(client: Client) -> None:
    code, lots = ready(client)
    parts = [{"lot": lots["OIL-LIN"], "amount": "900"}, {"lot": lots["OIL-LIN"], "amount": "479"}]
    body = {"line": 2, "from": parts, "device_id": TABLET, "device_seq": 1}
    first = client.made(f"/v1/batches/{code}/weighings", body)
    again = client.post(f"/v1/batches/{code}/weighings", body).json()
    assert [row["entry"] for row in again["split"]] == [row["entry"] for row in first["split"]]


@pytest.mark.parametrize("half", [{"device_id": TABLET}, {"device_seq": 1}, {"sent_at": ago()}])
def test_a_device_and_its_number_go_together(client: Client, half: dict[str, Any]) -> None:
    code, _ = ready(client)
    answer = client.post(f"/v1/batches/{code}/notes", {"text": "foam", **half})
    assert answer.json()["errors"][0]["code"] == "device-half-named"


def test_a_wrong_clock_is_put_right_told_and_kept(client: Client) -> None:
    code, _ = ready(client)
    shown = {"happened_at": ago(hours=3, minutes=10), "sent_at": ago(hours=3)}
    body = {"text": "foam", "device_id": TABLET, "device_seq": 1, **shown}
    made = client.made(f"/v1/batches/{code}/notes", body)
    happened = datetime.fromisoformat(made["happened_at"])
    assert abs(datetime.now(UTC) - timedelta(minutes=10) - happened) < timedelta(seconds=5)
    assert abs(int(made["clock"]["behind"]["value"]) - 3 * 3600) <= 2
    later = {**body, "device_seq": 2, "sent_at": ago(hours=3), "happened_at": ago(hours=3)}
    client.made(f"/v1/batches/{code}/notes", later)
    kept = client.read(f"/v1/device-clocks?device={TABLET}")["data"]
    assert [abs(int(row["behind_s"]) - 3 * 3600) <= 2 for row in kept] == [True]


def test_a_clock_that_is_right_changes_no_time(client: Client) -> None:
    code, _ = ready(client)
    shown = {"happened_at": "2026-11-25T13:05:00Z", "sent_at": ago()}
    body = {"text": "foam", "device_id": TABLET, "device_seq": 1, **shown}
    made = client.made(f"/v1/batches/{code}/notes", body)
    assert made["happened_at"] == "2026-11-25T13:05:00Z"


def test_an_age_needs_no_clock(client: Client) -> None:
    code, _ = ready(client)
    rows = [
        {"note": "foam", "age_s": 600, "happened_at": ago(days=900)},
        {"note": "off", "age_s": 1},
    ]
    made = entries(client, code, queue(*rows)).json()
    assert made["clock"]["times_from"] == "age_s"
    notes = client.read(f"/v1/batches/{code}/notes")["data"]
    times = [datetime.fromisoformat(note["happened_at"]) for note in notes]
    assert times[1] - times[0] in {timedelta(seconds=s) for s in (598, 599, 600)}


EVENING = (
    weighed(1, "1149.5"),
    weighed(2, "1379"),
    {"temperature": "240 °C", "remark": "string 3 cm"},
    {"saw": {"line": 6, "text": "string 3 cm"}},
    {"note": "foam two fingers high"},
)


def test_a_queue_of_all_kinds_is_written_whole_and_once(client: Client, store: Store) -> None:
    code, lots = ready(client)
    body = queue(*EVENING, by="MB")
    made = entries(client, code, body)
    assert made.status_code == 201, made.text
    told = made.json()
    assert (told["stored"], told["known"], told["last_seq"], told["state"]) == (5, 0, 5, "running")
    assert [row["verdict"] for row in told["entries"][:2]] == ["within", "within"]
    assert told["assumed"]["rows"]["2"]["lot"] == lots["OIL-LIN"]
    before = dump(store)
    again = entries(client, code, body)
    assert (again.status_code, again.json()["known"]) == (200, 5)
    assert [row["entries"] for row in again.json()["entries"]] == [
        row["entries"] for row in told["entries"]
    ]
    assert dump(store) == before
    more = entries(client, code, queue(*EVENING, weighed(3, "918.5"), by="MB")).json()
    assert (more["stored"], more["known"]) == (1, 5)


def test_all_that_is_wrong_is_told_by_row_and_nothing_is_written(
    client: Client, store: Store
) -> None:
    code, lots = ready(client)
    wrong = {"weighing": {"line": 3, "amount": "918.5", "lot": lots["OIL-LIN"]}}
    body = queue(weighed(2, "1379"), wrong, {"saw": {"line": 1, "text": "?"}}, weighed(99, "5"))
    before = dump(store)
    answer = entries(client, code, body)
    assert answer.status_code == 422
    faults = answer.json()["errors"]
    assert [(fault["detail"][:6], fault["pointer"]) for fault in faults] == [
        ("Row 2:", "#/entries/1/weighing/lot"),
        ("Row 3:", "#/entries/2/saw/line"),
        ("Row 4:", "#/entries/3/weighing/line"),
    ]
    assert answer.json()["detail"].startswith("Nothing was written. 3 rows of 4")
    assert dump(store) == before


def test_each_way_out_of_a_refused_row_goes(client: Client) -> None:
    code, lots = ready(client)
    wrong = {"weighing": {"line": 3, "amount": "918.5", "lot": lots["OIL-LIN"]}}
    body = queue(weighed(2, "1379"), wrong)
    (fault,) = entries(client, code, body).json()["errors"]
    ways = [merged(body, remedy["send"]) for remedy in fault["remedies"]]
    tried = [client.post(f"/v1/batches/{code}/entries?dry_run=true", way) for way in ways]
    assert [answer.status_code for answer in tried] == [200] * len(ways)


def test_a_number_used_for_another_row_is_refused_with_the_next_one(client: Client) -> None:
    code, _ = ready(client)
    entries(client, code, queue({"note": "foam"}))
    body = queue({"note": "off the heat"}, {"note": "string"})
    (fault,) = entries(client, code, body).json()["errors"]
    assert (fault["code"], fault["pointer"]) == ("device-seq-used", "#/entries/0/seq")
    made = entries(client, code, merged(body, fault["remedies"][0]["send"])).json()
    assert [row["seq"] for row in made["entries"]] == [3, 2]


def test_time_running_backwards_is_refused_until_it_is_said(client: Client) -> None:
    code, _ = ready(client)
    rows = [{"note": "late", "age_s": 10}, {"note": "early", "age_s": 600}]
    (fault,) = entries(client, code, body := queue(*rows)).json()["errors"]
    assert (fault["code"], fault["pointer"]) == ("time-backwards", "#/entries/1/age_s")
    assert entries(client, code, merged(body, fault["remedies"][0]["send"])).status_code == 201


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        ({"entries": [{"seq": 1, "note": "x"}]}, "seq-missing", "#/entries/0/seq"),
        ({"device_id": TABLET, "entries": [{"note": "x"}]}, "seq-missing", "#/entries/0/seq"),
        (queue({"note": "x", "saw": {"line": 5, "text": "y"}}), "one-kind", "#/entries/0"),
        (queue({}), "one-kind", "#/entries/0"),
        (queue({"temperature": "4000 °C"}), "out-of-range", "#/entries/0/temperature"),
        (queue({"note": "x", "remark": "y"}), "stray-remark", "#/entries/0"),
        (queue(weighed(1, "5 l")), "wrong-dimension", "#/entries/0/weighing/amount"),
    ],
)
def test_a_malformed_row_says_where(
    client: Client, body: dict[str, Any], code: str, pointer: str
) -> None:
    batch, _ = ready(client)
    fault = entries(client, batch, body).json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == (code, pointer)


CUTS = st.lists(st.integers(1, len(EVENING)), min_size=1, max_size=4)


@trying(deadline=None, max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(CUTS)
def test_however_often_parts_of_a_queue_arrive_each_entry_stands_once(
    client: Client, store: Store, cuts: list[int]
) -> None:
    """The device sends all it holds from any point on, again and again."""
    if count(store, "people") == 0:
        stocked(client)
    code = planned(client, "RESIN-ZN", "200 g")
    first = 1 + 10 * count(store, "batches")
    rows = [weighed(1, "190"), weighed(2, "10"), {"note": "a"}, {"note": "b"}, {"note": "c"}]
    stored = 0
    for cut in [*cuts, len(rows)]:
        answer = entries(client, code, queue(*rows[:cut], first=first))
        assert answer.status_code in {200, 201}
        stored += answer.json()["stored"]
    assert stored == len(rows)
    assert len(client.read(f"/v1/batches/{code}/weighings")["data"]) == 2


@pytest.mark.parametrize("many", [32, 200])
def test_a_sending_repeated_by_many_at_once_makes_one_entry(
    client: Client, settings: Settings, store: Store, many: int
) -> None:
    code, lots = ready(client)
    path = f"/v1/batches/{code}/weighings"
    patient = create_app(replace(settings, gate_seconds=60), store)
    with serving(patient) as url:
        answers = at_once(url, client.key, [("POST", path, WEIGHING)] * many)
    assert sorted({answer.status_code for answer in answers}) == [200, 201]
    assert len({answer.json()["entry"] for answer in answers}) == 1
    assert left(client, lots["OIL-LIN"])["value"] == "3621"


def test_a_clock_ahead_is_behind_by_less_than_nothing(client: Client) -> None:
    code, _ = ready(client)
    ahead = {"sent_at": ago(hours=-1), "happened_at": ago(hours=-1)}
    body = {"text": "foam", "device_id": TABLET, "device_seq": 1, **ahead}
    made = client.made(f"/v1/batches/{code}/notes", body)
    assert abs(datetime.now(UTC) - datetime.fromisoformat(made["happened_at"])).seconds < 10
    (kept,) = client.read("/v1/device-clocks")["data"]
    assert abs(int(kept["behind_s"]) + 3600) <= 2
