"""Counts corrected: the old difference taken back, the new one reckoned by the ledger as known."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, count
from tests.makers.shelf import below_nothing, left, open_negatives, page, take, weighed_out
from tests.makers.stock import goods, receipt, received

WHY = {"reason": "the scale stood on a cloth"}


def ago(hours: int) -> str:
    return (datetime.now(UTC) - timedelta(hours=hours)).isoformat()


def corrected(client: Client, number: str, line: int = 1, **more: Any) -> Any:
    path = f"/v1/stock-takes/{number}/lines/{line}/corrections"
    return client.made(path, {**WHY, **more})


def counted(client: Client, amount: str = "4 kg", **more: Any) -> tuple[str, str]:
    """A lot of 5 kg and a stock take in which less of it was counted."""
    goods(client, "OIL-LIN")
    line = {"material": "OIL-LIN", "amount": "5 kg"}
    lot: str = receipt(client, line, on="2026-10-01")["lots"][0]["lot"]
    number = take(client)
    page(client, number, {"1": amount}, **{"counted_on": "2026-11-01", **more})
    return lot, number


def test_a_corrected_count_stands_in_the_place_of_the_old_one(client: Client) -> None:
    lot, number = counted(client)
    fixed = corrected(client, number, replaces={"counted": "4.6 kg"})
    assert (fixed["count"]["difference"]["value"], left(client, lot)) == ("-400", "4600")
    assert fixed["flags"] == []  # what the old count had moved is no matter of doubt
    (row,) = client.read(f"/v1/stock-takes/{number}")["rows"]
    assert row["count"]["corrects"] == fixed["corrects"]
    assert row["count"]["reason"] == WHY["reason"]


def test_a_voided_count_leaves_the_ledger_as_it_was(client: Client, store: Store) -> None:
    lot, number = counted(client)
    gone = corrected(client, number, void=True)
    assert (gone["count"], left(client, lot)) == (None, "5000")
    assert client.read(f"/v1/stock-takes/{number}")["rows"][0]["count"] is None
    assert count(store, "movements") == 3  # what came, the difference, and the same taken back
    path = f"/v1/stock-takes/{number}/lines/1/corrections"
    again = client.post(path, {"void": True, **WHY})
    assert (again.status_code, again.json()["type"]) == (404, "/problems/stock-take-line-unknown")


def test_a_remark_alone_is_corrected_without_touching_the_amount(client: Client) -> None:
    lot, number = counted(client)
    fixed = corrected(client, number, replaces={"remark": "in the small can"})
    assert (fixed["count"]["remark"], left(client, lot)) == ("in the small can", "4000")


def test_a_voided_count_opens_again_what_it_had_explained(client: Client) -> None:
    lot = below_nothing(client)
    (opened,) = open_negatives(client, lot)
    number = take(client, below_nothing=True)
    page(client, number, {"1": "250 g"})
    assert open_negatives(client, lot) == []
    gone = corrected(client, number, void=True)
    assert gone["reopened"] == [opened]
    assert open_negatives(client, lot) == [opened]
    assert left(client, lot) == "-1000"


def test_what_comes_late_is_shown_until_the_count_is_reckoned_again(client: Client) -> None:
    lot, number = counted(client, "4 kg", counted_at=ago(2), counted_on=None)
    weighed_out(client, lot, "300 g", happened_at=ago(3))
    shown = client.read(f"/v1/stock-takes/{number}")["rows"][0]["count"]
    assert shown["late"]["value"] == "-300"
    assert left(client, lot) == "3700"  # reckoned twice: in the count, and by itself
    fixed = corrected(client, number, replaces={"counted": "4 kg"})
    assert (fixed["count"]["late"], left(client, lot)) == (None, "4000")


def test_of_two_counts_the_later_one_is_corrected_first(client: Client) -> None:
    lot, first = counted(client)
    second = take(client)
    page(client, second, {"1": "3.9 kg"})
    path = f"/v1/stock-takes/{first}/lines/1/corrections"
    refused = client.post(path, {"void": True, **WHY})
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/counted-afterwards")
    corrected(client, second, void=True)
    corrected(client, first, void=True)
    assert left(client, lot) == "5000"


def test_the_difference_of_a_count_is_corrected_at_its_line(client: Client) -> None:
    _, number = counted(client)
    (row,) = client.read(f"/v1/stock-takes/{number}")["rows"]
    path = f"/v1/movements/{row['count']['movement']}/corrections"
    refused = client.post(path, {"void": True, **WHY})
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/corrected-elsewhere")


@pytest.mark.parametrize(
    "body", [{}, {"replaces": {}}, {"void": True, "replaces": {"remark": "x"}}]
)
def test_a_correction_says_one_thing(client: Client, body: dict[str, Any]) -> None:
    _, number = counted(client)
    path = f"/v1/stock-takes/{number}/lines/1/corrections"
    assert client.post(path, {**WHY, **body}).status_code == 422


def test_nothing_is_corrected_where_nothing_was_counted(client: Client) -> None:
    received(client, "OIL-LIN", "5 kg")
    number = take(client)
    for name in (number, "ST-26-999"):
        path = f"/v1/stock-takes/{name}/lines/1/corrections"
        assert client.post(path, {"void": True, **WHY}).status_code == 404


def test_a_count_is_corrected_after_its_conclusion_was_taken_back(client: Client) -> None:
    lot = below_nothing(client)
    number = take(client)
    (opened,) = page(client, number, {"1": "0 g"})["concluded"]
    client.made(f"/v1/deviations/{opened}/conclusions/corrections", {"void": True, **WHY})
    assert corrected(client, number, void=True)["reopened"] == []
    assert (left(client, lot), open_negatives(client, lot)) == ("-1000", [opened])


def test_a_count_is_not_corrected_to_a_blank(client: Client) -> None:
    _, number = counted(client)
    path = f"/v1/stock-takes/{number}/lines/1/corrections"
    answer = client.post(path, {**WHY, "replaces": {"counted": None}})
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["pointer"]) == (422, "#/replaces/counted")
    corrected(client, number, replaces={"remark": "in two cans"})


def test_a_count_entered_after_a_later_one_says_so_and_that_one_is_put_right(
    client: Client,
) -> None:
    """What was counted last is what is there, whatever was entered last."""
    lot, number = counted(client, "4 kg", counted_on="2026-11-10")
    made = page(client, number, {"1": "4.5 kg"}, counted_on="2026-11-01")
    (flag,) = [each for each in made["flags"] if each["code"] == "counted-later"]
    assert left(client, lot) == "3500"  # 500 g were missing on the first, and 1 kg on the tenth
    (row,) = client.read(f"/v1/stock-takes/{number}")["rows"]
    assert (row["count"]["counted"]["value"], row["count"]["late"]["value"]) == ("4000", "-500")
    client.made(
        flag["concluded_by"].removeprefix("POST "), {**WHY, "replaces": {"counted": "4 kg"}}
    )
    assert left(client, lot) == "4000"
    (row,) = client.read(f"/v1/stock-takes/{number}")["rows"]
    assert row["count"]["late"] is None
