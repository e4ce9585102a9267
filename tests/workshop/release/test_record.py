"""The batch record through HTTP: frozen at completion and at each release, in three forms."""

import hashlib
import re
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, count
from tests.makers import batches, jars, pots
from tests.makers.batches import evening
from tests.press.pages import HOSTILE, Page
from tests.workshop.release.test_whole_line import kettles, on_sale

HTML = {"Accept": "text/html"}


def record(client: Client, code: str) -> str:
    return f"/v1/batches/{code}/record"


def stands(body: dict[str, Any]) -> dict[str, str]:
    return {one["item"]: one["stands"] for one in body["items"]}


@pytest.fixture
def done(client: Client) -> str:
    """A varnish made in one evening; its code."""
    code, lots = batches.ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    return code


def test_completion_freezes_the_first_revision(client: Client, done: str) -> None:
    frozen = client.read(record(client, done) + "/revisions/1")
    assert (frozen["revision"], frozen["draft"], frozen["state"]) == (1, False, "complete")
    assert {stands(frozen)[item] for item in ("A6", "A8", "A9", "A10", "A13")} == {"not yet"}
    assert re.fullmatch(r"[0-9a-f]{64}", frozen["sha256"])
    now = client.read(record(client, done))
    assert (now["draft"], now["frozen"], now["differs_from_frozen"]) == (True, [1], [])
    assert now["items"] == frozen["items"]


def test_what_a_page_writes_after_the_yield_is_in_it_too(client: Client) -> None:
    code, lots = batches.ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots, lines={**evening(lots)["lines"]}))
    frozen = client.read(record(client, code) + "/revisions/1")
    (steps,) = [one["data"]["steps"] for one in frozen["items"] if one["item"] == "A11"]
    assert "complete" in [step["what"] for step in steps]


def test_a_dry_run_and_a_refused_completion_freeze_nothing(client: Client, store: Store) -> None:
    code, lots = batches.ready(client)
    before = count(store, "documents")
    client.post(f"/v1/batches/{code}/pages?dry_run=true", evening(lots))
    client.post(f"/v1/batches/{code}/transitions", {"to": "complete"})
    assert count(store, "documents") == before
    assert client.read(record(client, code))["frozen"] == []


def test_each_release_of_a_lot_filled_from_it_freezes_the_next(client: Client) -> None:
    bulk, number = on_sale(client)
    path = record(client, bulk)
    second = client.read(path + "/revisions/2")
    assert second["filled"] == [{"lot": number, "pack": "250ML", "count": 8, "quality": "released"}]
    assert stands(second)["A9"] == "yes"
    # The place was not looked at, and now it is too late to wait for it.
    assert (stands(second)["A6"], stands(second)["A13"]) == ("no", "no")
    later = jars.filled(client, bulk)
    assert stands(client.read(path))["A6"] == "no"
    jars.labelled(client, later)
    client.made(f"/v1/lots/{later}/releases", {"by": "MB"})
    assert client.read(path)["frozen"] == [1, 2, 3]
    assert [one["lot"] for one in client.read(path + "/revisions/3")["filled"]] == [number, later]


def test_a_release_in_a_dry_run_freezes_nothing(client: Client, store: Store) -> None:
    bulk = kettles(client)
    jars.tried(client, bulk)
    number = jars.filled(client, bulk)
    jars.labelled(client, number)
    client.post(f"/v1/lots/{number}/releases?dry_run=true", {"with_bulk": True, "by": "MB"})
    assert client.read(record(client, bulk))["frozen"] == [1]


def test_a_lot_that_no_batch_made_is_released_without_a_record(
    client: Client, store: Store
) -> None:
    jars.released(client, store)
    assert client.get(record(client, jars.BULK)).status_code == 404


def test_what_was_corrected_since_is_named(client: Client, done: str) -> None:
    fix = {"replaces": {"weighed": "1380 g"}, "reason": "misread", "by": "MB"}
    client.made(f"/v1/batches/{done}/lines/2/corrections", fix)
    now = client.read(record(client, done))
    assert {"A3", "A4"} <= set(now["differs_from_frozen"])
    assert "A0" not in now["differs_from_frozen"]
    old = client.read(record(client, done) + "/revisions/1")
    assert old["items"][4]["data"]["lines"][1]["weighed"]["value"] == "1379"


def test_a_bulk_check_counts_for_the_fills_of_its_day_only(client: Client) -> None:
    bulk, number = on_sale(client)
    at = {"moment": "before", "place": "both", "clear": True, "by": "MB"}
    client.made(f"/v1/lots/{bulk}/place-checks", {**at, "happened_at": "2026-01-05T09:00:00+00:00"})
    lacks = client.read(record(client, bulk))["items"][6]["lacks"]
    assert len(lacks) == 4
    client.made(f"/v1/lots/{bulk}/place-checks", at)
    client.made(f"/v1/lots/{number}/place-checks", {**at, "moment": "after"})
    assert client.read(record(client, bulk))["items"][6]["stands"] == "yes"


def test_a_long_log_is_shown_thinned_with_its_extremes_and_a_digest_of_all(client: Client) -> None:
    code, _ = batches.ready(client)
    client.made(f"/v1/batches/{code}/transitions", {"to": "running"})
    points = [
        {"temperature": 60 + (n if n < 200 else 400 - n), "happened_at": _minute(n)}
        for n in range(400)
    ]
    for one in points[:300:3] + points[200:201]:
        client.made(f"/v1/batches/{code}/cook-points", one)
    (log,) = client.read(record(client, code))["items"][5]["data"]["log"]
    assert (log["count"], log["highest"]["value"]) == (101, "260")
    assert len(log["points"]) < 35
    assert "260" in [point["temperature"]["value"] for point in log["points"]]
    assert len(log["sha256"]) == 64


def _minute(number: int) -> str:
    return f"2026-11-25T{8 + number // 60:02d}:{number % 60:02d}:00+00:00"


def test_the_page_holds_every_item_under_the_policy_of_pages(client: Client, done: str) -> None:
    answer = client.get(record(client, done), headers=HTML)
    assert answer.headers["content-type"].startswith("text/html")
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    page = Page(answer.content)
    for item in (f"A{number}" for number in range(14)):
        assert any(head.startswith(f"{item} ") for head in page.words["h2"])
    assert page.tags["script"] == 0
    assert client.get(record(client, done) + "?form=html").content == answer.content
    assert client.get(record(client, done), headers={"Accept": "image/png"}).status_code == 406


def test_hostile_words_stay_words_on_the_page_and_stop_no_press(client: Client) -> None:
    code, lots = batches.ready(client)
    lines = {**evening(lots)["lines"], "6": HOSTILE[:200]}
    client.made(f"/v1/batches/{code}/pages", evening(lots, lines=lines))
    page = Page(client.get(record(client, code), headers=HTML).content)
    assert (page.tags["script"], page.tags["img"]) == (0, 0)
    assert HOSTILE[:40] in "".join(page.words["td"])
    assert client.get(record(client, code) + ".pdf").content.startswith(b"%PDF")


@pytest.mark.parametrize("path", [".pdf", "/revisions/1.pdf"])
def test_a_record_is_the_same_pdf_each_time(client: Client, done: str, path: str) -> None:
    answer = client.get(record(client, done) + path)
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith(f'inline; filename="{done}-record')
    assert answer.content == client.get(record(client, done) + path).content
    letter = client.get(record(client, done) + path + "?paper=letter").content
    assert re.search(rb"/MediaBox \[ 0 0 612 792", letter)


def test_the_frozen_bytes_have_the_digest_that_is_told(client: Client, done: str) -> None:
    answer = client.get(record(client, done) + "/revisions/1.json")
    told = client.read(record(client, done) + "/revisions/1")["sha256"]
    assert hashlib.sha256(answer.content).hexdigest() == told
    assert answer.headers["etag"] == f'"{told}"'
    assert answer.json()["batch"] == done


def test_what_was_never_frozen_or_planned_is_not_found(client: Client, done: str) -> None:
    for path in ("/revisions/7", "/revisions/7.pdf", "/revisions/7.json"):
        answer = client.get(record(client, done) + path)
        assert (answer.status_code, answer.json()["type"]) == (404, "/problems/document-unknown")
    assert client.get(record(client, "SPAR-1999-01-X")).json()["type"] == "/problems/batch-unknown"
    assert client.get(record(client, done) + "/revisions/0").status_code == 422


def test_what_was_seen_and_adjusted_in_the_pot_stands_in_the_record(client: Client) -> None:
    code = pots.pot(client)
    path = f"/v1/batches/{code}"
    pots.aimed(client, code)
    pots.read(client, code, "95 s", by="MB")
    pots.add(client, code, "40 g", by="MB")
    pots.read(client, code, "63 s", by="MB")
    client.made(f"{path}/events", {"event": "string-test", "length": "3 cm", "by": "MB"})
    colour = {"scale": "Gardner", "reading": "9", "sample": "liquid"}
    drop = {"minutes": 45, "temperature": 240, "colour": colour, "by": "MB"}
    client.made(f"{path}/colour-ladder", drop)
    items = {one["item"]: one["data"] for one in client.read(record(client, code))["items"]}
    (adjusted,) = items["A5"]["adjustments"]
    assert (adjusted["material"], adjusted["state"]) == ("WSPIRIT", "reached")
    assert [step["read"]["value"] for step in adjusted["steps"]] == ["95", "63"]
    assert adjusted["steps"][0]["added"][0]["weighed"]["value"] == "40"
    assert [one["event"] for one in items["A5"]["events"]] == ["string-test"]
    assert [one["colour"]["reading"] for one in items["A5"]["colour"]] == ["9"]
    assert items["A4"]["lines"][-1]["verdict"] == "not planned"
    page = client.get(record(client, code), headers=HTML).text
    assert "brought to 62" in page
    assert client.get(record(client, code) + ".pdf").status_code == 200


def test_stages_date_their_lines_and_show_what_came_out_of_each(client: Client) -> None:
    code, lots = batches.ready(client)
    lines = evening(lots)["lines"]
    client.made(f"/v1/batches/{code}/pages", {"on": "2026-11-25", "by": "MB", "lines": lines})
    path = record(client, code)
    assert any("(heat) has no time" in lack for lack in _item(client, path, "A1")["lacks"])
    stage = {
        "stage": "cook",
        "started_at": "2026-11-25T13:00:00Z",
        "out": [{"part": "clear", "amount": "3.40 kg"}],
        "ended_at": "2026-11-25T15:00:00Z",
        "equipment": ["KETTLE-2"],
        "by": "MB",
    }
    client.made(f"/v1/batches/{code}/stages", stage)
    times = _item(client, path, "A1")
    assert not any("(heat)" in lack for lack in times["lacks"])
    assert {"cook begun", "cook ended"} <= {step["what"] for step in times["data"]["steps"]}
    (worked,) = _item(client, path, "A7")["data"]["stages"]
    # 1149.5 + 1379 + 918.5 g were weighed in at lines of the cook.
    assert worked["weighed_in"] == {"value": "3447", "unit": "g"}
    assert worked["of_charge"] == {"value": "98.6", "unit": "%"}
    tools = _item(client, path, "A2")["data"]["equipment"]
    assert {"KETTLE-2", "BAL-6KG"} >= {one["code"] for one in tools} >= {"KETTLE-2"}
    assert client.get(path, headers=HTML).text.count("Of what was in") == 1


def _item(client: Client, path: str, name: str) -> Any:
    return next(one for one in client.read(path)["items"] if one["item"] == name)
