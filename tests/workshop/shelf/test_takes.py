"""Stock takes: lots listed, counted by page, the difference moved at the time of the count."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, count, dump, key_for
from tests.makers.panels import merged
from tests.makers.shelf import (
    below_nothing,
    left,
    oil,
    open_negatives,
    page,
    take,
    ways,
    weighed_out,
)
from tests.makers.stock import goods, received


def days_ago(days: int, **more: Any) -> datetime:
    return datetime.now(UTC).replace(microsecond=0) - timedelta(days=days, **more)


def said(at: datetime) -> str:
    return at.isoformat()


@pytest.fixture
def shop(client: Client) -> Client:
    """A workshop whose clock is UTC, so that a day is a day."""
    assert client.patch("/v1/workshop", {"zone": "UTC"}).status_code == 200
    return client


def test_a_sheet_lists_what_the_ledger_has_and_ends_in_the_page_to_send(client: Client) -> None:
    goods(client, "JAR-250", "container")
    jars = received(client, "JAR-250", 100)
    lot = received(client, "OIL-LIN", "5 kg")
    empty = received(client, "OIL-LIN", "1 kg")
    weighed_out(client, empty, "1 kg")
    number = take(client)
    sheet = client.read(f"/v1/stock-takes/{number}/sheet")
    assert [(row["line"], row["lot"], row["in"]) for row in sheet["lines"]] == [
        (1, jars, "pcs"),
        (2, lot, "g"),
    ]
    assert list(sheet)[-1] == "page_to_send"
    assert sheet["page_to_send"]["lines"] == {"1": None, "2": None}
    assert "5000" not in str(sheet)  # what the ledger says is counted, not copied


def test_a_count_moves_the_difference_and_a_blank_line_is_not_counted(shop: Client) -> None:
    first, second = oil(shop), oil(shop, "3 kg")
    number = take(shop)
    made = page(shop, number, {"1": "4.9 kg", "2": ""})
    (line,) = made["lines"]
    assert (line["lot"], line["count"]["difference"]["value"]) == (first, "-100")
    assert (left(shop, first), left(shop, second)) == ("4900", "3000")
    assert made["not_counted"] == 1
    moved = shop.read(f"/v1/movements/{line['count']['movement']}")
    assert (moved["cause"], moved["cause_ref"]) == ("stock-take", number)


def test_what_happened_after_the_count_is_left_as_it_is(shop: Client) -> None:
    lot = oil(shop)
    number = take(shop)
    weighed_out(shop, lot, "1 kg", happened_at=said(days_ago(0, hours=1)))
    counted = days_ago(0, hours=3)
    made = page(shop, number, {"1": "4.8 kg"}, counted_at=said(counted))
    assert made["lines"][0]["count"]["ledger"]["value"] == "5000"
    assert left(shop, lot) == "3800"  # 4.8 kg were there, and 1 kg went since


def test_a_delivery_entered_after_the_count_was_there_all_the_same(shop: Client) -> None:
    lot = received(shop, "OIL-LIN", "5 kg")
    counted = said(days_ago(0, hours=1))
    made = page(shop, take(shop), {"1": "4.9 kg"}, counted_at=counted)
    assert [flag["code"] for flag in made["flags"]] == ["counted-before-it-came"]
    assert left(shop, lot) == "4900"


def test_no_difference_moves_nothing(shop: Client, store: Store) -> None:
    oil(shop)
    before = count(store, "movements")
    made = page(shop, take(shop), {"1": "5 kg"})
    assert made["lines"][0]["count"]["movement"] is None
    assert count(store, "movements") == before


@pytest.mark.parametrize("nothing", ["0", 0, "0 kg", {"value": 0, "unit": "g"}])
def test_nothing_may_be_counted_in_any_spelling(shop: Client, nothing: Any) -> None:
    lot = oil(shop)
    page(shop, take(shop), {"1": nothing})
    assert left(shop, lot) == "0"


def test_the_end_of_an_earlier_day_is_taken_and_what_is_unclear_is_said(shop: Client) -> None:
    lot = oil(shop)
    day = days_ago(2)
    noon = day.replace(hour=12, minute=0, second=0)
    weighed_out(shop, lot, "1 kg", happened_at=said(noon))
    made = page(shop, take(shop), {"1": "4.1 kg"}, counted_on=day.date().isoformat())
    assert made["counted_at"] == f"{day.date().isoformat()}T23:59:59Z"
    assert made["lines"][0]["count"]["about"] == "PT1440M"
    assert [flag["code"] for flag in made["flags"]] == ["order-unclear"]
    assert left(shop, lot) == "4100"


def test_a_count_closes_what_stood_open_of_the_lot(shop: Client) -> None:
    lot = below_nothing(shop)
    (opened,) = open_negatives(shop, lot)
    made = page(shop, take(shop, below_nothing=True), {"1": "250 g"})
    assert made["concluded"] == [opened]
    assert left(shop, lot) == "250"
    found = shop.read(f"/v1/deviations/{opened}")
    assert not found["open"]
    assert "250 g counted" in found["conclusion"]


def test_a_count_that_does_not_explain_it_leaves_it_open(shop: Client) -> None:
    lot = oil(shop)
    number = take(shop)
    weighed_out(shop, lot, "6 kg", happened_at=said(days_ago(0, hours=1)))
    opened = open_negatives(shop, lot)
    # Counted before the 6 kg went, and found as the ledger said: they are still not explained.
    made = page(shop, number, {"1": "5 kg"}, counted_at=said(days_ago(0, hours=3)))
    assert made["concluded"] == []
    assert open_negatives(shop, lot) == opened
    # There were 6.2 kg: that explains them.
    fixed = {"replaces": {"counted": "6.2 kg"}, "reason": "the second can was overlooked"}
    shop.made(f"/v1/stock-takes/{number}/lines/1/corrections", fixed)
    assert open_negatives(shop, lot) == []
    assert left(shop, lot) == "200"


def test_a_lot_that_was_found_gets_a_line_of_its_own(shop: Client) -> None:
    first = oil(shop)
    gone = oil(shop, "1 kg")
    weighed_out(shop, gone, "1 kg")
    number = take(shop)
    found = {"found": [{"lot": gone.replace("-", " ").lower(), "counted": "40 g"}]}
    made = page(shop, number, {"1": "5 kg"}, **found)
    assert [row["line"] for row in made["lines"]] == [1, 2]
    rows = shop.read(f"/v1/stock-takes/{number}")["rows"]
    assert [(row["lot"], row["found"]) for row in rows] == [(first, False), (gone, True)]
    assert left(shop, gone) == "40"


def test_the_same_page_twice_is_one_page(shop: Client) -> None:
    lot = oil(shop)
    number = take(shop)
    body = {"counted_on": "2026-11-01", "lines": {"1": "4 kg"}}
    path = f"/v1/stock-takes/{number}/pages"
    assert shop.post(path, body).status_code == 201
    again = shop.post(path, body)
    assert (again.status_code, again.json()["type"]) == (409, "/problems/page-known")
    assert left(shop, lot) == "4000"


def test_a_dry_run_answers_the_same_and_writes_nothing(shop: Client, store: Store) -> None:
    oil(shop)
    path = f"/v1/stock-takes/{take(shop)}/pages"
    before = dump(store)
    tried = shop.post(f"{path}?dry_run=true", {"lines": {"1": "4 kg"}})
    assert tried.status_code == 200
    assert tried.json()["lines"][0]["count"]["difference"]["value"] == "-1000"
    assert dump(store) == before


def test_all_that_is_wrong_on_a_page_is_told_at_once_and_nothing_written(
    shop: Client, store: Store
) -> None:
    oil(shop)
    number = take(shop)
    before = dump(store)
    body = {"lines": {"1": "3 pcs", "9": "1 kg"}, "found": [{"lot": "X-1", "counted": "1 kg"}]}
    answer = shop.post(f"/v1/stock-takes/{number}/pages", body)
    assert answer.status_code == 422
    found = {fault["pointer"]: fault["code"] for fault in answer.json()["errors"]}
    assert found == {
        "#/lines/1": "unit-missing",
        "#/lines/9": "stock-take-line-unknown",
        "#/found/0/lot": "lot-unknown",
    }
    assert dump(store) == before


REFUSED = [
    ({"lines": {}}, "page-empty"),
    ({"lines": {"1": None, "2": " "}}, "page-empty"),
    ({"lines": {"1": "-3 kg"}}, "out-of-range"),
    ({"lines": {"1": "5 gr"}}, None),
    ({"lines": {"1": True}}, "wrong-type"),
    ({"lines": {"one": "5 kg"}}, None),
    ({"lines": {"1": "5 kg"}, "counted_on": "2999-01-01"}, None),
    ({"lines": {"1": "5 kg"}, "counted_at": "half past"}, "bad-time"),
]


@pytest.mark.parametrize(("body", "code"), REFUSED, ids=lambda value: str(value)[:40])
def test_a_page_that_cannot_be_read_is_refused_in_plain_words(
    shop: Client, body: Any, code: str | None
) -> None:
    oil(shop)
    answer = shop.post(f"/v1/stock-takes/{take(shop)}/pages", body)
    assert answer.status_code == 422
    assert code in {None, answer.json()["errors"][0]["code"]}


def test_each_way_out_of_a_refused_page_leads_out(shop: Client) -> None:
    oil(shop)
    number = take(shop)
    path = f"/v1/stock-takes/{number}/pages"
    lot = shop.read(f"/v1/stock-takes/{number}/sheet")["lines"][0]["lot"]
    later = (datetime.now(UTC) + timedelta(days=3)).date().isoformat()
    slip = lot[:-1] + ("A" if lot[-1] != "A" else "B")
    wrong = (
        {"lines": {"1": "4 kg"}, "counted_on": later},
        {"lines": {"1": "4.1 kg"}, "counted_at": f"{later}T12:00:00Z"},
        {"lines": {"1": "4.2 kg", "7": "1 kg"}},
        {"found": [{"lot": lot, "counted": "4.3 kg"}]},
    )
    for body in wrong:
        problem = shop.post(path, body).json()
        sent = ways(problem)
        assert sent, problem
        for send in sent:
            assert shop.post(path, merged(body, send)).status_code == 201, (problem, send)
    typo = shop.post(path, {"found": [{"lot": slip, "counted": "1 kg"}]}).json()
    assert typo["errors"][0]["code"] in {"lot-mistyped", "lot-unknown"}


def test_a_time_the_clocks_showed_twice_is_asked_for(client: Client) -> None:
    client.patch("/v1/workshop", {"zone": "Europe/London"})
    oil(client)
    body = {"lines": {"1": "4 kg"}, "counted_on": "2026-10-25", "counted_at": "01:30"}
    path = f"/v1/stock-takes/{take(client)}/pages"
    problem = client.post(path, body).json()
    assert problem["errors"][0]["code"] == "time-ambiguous"
    sent = ways(problem)
    assert len(sent) == 2
    assert client.post(path, merged(body, sent[0])).status_code == 201


def test_what_is_to_be_counted_may_be_named_or_narrowed(shop: Client) -> None:
    goods(shop, "JAR-250", "container")
    received(shop, "JAR-250", 100)
    lot = oil(shop)
    assert shop.made("/v1/stock-takes", {"materials": ["OIL-LIN"]})["lines"] == 1
    named = shop.made("/v1/stock-takes", {"lots": [lot, lot]})
    assert (named["lines"], named["covers"]) == (1, "1 lot that was named")
    assert shop.made("/v1/stock-takes", {"kind": "received"})["lines"] == 2
    body = {"below_nothing": True}
    problem = shop.post("/v1/stock-takes", body)
    assert (problem.status_code, problem.json()["type"]) == (422, "/problems/nothing-to-count")
    for send in ways(problem.json()):
        assert shop.post("/v1/stock-takes", merged(body, send)).status_code == 201


def test_counting_takes_a_key_that_records_and_no_more(shop: Client, store: Store) -> None:
    oil(shop)
    number = take(shop)
    path = f"/v1/stock-takes/{number}/pages"
    recorder = Client(shop.app, key_for(store, ["record"]))
    assert recorder.post(path, {"lines": {"1": "4 kg"}}).status_code == 201
    assert recorder.post("/v1/stock-takes", {}).status_code == 403
