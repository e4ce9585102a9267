"""The cook log: a logger that knows no batch and no time, and a person who can err."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, count
from tests.makers.batches import bench, evening, planned, ready, stocked

PATH = "/v1/equipment/KETTLE-2/cook-points"


def stream(*rows: list[Any]) -> dict[str, Any]:
    """What a logger sends: number, age in s, its clock, temperature."""
    columns = ["seq", "age_s", "at", "temperature_c"]
    return {"device": "PI-KETTLE", "columns": columns, "rows": list(rows)}


def test_a_stream_with_a_glitch_and_a_repeat_never_jams(client: Client) -> None:
    bench(client)
    first = stream([1, 20, None, 61.5], [2, 15, None, 4000], [3, 10, None, None], [4, 5, None, 62])
    stored = client.post(PATH, first).json()
    assert (stored["stored"], stored["known"], stored["last_seq"]) == (4, 0, 4)
    assert stored["batch"] is None
    assert stored["set_aside"] == [
        {"seq": 2, "why": "4000 °C is beyond this probe (-20 to 400 °C)"},
        {"seq": 3, "why": "the probe gave nothing"},
    ]
    again = client.post(PATH, stream(*first["rows"], [5, 1, None, "NaN"])).json()
    assert (again["stored"], again["known"], again["last_seq"]) == (1, 4, 5)
    assert [row["seq"] for row in again["set_aside"]] == [2, 3, 5]


def test_a_logger_without_a_right_clock_is_told_how_far_it_is_behind(client: Client) -> None:
    bench(client)
    behind = int((datetime.now(UTC) - timedelta(seconds=12041)).timestamp())
    answer = client.post(PATH, stream([1, None, behind - 60, 20], [2, 0, behind, 21])).json()
    assert answer["clock"]["times_from"] == "age_s"
    assert abs(int(answer["clock"]["behind"]["value"]) - 12041) <= 2
    points = client.read(f"{PATH}?device=PI-KETTLE&sort=seq")["data"]
    times = [datetime.fromisoformat(point["happened_at"]) for point in points]
    assert times[1] - times[0] == timedelta(seconds=60)
    assert abs(datetime.now(UTC) - times[1]) < timedelta(seconds=30)
    assert points[0]["about"] is not None
    assert points[1]["about"] is None


def test_a_sent_at_puts_a_clock_right_too(client: Client) -> None:
    bench(client)
    late = datetime.now(UTC) - timedelta(hours=2)
    body = {
        "device": "PI-KETTLE",
        "points": [{"seq": 1, "at": late.isoformat(), "temperature_c": 20}],
        "sent_at": late.isoformat(),
    }
    answer = client.post(PATH, body).json()
    assert answer["clock"]["times_from"] == "sent_at"
    assert abs(int(answer["clock"]["behind"]["value"]) - 7200) <= 2


def test_a_logger_made_new_finds_its_place(client: Client) -> None:
    bench(client)
    client.post(PATH, stream([7, 20, None, 60], [8, 10, None, 61], [9, 1, None, 62]))
    newest = client.read(f"{PATH}?device=PI-KETTLE&sort=-seq&limit=1")
    assert [point["seq"] for point in newest["data"]] == [9]
    assert newest["next"] is not None
    assert client.read(f"{PATH}?device=PI-KETTLE&limit=1")["data"][0]["seq"] == 9


def test_points_join_the_batch_that_is_in_the_kettle(client: Client) -> None:
    code, _ = ready(client)
    client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": "1379"})
    answer = client.post(PATH, stream([1, 0, None, 60])).json()
    assert answer["batch"] == code
    assert len(client.read(f"/v1/batches/{code}/cook-points")["data"]) == 1


def test_points_that_waited_join_the_batch_whose_day_covers_them(client: Client) -> None:
    stocked(client)
    rows = [["2026-11-23T14:20:00Z", 250], ["2026-11-24T14:20:00Z", 240]]
    body = {"columns": ["at", "temperature_c"], "rows": rows}
    assert client.post(PATH, body).json()["batch"] is None
    codes = [planned(client, "RESIN-ZN", "1.2 kg") for _ in range(2)]
    for day, code in zip(("2026-11-23", "2026-11-24"), codes, strict=True):
        page = {"on": day, "lines": {"1": "1143", "2": "57"}, "yield": "1.2 kg", "finished": True}
        client.made(f"/v1/batches/{code}/pages", page)
    found = [client.read(f"/v1/batches/{code}/cook-points")["data"] for code in codes]
    assert [[point["temperature"]["value"] for point in points] for points in found] == [
        ["250"],
        ["240"],
    ]


def test_a_pour_is_judged_by_the_points_that_waited(client: Client) -> None:
    code, lots = ready(client)
    body = {"columns": ["at", "temperature_c"], "rows": [["2026-11-25T15:10:00Z", 112]]}
    client.post(PATH, body)
    made = client.made(f"/v1/batches/{code}/pages", evening(lots, cook=[]))
    assert made["flags"] == []


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"temperature": "4000 °C"}, "#/temperature"),
        ({"columns": ["temperature_c"], "rows": [["1e999999"]]}, "#/rows/0/0"),
        ({"columns": ["temperature_c"], "rows": [[60], [4000]]}, "#/rows/1/0"),
        ({"columns": ["temperature_c"], "rows": [[60, 1]]}, "#/rows/0"),
    ],
)
def test_a_person_who_enters_the_impossible_is_told_where(
    client: Client, body: dict[str, Any], pointer: str
) -> None:
    code, _ = ready(client)
    answer = client.post(f"/v1/batches/{code}/cook-points", body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == pointer


def test_a_person_enters_one_point_or_several(client: Client) -> None:
    code, _ = ready(client)
    path = f"/v1/batches/{code}/cook-points"
    client.made(path, {"temperature": "464 °F", "remark": "string 3 cm"})
    rows = [["2026-11-25T13:05:00Z", 60, None], ["2026-11-25T14:20:00Z", 240, "string"]]
    made = client.made(path, {"columns": ["at", "temperature_c", "remark"], "rows": rows})
    assert made["stored"] == 2
    shown = [point["temperature"]["value"] for point in client.read(path)["data"]]
    assert sorted(shown) == ["240", "240", "60"]


def test_a_stream_goes_to_a_kettle_only(client: Client) -> None:
    bench(client)
    answer = client.post("/v1/equipment/BAL-6KG/cook-points", stream([1, 0, None, 60]))
    assert answer.status_code == 404


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"columns": ["age_s", "temperature_c"], "rows": [[1, 60]]}, "seq-missing"),
        ({"columns": ["seq"], "rows": [[1]]}, "bad-columns"),
        ({"columns": ["seq", "temperature_c"], "rows": [["x", 60]]}, "bad-row"),
        ({"points": [{"temperature_c": 60}]}, "one-of-two"),
    ],
)
def test_a_malformed_table_is_refused(client: Client, changes: dict[str, Any], code: str) -> None:
    bench(client)
    body = {**stream([1, 0, None, 60]), **changes}
    answer = client.post(PATH, body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["code"] == code


def test_a_row_that_cannot_be_read_never_holds_up_those_after_it(client: Client) -> None:
    bench(client)
    rows: list[list[Any]] = [
        [1, -0.1, None, 60],  # an age rounded on the way
        [2, 1e12, None, 60],
        [3, 5],
        [4, 5, None, [60]],
        [5, None, "2026-11-25T13:05", 60],  # no zone
        [6, None, 12, 60],  # a clock that woke up in 1970
        [7, 5, "no clock at all", 60],
        [8, 1, None, 61],
    ]
    answer = client.post(PATH, stream(*rows))
    assert answer.status_code == 200, answer.text
    stored = answer.json()
    assert (stored["stored"], stored["last_seq"]) == (8, 8)
    assert [row["seq"] for row in stored["set_aside"]] == [2, 3, 4, 5, 6]
    assert stored["set_aside"][3]["why"] == (
        "its time '2026-11-25T13:05' cannot be read; it says 60 °C"
    )
    points = client.read(f"{PATH}?device=PI-KETTLE&sort=seq")["data"]
    read = [point["temperature"] and point["temperature"]["value"] for point in points]
    assert read == ["60", None, None, None, None, None, "60", "61"]


@pytest.mark.parametrize("row", [[], [None, 5, None, 60], ["first", 5, None, 60]])
def test_a_row_without_its_number_cannot_be_kept(client: Client, row: list[Any]) -> None:
    bench(client)
    assert client.post(PATH, stream([1, 5, None, 60], row)).status_code == 422


def test_rows_that_say_no_time_are_told_to_stand_at_now(client: Client) -> None:
    bench(client)
    mixed = client.post(PATH, stream([1, 5, None, 60], [2, None, None, 61])).json()
    assert mixed["assumed"] == {"at": "now, for 1 that say no time"}
    alone = client.post(PATH, {"columns": ["temperature_c"], "rows": [[60]]}).json()
    assert alone["assumed"] == {"at": "now"}


def test_a_point_is_answered_as_it_is_read_back(client: Client) -> None:
    stocked(client)
    code = planned(client, "SPAR", "2 kg", override_reason="The resinate is cooked first.")
    made = client.made(f"/v1/batches/{code}/cook-points", {"temperature": "50.5 °C"})
    assert made["points"][0]["temperature"] == {"value": "50.5", "unit": "°C"}
    assert client.read(f"/v1/batches/{code}/cook-points")["data"] == made["points"]


def test_a_persons_table_whose_times_run_backwards_is_refused_with_its_remedy(
    client: Client,
) -> None:
    code, _ = ready(client)
    path = f"/v1/batches/{code}/cook-points"
    rows = [["2026-11-25T14:20:00Z", 240], ["2026-11-25T13:05:00Z", 60]]
    body = {"columns": ["at", "temperature_c"], "rows": rows}
    fault = client.post(path, body).json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == ("time-backwards", "#/rows/1")
    assert client.read(path)["data"] == []
    assert client.made(path, {**body, **fault["remedies"][0]["send"]})["stored"] == 2


def test_a_stream_without_a_device_is_held_to_its_order_and_one_with_a_device_is_not(
    client: Client,
) -> None:
    bench(client)
    points = [
        {"at": "2026-11-25T14:20:00Z", "temperature_c": 240},
        {"at": "2026-11-25T13:05:00Z", "temperature_c": 60},
    ]
    refused = client.post(PATH, {"points": points})
    assert refused.status_code == 422
    fault = refused.json()["errors"][0]
    assert client.post(PATH, fault["remedies"][0]["send"]).json()["stored"] == 2
    numbered = [{"seq": seq, **point} for seq, point in enumerate(points)]
    assert client.post(PATH, {"device": "PI", "points": numbered}).json()["stored"] == 2


def test_the_offset_of_a_devices_clock_is_kept(client: Client, store: Store) -> None:
    bench(client)
    behind = int((datetime.now(UTC) - timedelta(hours=3)).timestamp())
    client.post(PATH, stream([1, 0, behind, 20]))
    client.post(PATH, stream([2, 0, behind, 20]))
    assert count(store, "device_clocks") == 1  # the same again is no news
