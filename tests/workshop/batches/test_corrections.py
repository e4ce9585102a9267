"""Corrections by line: the old entry stays, and the ledger comes out right."""

from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import evening, left, planned, ready, stocked


def finished(client: Client) -> tuple[str, dict[str, str]]:
    """A resinate that is complete: 1143 g of rosin, 57 g of zinc oxide, 1.15 kg out."""
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    page = {"lines": {"1": "1143", "2": "57"}, "yield": "1.15 kg", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    return code, lots


def correct(client: Client, code: str, line: int, **body: Any) -> dict[str, Any]:
    """A correction with a reason."""
    path = f"/v1/batches/{code}/lines/{line}/corrections"
    return client.made(path, {"reason": "read from the wrong line", **body})


def origins(client: Client, lot: str) -> dict[str, str]:
    rows = client.read(f"/v1/lots/{lot}/origins")["lots"]
    return {row["lot"]: row["amount"]["value"] for row in rows}


def test_a_correction_changes_weighing_stock_and_origin_together(client: Client) -> None:
    code, lots = finished(client)
    made = correct(client, code, 1, replaces={"weighed": "1144 g"})
    assert (made["was"], made["now"]) == (
        f"1143 g of {lots['ROSIN']}",
        f"1144 g of {lots['ROSIN']}",
    )
    assert left(client, lots["ROSIN"])["value"] == "3856"
    assert origins(client, code)[lots["ROSIN"]] == "1144"
    kept = client.read(f"/v1/batches/{code}/weighings?line=1")["data"]
    assert [row["corrected_by"] for row in kept] == [made["entry"], None]
    assert kept[1]["happened_at"] == kept[0]["happened_at"]


def test_a_voided_weighing_gives_everything_back(client: Client) -> None:
    code, lots = finished(client)
    correct(client, code, 2, void=True)
    assert left(client, lots["ZNO"])["value"] == "500"
    assert lots["ZNO"] not in origins(client, code)
    answer = client.post(f"/v1/batches/{code}/lines/2/corrections", {"void": True, "reason": "x"})
    assert answer.json()["type"] == "/problems/nothing-to-correct"


def test_a_corrected_yield_moves_the_lot_that_was_made(client: Client) -> None:
    code, _ = finished(client)
    correct(client, code, 5, replaces={"yield": "1.162 kg"})
    lot = client.read(f"/v1/lots/{code}")
    assert (lot["left"]["value"], lot["came"]["value"]) == ("1162", "1162")
    assert client.read(f"/v1/batches/{code}")["yield"]["value"] == "1.162"
    body = {"void": True, "reason": "x"}
    answer = client.post(f"/v1/batches/{code}/lines/5/corrections", body)
    assert answer.json()["errors"][0]["code"] == "yield-needed"


def test_what_was_seen_at_a_step_is_corrected_as_words(client: Client) -> None:
    code, lots = ready(client)
    page = evening(lots, finished=False)
    page["lines"]["6"] = "string 2 cm"
    client.made(f"/v1/batches/{code}/pages", page)
    made = correct(client, code, 6, replaces={"saw": "string 3 cm"})
    assert (made["was"], made["now"]) == ("string 2 cm", "string 3 cm")
    answer = client.post(
        f"/v1/batches/{code}/lines/6/corrections",
        {"replaces": {"weighed": "3 g"}, "reason": "x"},
    )
    assert answer.json()["errors"][0]["code"] == "replaces-nothing"


def test_a_correction_to_another_material_offers_the_same_two_ways(client: Client) -> None:
    code, lots = finished(client)
    body: dict[str, Any] = {"replaces": {"lot": lots["OIL-LIN"]}, "reason": "pen"}
    path = f"/v1/batches/{code}/lines/1/corrections"
    answer = client.post(path, body)
    assert answer.json()["type"] == "/problems/wrong-material"
    body["replaces"] |= answer.json()["errors"][0]["remedies"][-1]["send"]["replaces"]
    assert client.made(path, body)["flags"][0]["code"] == "substitute"
    assert set(origins(client, code)) == {lots["OIL-LIN"], lots["ZNO"]}


def test_of_several_entries_the_one_meant_is_named(client: Client) -> None:
    code, lots = ready(client)
    for grams in ("700", "679"):
        client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": grams, "part": True})
    body = {"void": True, "reason": "weighed into the wrong pot"}
    path = f"/v1/batches/{code}/lines/2/corrections"
    answer = client.post(path, body)
    assert answer.json()["type"] == "/problems/several-entries"
    way = answer.json()["errors"][0]["remedies"][0]["send"]
    assert client.made(path, {**body, **way})["was"].startswith("700 g")
    assert left(client, lots["OIL-LIN"])["value"] == "4321"
    assert client.post(path, {**body, **way}).json()["type"] == "/problems/already-corrected"


def test_after_completion_a_correction_needs_the_scope_release(
    client: Client, app: Any, store: Store
) -> None:
    code, _ = finished(client)
    bench_hand = Client(app, key_for(store, ["read", "record", "write"]))
    body = {"replaces": {"weighed": "1144 g"}, "reason": "x"}
    answer = bench_hand.post(f"/v1/batches/{code}/lines/1/corrections", body)
    assert (answer.status_code, answer.json()["needs"]) == (403, "release")


@settings(
    max_examples=4, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(grams=st.lists(st.integers(1, 4000), min_size=1, max_size=3), voided=st.booleans())
def test_however_a_line_is_corrected_the_ledger_holds_what_stands(
    client: Client, grams: list[int], voided: bool
) -> None:
    if client.get("/v1/people/MB").status_code == 404:
        stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg", on="2026-11-25")
    lot = client.read(f"/v1/batches/{code}/sheet")["steps"][0]["lines"][0]["lots"][0]
    before = float(left(client, lot)["value"])
    client.made(f"/v1/batches/{code}/weighings", {"line": 1, "amount": "5 g", "lot": lot})
    for amount in grams:
        correct(client, code, 1, replaces={"weighed": f"{amount} g"})
    if voided:
        correct(client, code, 1, void=True)
    taken = 0 if voided else grams[-1]
    after = left(client, lot)
    assert float(after["value"]) * (1000 if after["unit"] == "kg" else 1) == before - taken
    # The next batch finds the shelf as it was.
    if not voided:
        correct(client, code, 1, void=True)
