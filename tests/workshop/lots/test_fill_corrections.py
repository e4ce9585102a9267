"""Fills put right: what was taken goes back or is drawn anew, and the check is made again."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers import jars
from tests.makers.lots import BULK, fill, left, ready
from tests.makers.panels import merged, remedies

Held = dict[str, str]
REASON = {"reason": "the tally was of another crate"}


@pytest.fixture
def held(client: Client, store: Store) -> Held:
    return ready(client, store)


def correct(client: Client, lot: str, **body: Any) -> dict[str, Any]:
    return client.made(f"/v1/lots/{lot}/fills/corrections", {**REASON, **body})


def origins(client: Client, lot: str) -> dict[str, Any]:
    rows = client.read(f"/v1/lots/{lot}/origins")["lots"]
    return {row["lot"]: row["amount"] for row in rows if row["depth"] == 1}


def test_a_weight_put_right_moves_bulk_and_origin_and_is_judged_anew(
    client: Client, held: Held
) -> None:
    number = fill(client)["lot"]
    made = correct(client, number, replaces={"gross_g": [375.9, 366.4, 376.1]})
    assert made["check"]["verdict"] == "fail"
    assert [flag["code"] for flag in made["flags"]] == ["fill-short"]
    # 375.9 + 366.4 + 376.1 - 3 x 151 g
    assert made["filled"] == {"value": "665.4", "unit": "g"}
    assert left(client, BULK) == pytest.approx(5478 - 665.4)
    assert origins(client, number)[BULK] == {"value": "665.4", "unit": "g"}
    shown = client.read(f"/v1/lots/{number}/fills")["fills"]
    assert [row["gross"]["value"] for row in shown[0]["weights"]] == ["375.9", "366.4", "376.1"]
    assert (left(client, held["jars"]), left(client, number)) == (97, 3)


def test_fewer_packs_give_jars_and_lids_back(client: Client, held: Held) -> None:
    number = fill(client, 375.9, 376.4, count=5)["lot"]
    correct(client, number, replaces={"count": 4})
    assert (left(client, held["jars"]), left(client, held["lids"])) == (96, 96)
    lot = client.read(f"/v1/lots/{number}")
    assert (lot["left"], lot["came"]) == (4, 4)
    assert client.read(f"/v1/lots/{BULK}/fills")["fills"][0]["count"] == 4


def test_jars_from_another_lot_change_places(client: Client, held: Held) -> None:
    number = fill(client)["lot"]
    other = client.made(
        "/v1/receipts", {"from": "Reed & Daughter", "lines": [{"material": "JAR-250", "amount": 9}]}
    )["lots"][0]["lot"]
    correct(client, number, replaces={"container_lot": other})
    assert (left(client, held["jars"]), left(client, other)) == (100, 6)
    assert held["jars"] not in origins(client, number)
    assert origins(client, number)[other] == 3


def test_a_voided_fill_gives_everything_back(client: Client, held: Held) -> None:
    number = fill(client)["lot"]
    made = correct(client, number, void=True)
    assert (made["void"], made["reason"]) == (True, REASON["reason"])
    assert (left(client, BULK), left(client, number)) == (5478.0, 0)
    assert (left(client, held["jars"]), left(client, held["lids"])) == (100, 100)
    assert origins(client, number) == {}
    assert client.read(f"/v1/lots/{BULK}/fills")["fills"] == []
    again = client.post(f"/v1/lots/{number}/fills/corrections", {**REASON, "void": True})
    assert (again.status_code, again.json()["type"]) == (404, "/problems/fill-unknown")


def test_the_density_as_it_is_known_now_is_taken(client: Client, held: Held) -> None:
    made = fill(client)
    figure = made["assumed"]["density"]
    put = {"value": "0.92 kg/l", "basis": "measured", "method": "pyknometer, again"}
    client.made(
        f"/v1/figures/{figure}/corrections", {"replaces": put, "reason": "a wet pyknometer"}
    )
    again = correct(client, made["lot"], replaces={"tare": "151 g"})
    # 250 ml x 0.92 kg/l
    assert again["nominal_mass"]["value"] == "230"
    assert again["check"]["verdict"] == "fail"


def test_what_is_no_fill_is_refused_at_its_place_and_its_remedy_goes(
    client: Client, held: Held
) -> None:
    number = fill(client)["lot"]
    path = f"/v1/lots/{number}/fills/corrections"
    body = {**REASON, "replaces": {"container_lot": held["lids"]}}
    wrong = client.post(path, body)
    assert wrong.status_code == 422
    assert wrong.json()["errors"][0]["pointer"] == "#/replaces/container_lot"
    client.made(path, merged(body, remedies(wrong)[0]["send"]))
    few = client.post(path, {**REASON, "replaces": {"count": 2}})
    assert few.json()["errors"][0]["code"] == "more-weights-than-packs"
    none = client.post(path, {**REASON, "replaces": {}})
    assert none.json()["errors"][0]["code"] == "nothing-replaced"
    null = client.post(path, {**REASON, "replaces": {"count": None}})
    assert null.json()["errors"][0]["pointer"] == "#/replaces/count"


def test_once_it_is_on_sale_only_who_releases_corrects_and_the_sheet_says_so(
    client: Client, store: Store
) -> None:
    number = jars.released(client, store)
    path = f"/v1/lots/{number}/fills/corrections"
    writer = Client(client.app, key_for(store, ["read", "write"]))
    body = {**REASON, "replaces": {"on": "2026-11-26"}}
    refused = writer.post(path, body)
    assert (refused.status_code, refused.json()["needs"]) == (403, "release")
    state = client.read(f"/l/{number}.json")["status"]["state"]
    assert state == "current"
    client.made(path, body)
    assert client.read(f"/l/{number}.json")["status"]["state"] == "under correction"
    client.made(f"/v1/lots/{number}/releases", {"by": "MB"})
    assert client.read(f"/l/{number}.json")["status"]["state"] == "current"


AMOUNTS = st.lists(st.integers(370_000, 380_000), min_size=1, max_size=5)


@settings(
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(first=AMOUNTS, then=st.lists(AMOUNTS, max_size=3))
def test_any_corrections_and_then_a_void_leave_the_ledger_as_it_was(
    client: Client, held: Held, first: list[int], then: list[list[int]]
) -> None:
    before = [left(client, lot) for lot in (BULK, held["jars"], held["lids"])]
    number = fill(client, *(mg / 1000 for mg in first))["lot"]
    for weights in then:
        correct(client, number, replaces={"gross_g": [mg / 1000 for mg in weights]})
        assert left(client, number) == len(weights)
    correct(client, number, void=True)
    assert [left(client, lot) for lot in (BULK, held["jars"], held["lids"])] == before
    assert (left(client, number), origins(client, number)) == (0, {})
