"""Files of loggers: taken in whole, refused whole with what else to state, known when repeated."""

from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest

from service.store.session import Store
from service.workshop.batches.bodies.cook_files import LogForm
from service.workshop.batches.logger import files as logger_files
from tests.client import Client, count, dump
from tests.makers.batches import bench, ready
from tests.makers.cooks import START, csv_of, readings, running, send_file

PATH = "/v1/equipment/KETTLE-2/cook-logs"
CORRECTED = "/v1/cook-logs/{}/corrections"


def merged(form: dict[str, Any], send: dict[str, Any]) -> dict[str, Any]:
    """The form with a remedy's merge patch on the query."""
    return {**form, **send["query"]}


def refused(answer: httpx.Response, code: str) -> dict[str, Any]:
    """The first fault of a file that cannot be read as stated."""
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/logger-file")
    fault: dict[str, Any] = answer.json()["errors"][0]
    assert fault["code"] == code
    return fault


def test_a_file_joins_the_batch_in_the_kettle(client: Client) -> None:
    code = running(client)
    answer = send_file(client, PATH, csv_of(400))
    assert answer.status_code == 201
    made = answer.json()
    assert (made["rows"], made["stored"], made["known"], made["batches"]) == (400, 400, 0, [code])
    assert made["assumed"] == {"unit": "C", "times": "iso", "decimal": "point"}
    assert made["read_as"] == {"at": ["Time"], "temperature": "Temp", "zone": "UTC"}
    assert client.read(f"/v1/cook-logs/{made['log']}")["sha256"] == made["sha256"]
    points = client.read(f"/v1/batches/{code}/cook-points?sort=happened_at&limit=1")["data"]
    assert points[0]["happened_at"] == "2026-11-25T13:05:00Z"
    for place in (PATH, f"/v1/batches/{code}/cook-logs"):
        assert [log["log"] for log in client.read(place)["data"]] == [made["log"]]


def test_the_same_file_again_writes_nothing(client: Client, store: Store) -> None:
    bench(client)
    first = send_file(client, PATH, csv_of(40)).json()
    before = dump(store)
    again = send_file(client, PATH, csv_of(40))
    assert (again.status_code, again.json()["log"]) == (200, first["log"])
    assert dump(store)["cook_points"] == before["cook_points"]
    assert dump(store)["cook_logs"] == before["cook_logs"]


def test_of_a_longer_file_only_what_is_new_is_kept(client: Client, store: Store) -> None:
    bench(client)
    send_file(client, PATH, csv_of(40))
    longer = send_file(client, PATH, csv_of(60)).json()
    assert (longer["stored"], longer["known"]) == (20, 40)
    assert count(store, "cook_points") == 60


def test_what_came_by_the_stream_is_known_by_its_number(client: Client) -> None:
    bench(client)
    body = {"device": "PI", "columns": ["seq", "at", "temperature_c"], "rows": readings(30)}
    client.post("/v1/equipment/KETTLE-2/cook-points", body)
    made = send_file(client, PATH, csv_of(50), device="PI", seq="No").json()
    assert (made["stored"], made["known"]) == (20, 30)


def test_a_file_for_a_batch_joins_that_one(client: Client) -> None:
    code, _ = ready(client)
    made = send_file(client, f"/v1/batches/{code}/cook-logs", csv_of(10)).json()
    assert (made["batch"], made["batches"]) == (code, [code])
    assert len(client.read(f"/v1/batches/{code}/cook-points")["data"]) == 10


def test_a_dry_run_tells_and_writes_nothing(client: Client, store: Store) -> None:
    bench(client)
    before = dump(store)
    answer = send_file(client, PATH, csv_of(10), dry_run="true")
    assert (answer.status_code, answer.json()["dry_run"]) == (200, True)
    assert dump(store) == before


def test_the_clock_of_a_logger_is_put_right_and_kept(client: Client) -> None:
    bench(client)
    late = datetime.now(UTC) - timedelta(hours=2)
    body = csv_of(10, start=late - timedelta(minutes=5))
    made = send_file(client, PATH, body, sent_at=late.isoformat(), device="PI").json()
    assert abs(int(made["clock"]["behind"]["value"]) - 7200) <= 2
    assert made["clock"]["times_from"] == "sent_at"
    first = datetime.fromisoformat(made["first_at"])
    assert abs(first - (datetime.now(UTC) - timedelta(minutes=5))) < timedelta(seconds=10)
    assert client.read(f"/v1/cook-logs/{made['log']}")["clock"] == made["clock"]


def test_of_a_named_logger_the_impossible_is_set_aside(client: Client) -> None:
    bench(client)
    body = csv_of(3) + b"4,2026-11-25 13:07:00,4000\r\n5,2026-11-25 13:07:30,ERR\r\n"
    made = send_file(client, PATH, body, device="PI", seq="No").json()
    assert (made["stored"], made["set_aside"]) == (5, 2)
    assert made["aside"] == [
        {"row": 5, "seq": 4, "why": "4000 °C is beyond this probe (-20 to 400 °C)"},
        {"row": 6, "seq": 5, "why": "the probe gave no number"},
    ]


def test_a_last_row_that_broke_off_is_left_out_and_said(client: Client) -> None:
    bench(client)
    made = send_file(client, PATH, csv_of(3) + b"4,2026-11", device="PI").json()
    assert made["stored"] == 3
    assert made["assumed"]["left_out"] == "row 5, which breaks off"


OTHER = b"Time;Temp\r\n25.11.2026 13:05;60,5\r\n25.11.2026 13:06;61,5\r\n"
PARTED = {"separator": "semicolon", "times": "day-first"}
REFUSED: dict[str, tuple[bytes, dict[str, Any], str]] = {
    "decimal comma": (OTHER, PARTED, "decimal-comma"),
    "decimal point": (csv_of(3), {"decimal": "comma"}, "decimal-point"),
    "mark of UTF-8": (b"\xef\xbb\xbf" + csv_of(3), {}, "byte-order-mark"),
    "mark of UTF-16": (csv_of(3).decode().encode("utf-16"), {}, "byte-order-mark"),
    "older system": (
        "No,Time,Temp °C\n1,2026-11-25 13:05,60\n".encode("latin-1"),
        {"temperature": "Temp °C"},
        "encoding-wrong",
    ),
    "missing column": (csv_of(3, heading="No,Time,Celsius"), {}, "column-missing"),
    "missing times": (csv_of(3, heading="No,When,Temp"), {}, "column-missing"),
    "other separator": (OTHER, {"times": "day-first", "decimal": "comma"}, "column-missing"),
    "words before": (b"Serial 4711\r\n" + csv_of(3), {}, "column-missing"),
    "day first": (OTHER, {"separator": "semicolon", "decimal": "comma"}, "bad-time"),
    "no zone": (csv_of(3), {"zone": None}, "time-without-zone"),
    "clocks put back": (
        csv_of(3, start=datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),
        {"zone": "Europe/London"},
        "time-ambiguous",
    ),
    "backwards": (
        csv_of(2) + b"3,2026-11-25 13:05:10,61\r\n",
        {},
        "time-backwards",
    ),
    "impossible": (csv_of(2) + b"3,2026-11-25 13:07:00,4000\r\n", {}, "out-of-range"),
    "number twice": (
        csv_of(2) + b"2,2026-11-25 13:07:00,61\r\n",
        {"seq": "No", "device": "PI"},
        "seq-twice",
    ),
    "no number": (csv_of(2, heading="Temp,Time,No"), {"seq": "No", "device": "PI"}, "bad-seq"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_file_that_is_other_than_stated_is_refused_and_each_remedy_makes_it_go(
    client: Client, store: Store, case: str
) -> None:
    bench(client)
    body, form, code = REFUSED[case]
    before = dump(store)
    fault = refused(send_file(client, PATH, body, **form), code)
    assert dump(store) == before
    assert fault["remedies"]
    for remedy in fault["remedies"]:
        again = merged(form, remedy["send"])
        answer = send_file(client, PATH, body, **again, dry_run="true")
        assert answer.status_code == 200, (remedy, answer.text)


def test_two_hundred_thousand_rows_are_too_many_and_may_come_thinned_or_in_parts(
    client: Client, store: Store
) -> None:
    bench(client)
    body = b"Time,Temp\r\n" + b"2026-11-25 13:05:00,60\r\n" * 200_000
    fault = refused(send_file(client, PATH, body), "too-many-rows")
    assert (fault["parameter"], count(store, "cook_points")) == ("take", 0)
    thinned, part = (remedy["send"]["query"] for remedy in fault["remedies"])
    assert (thinned, part) == ({"every": 2}, {"take": 100_000})
    assert send_file(client, PATH, body, **thinned).json()["stored"] == 100_000
    assert count(store, "cook_points") == 100_000
    form = LogForm(at=["Time"], temperature="Temp", zone="UTC", **part)
    assert len(logger_files.read(body, form).rows) == 100_000


def test_every_wrong_row_is_named(client: Client) -> None:
    bench(client)
    body = csv_of(1) + b"x,2026-11-25 13:06:00,60\r\ny,soon,61\r\nz\r\n"
    answer = send_file(client, PATH, body)
    assert [fault["pointer"] for fault in answer.json()["errors"]] == ["#row=4", "#row=5"]
    assert answer.json()["detail"].startswith("Row 4: 'soon' is no time")


@pytest.mark.parametrize(
    ("form", "parameter"),
    [
        ({"temperature": None}, "temperature"),
        ({"seq": "No"}, "device"),
        ({"times": "elapsed-s"}, "started_at"),
        ({"unit": "R"}, "unit"),
        ({"zone": "Nowhere/Atall"}, "zone"),
        ({"every": 0}, "every"),
    ],
)
def test_a_form_that_does_not_fit_is_refused_by_its_parameter(
    client: Client, form: dict[str, Any], parameter: str
) -> None:
    bench(client)
    answer = send_file(client, PATH, csv_of(2), **form)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["parameter"] == parameter


def test_only_a_table_is_taken_and_only_at_a_kettle(client: Client) -> None:
    bench(client)
    headers = {"Content-Type": "application/json"}
    wrong = client.request("POST", f"{PATH}?at=a&temperature=b", content=b"{}", headers=headers)
    assert wrong.status_code == 415
    large = send_file(client, PATH, b" " * 20_000_001)
    assert large.status_code == 413
    balance = send_file(client, "/v1/equipment/BAL-6KG/cook-logs", csv_of(2))
    assert balance.status_code == 404
    unknown = send_file(client, PATH, csv_of(2), colour="red")
    assert unknown.status_code == 400


def test_a_log_is_moved_in_time_as_a_whole(client: Client) -> None:
    code = running(client)
    made = send_file(client, PATH, csv_of(40)).json()
    body = {"replaces": {"later": "30 min"}, "reason": "The clock was half an hour behind."}
    moved = client.made(CORRECTED.format(made["log"]), body)
    assert (moved["corrects"], moved["first_at"]) == (made["log"], "2026-11-25T13:35:00Z")
    found = client.read(f"/v1/batches/{code}/cook-analysis")
    assert (found["readings"], found["first_at"]) == (40, "2026-11-25T13:35:00Z")
    old = client.post(CORRECTED.format(made["log"]), body)
    assert (old.status_code, old.json()["type"]) == (409, "/problems/already-corrected")


def test_a_voided_log_says_nothing_and_may_be_sent_anew(client: Client) -> None:
    code = running(client)
    made = send_file(client, PATH, csv_of(40)).json()
    voided = client.made(
        CORRECTED.format(made["log"]), {"void": True, "reason": "The column was in °F."}
    )
    assert (voided["void"], voided["batches"]) == (True, [])
    assert client.read(f"/v1/batches/{code}/cook-analysis")["readings"] == 0
    again = send_file(client, PATH, csv_of(40), unit="F").json()
    assert again["stored"] == 40
    warm = client.read(f"/v1/batches/{code}/cook-analysis")["highest"]["temperature"]["value"]
    assert float(warm) < 50


def test_a_file_that_comes_after_the_batch_was_complete_waits_for_a_judgement(
    client: Client,
) -> None:
    code = running(client)
    client.made(
        f"/v1/batches/{code}/transitions",
        {"to": "aborted", "happened_at": (START + timedelta(hours=5)).isoformat()},
    )
    made = send_file(client, PATH, csv_of(40)).json()
    assert [flag["code"] for flag in made["flags"]] == ["late-entry"]
    stream = {"device": "PI", "columns": ["seq", "at", "temperature_c"]}
    for first in (1, 11):
        rows = readings(10, first=first)
        client.post("/v1/equipment/KETTLE-2/cook-points", {**stream, "rows": rows})
    waiting = client.read(f"/v1/deviations?subject={code}&open=true")["data"]
    assert [one["code"] for one in waiting] == ["late-entry", "late-entry"]  # the file, the stream
