"""Single entries at the bench, and what they flag."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import evening, left, planned, ready, stocked
from tests.makers.stock import receipt


def test_the_first_weighing_starts_the_batch_and_draws_the_stock(client: Client) -> None:
    code, lots = ready(client)
    made = client.made(
        f"/v1/batches/{code}/weighings", {"material": "OIL-LIN", "amount": "1379", "by": "MB"}
    )
    assert (made["state"], made["verdict"], made["lot"]) == ("running", "within", lots["OIL-LIN"])
    assert made["assumed"] == {
        "lot": lots["OIL-LIN"],
        "balance": "BAL-6KG",
        "line": 2,
        "happened_at": "now",
    }
    assert left(client, lots["OIL-LIN"])["value"] == "3621"


@pytest.mark.parametrize(("grams", "verdict"), [("1383", "over"), ("1375", "under")])
def test_outside_the_tolerance_is_recorded_and_opens_a_deviation(
    client: Client, grams: str, verdict: str
) -> None:
    code, _ = ready(client)
    made = client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": grams})
    assert made["verdict"] == verdict
    assert made["flags"][0]["code"] == "out-of-tolerance"
    assert client.read(f"/v1/batches/{code}")["open_deviations"] == [made["flags"][0]["opens"]]


def test_more_than_there_was_is_recorded_all_the_same(client: Client) -> None:
    code, lots = ready(client)
    made = client.made(f"/v1/batches/{code}/weighings", {"line": 3, "amount": "3.1 kg"})
    assert {flag["code"] for flag in made["flags"]} == {"out-of-tolerance", "stock-negative"}
    assert left(client, lots["OIL-TUNG"])["value"] == "-100"


@pytest.mark.parametrize(
    ("day", "flagged"), [("expires_on", "lot-expired"), ("retest_on", "lot-retest-due")]
)
def test_a_lot_past_its_day_is_flagged_not_refused(client: Client, day: str, flagged: str) -> None:
    code, _ = ready(client)
    old = receipt(client, {"material": "OIL-LIN", "amount": "2 kg", day: "2026-01-31"})
    body = {"line": 2, "amount": "1379 g", "lot": old["lots"][0]["lot"]}
    made = client.made(f"/v1/batches/{code}/weighings", body)
    assert [flag["code"] for flag in made["flags"]] == [flagged]
    assert client.read(f"/v1/batches/{code}")["open_deviations"] == [made["flags"][0]["opens"]]


def test_what_was_never_planned_goes_in_only_when_said_so(client: Client) -> None:
    code, _ = ready(client)
    body: dict[str, Any] = {"material": "ROSIN", "amount": "20 g"}
    answer = client.post(f"/v1/batches/{code}/weighings", body)
    assert answer.json()["type"] == "/problems/wrong-material"
    body |= answer.json()["errors"][0]["remedies"][0]["send"]
    made = client.made(f"/v1/batches/{code}/weighings", body)
    assert (made["line"], made["flags"][0]["code"]) == (0, "unplanned-material")


def test_a_lot_kept_by_count_is_not_weighed_in(client: Client) -> None:
    code, _ = ready(client)
    client.made("/v1/materials", {"code": "JAR-250", "kind": "container"})
    jars = receipt(client, {"material": "JAR-250", "amount": 10})["lots"][0]["lot"]
    body = {"line": 2, "amount": "5 g", "lot": jars, "substitute": True}
    answer = client.post(f"/v1/batches/{code}/weighings", body)
    assert answer.json()["errors"][0]["code"] == "lot-counted"


def test_a_line_that_is_not_weighed_says_which_are(client: Client) -> None:
    code, _ = ready(client)
    answer = client.post(f"/v1/batches/{code}/weighings", {"line": 5, "amount": "1 g"})
    assert answer.json()["errors"][0]["code"] == "line-not-weighed"
    assert "1, 2, 3, 4" in answer.json()["detail"]


def test_a_batch_holds_goes_on_and_ends_once(client: Client) -> None:
    code, _ = ready(client)
    path = f"/v1/batches/{code}/transitions"
    for to in ("running", "held", "running"):
        assert client.made(path, {"to": to})["to"] == to
    answer = client.post(path, {"to": "complete"})
    assert answer.json()["type"] == "/problems/yield-missing"
    assert client.made(path, answer.json()["errors"][0]["remedies"][0]["send"])["to"] == "held"
    client.made(f"/v1/batches/{code}/yields", {"amount": "5.4 kg"})
    assert client.made(path, {"to": "complete"})["lot"] == code
    assert client.post(path, {"to": "running"}).json()["type"] == "/problems/batch-state"


def test_what_comes_after_completion_is_kept_as_late(client: Client) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    page = {"lines": {"1": "1143"}, "yield": "1.15 kg", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    made = client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": "57 g"})
    assert [flag["code"] for flag in made["flags"]] == ["late-entry"]
    assert made["late"]
    origins = client.read(f"/v1/lots/{code}/origins")["lots"]
    assert {row["lot"] for row in origins} == {lots["ROSIN"], lots["ZNO"]}
    answer = client.post(f"/v1/batches/{code}/yields", {"amount": "1 kg"})
    assert answer.json()["type"] == "/problems/batch-state"


def test_a_cost_is_for_those_who_may_see_costs(client: Client, app: Any, store: Store) -> None:
    code = planned(client, "RESIN-ZN", "1.2 kg") if stocked(client) else ""
    page = {"lines": {"1": "1143", "2": "57"}, "yield": "1.15 kg", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    shown = client.read(f"/v1/batches/{code}/mass-balance")
    # 1.143 kg x 3.70 + 57 g x 18.20 per kg = 4.2291 + 1.0374
    assert shown["cost"]["value"] == "5.27"
    assert shown["difference"] == {**shown["difference"], "value": "50", "unit": "g"}
    reader = Client(app, key_for(store, ["read"]))
    assert reader.read(f"/v1/batches/{code}/mass-balance")["cost"] is None


@pytest.mark.parametrize("amount", ["0.0000001 g", "0.0004 g", "0"])
def test_less_than_a_milligram_is_no_weighing_and_no_yield(client: Client, amount: str) -> None:
    code, _ = ready(client)
    weighed = client.post(f"/v1/batches/{code}/weighings", {"line": 2, "amount": amount})
    page = client.post(f"/v1/batches/{code}/pages", {"lines": {"2": amount}})
    out = client.post(f"/v1/batches/{code}/yields", {"amount": f"{amount.split()[0]} g"})
    for answer in (weighed, page, out):
        assert answer.status_code == 422
        assert answer.json()["errors"][0]["code"] == "out-of-range"


def test_what_came_out_of_a_batch_never_went_into_it(client: Client) -> None:
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    body = {"line": 2, "amount": "50 g", "lot": code, "substitute": True}
    answer = client.post(f"/v1/batches/{code}/weighings", body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["code"] == "lot-of-this-batch"
    change = {"replaces": {"lot": code, "substitute": True}, "reason": "misread"}
    answer = client.post(f"/v1/batches/{code}/lines/2/corrections", change)
    assert answer.json()["errors"][0]["pointer"] == "#/replaces/lot"
    assert client.read(f"/v1/lots/{code}")["left"] == {"value": "5478", "unit": "g"}


def test_a_time_is_answered_in_utc_as_it_is_read_back(client: Client) -> None:
    code, _ = ready(client)
    note = {"text": "foam", "happened_at": "2026-09-15T14:35:00+01:00"}
    made = client.made(f"/v1/batches/{code}/notes", note)
    moved = {"to": "running", "happened_at": "2026-09-15T14:30:00+01:00"}
    shifted = client.made(f"/v1/batches/{code}/transitions", moved)
    assert made["happened_at"] == "2026-09-15T13:35:00Z"
    assert shifted["happened_at"] == "2026-09-15T13:30:00Z"
    assert client.read(f"/v1/batches/{code}")["started_at"] == "2026-09-15T13:30:00Z"


def test_what_is_still_to_come_was_not_weighed(client: Client) -> None:
    code, lots = ready(client)
    before = left(client, lots["OIL-LIN"])
    body = {"line": 2, "amount": "1379 g", "happened_at": "2190-01-01T00:00:00Z"}
    answer = client.post(f"/v1/batches/{code}/weighings", body)
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["pointer"]) == (422, "#/happened_at")
    assert left(client, lots["OIL-LIN"]) == before
    (way,) = fault["remedies"]
    client.made(f"/v1/batches/{code}/weighings", {**body, **way["send"]})
