"""What an adjustment refuses, what it records all the same, and who may set a goal right."""

from typing import Any

import pytest
from molmass import Formula

from service.store.session import Store
from tests.client import Client, dump, key_for
from tests.makers.batches import left
from tests.makers.materials import figure, material
from tests.makers.pots import GOAL, add, aimed, pot, read, turpentine

ACID: dict[str, Any] = {
    "property": "acid_value",
    "target": "60 mg KOH/g",
    "within": "2 mg KOH/g",
    "material": "LIME",
    "cup": None,
    "method": "titration in ethanol, 0.1 mol/l KOH",
}


def test_acid_is_brought_down_by_a_base_of_known_assay(client: Client) -> None:
    code = pot(client)
    material(client, "LIME", family="oxide", formula="Ca(OH)2")
    made = aimed(client, code, **ACID, reading={"value": "80 mg KOH/g"})
    assert made["state"] == "undecided"
    assert '"assay"' in made["undecided"]["needs"]
    figure(client, "LIME", "assay", "95 %")
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    # molmass; acid left = 60 (m + a) = 80 m - 0.95 x 2 x M(KOH) / M(Ca(OH)2) x 1000 a
    takes = 0.95 * 2000 * Formula("KOH").mass / Formula("Ca(OH)2").mass
    expected = 2000 * 20 / (60 + takes)
    assert float(shown["proposal"]["add"]["value"]) == pytest.approx(expected, rel=0.005)
    assert shown["proposal"]["standing"] == "theoretical"


@pytest.mark.parametrize(
    ("change", "pointer", "code"),
    [
        ({"cup": None}, "#/cup", "cup-missing"),
        ({"cup": "FORD-9"}, "#/cup", "cup-unknown"),
        ({"property": "density", "target": "0.92 kg/l", "within": "0.01 kg/l"}, "#/cup", "no-cup"),
        ({"target": "62 °C"}, "#/target", "wrong-dimension"),
        ({"target": "200 s"}, "#/target", "out-of-range"),
        ({"within": "0 s"}, "#/within", "out-of-range"),
        ({"within": "2 %"}, "#/within", "wrong-dimension"),
        ({"material": "NOTHERE"}, "#/material", "material-unknown"),
        ({"reading": {"value": "90 %"}}, "#/reading/value", "wrong-dimension"),
        ({"reading": {"value": "9000 s"}}, "#/reading/value", "out-of-range"),
        ({"by": "ZZ"}, "#/by", "person-unknown"),
    ],
)
def test_a_goal_that_cannot_be_is_refused_at_its_place(
    client: Client, store: Store, change: dict[str, Any], pointer: str, code: str
) -> None:
    batch, before = pot(client), dump(store)
    answer = client.post(f"/v1/batches/{batch}/adjustments", {**GOAL, **change})
    assert answer.status_code == 422, answer.text
    fault = answer.json()["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code)
    assert dump(store)["adjustments"] == before["adjustments"] == []


def test_how_it_is_read_is_never_assumed_but_for_a_cup(client: Client) -> None:
    body = {**GOAL, "property": "density", "target": "0.9 kg/l", "within": "0.01 kg/l"}
    answer = client.post(f"/v1/batches/{pot(client)}/adjustments", {**body, "cup": None})
    assert answer.json()["errors"][0]["code"] == "evidence-missing"


def test_a_reading_of_another_kind_is_refused(client: Client) -> None:
    code = pot(client)
    aimed(client, code)
    path = f"/v1/batches/{code}/adjustments/1/readings"
    fault = client.post(path, {"value": "0.9 kg/l"}).json()["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/value", "wrong-dimension")
    assert client.post(path.replace("/1/", "/7/"), {"value": "62 s"}).status_code == 404


def test_another_material_than_the_goals_is_a_slip_or_a_fact(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    other = turpentine(client)
    path, body = f"/v1/batches/{code}/adjustments/1/additions", {"amount": "40 g", "lot": other}
    answer = client.post(path, body)
    assert answer.json()["type"] == "/problems/wrong-material"
    slip, fact = answer.json()["errors"][0]["remedies"]
    assert client.made(path, {**body, **slip["send"]})["weighing"]["material"] == "WSPIRIT"
    made = client.made(path, {**body, **fact["send"]})
    assert made["weighing"]["material"] == "TURPS"
    assert [flag["code"] for flag in made["flags"]] == ["substitute", "adjustment"]
    assert made["adjustment"]["added"]["value"] == "80"


def test_of_two_lots_the_one_it_came_from_is_asked(client: Client) -> None:
    code = pot(client)
    aimed(client, code)
    line = {"material": "WSPIRIT", "amount": "2 kg"}
    client.made("/v1/receipts", {"from": "invented supplier", "lines": [line]})
    path = f"/v1/batches/{code}/adjustments/1/additions"
    answer = client.post(path, {"amount": "40 g"})
    assert answer.json()["errors"][0]["code"] == "lot-needed"
    for way in answer.json()["errors"][0]["remedies"]:
        assert client.made(path, {"amount": "40 g", **way["send"]})


def test_more_than_there_was_is_recorded_and_flagged(client: Client) -> None:
    code = pot(client)
    aimed(client, code)
    made = add(client, code, "9 kg")
    assert {flag["code"] for flag in made["flags"]} == {"adjustment", "stock-negative"}
    assert left(client, made["weighing"]["lot"])["value"].startswith("-")


def test_a_goal_is_put_right_or_given_up_and_what_was_added_stays(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    add(client, code, "40 g")
    read(client, code, "70 s")
    path = f"/v1/batches/{code}/adjustments/1/corrections"
    body: dict[str, Any] = {"replaces": {"target": "70 s"}, "reason": "for brushing, not dipping"}
    made = client.made(path, body)
    assert (made["adjustment"], made["state"]) == (1, "reached")
    fault = client.post(path, {"replaces": {"target": "300 s"}, "reason": "x"}).json()["errors"][0]
    assert fault["pointer"] == "#/replaces/target"
    gone = client.made(path, {"void": True, "reason": "given up"})
    assert (gone["state"], gone["added"]["value"]) == ("voided", "40")
    listed = client.read(f"/v1/batches/{code}/adjustments")["data"]
    assert [row["state"] for row in listed] == ["voided"]
    assert client.post(path, body).json()["type"] == "/problems/already-corrected"


def finished(client: Client, code: str) -> None:
    client.made(f"/v1/batches/{code}/yields", {"amount": "2 kg"})
    client.made(f"/v1/batches/{code}/transitions", {"to": "complete"})


def test_a_batch_that_ended_takes_no_goal_but_what_happened_before(
    client: Client, app: Any, store: Store
) -> None:
    code = pot(client)
    aimed(client, code)
    finished(client, code)
    answer = client.post(f"/v1/batches/{code}/adjustments", GOAL)
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/batch-ended")
    late = read(client, code, "62 s")
    assert [flag["code"] for flag in late["flags"]] == ["entry-after-completion"]
    bench_hand = Client(app, key_for(store, ["read", "record", "write"]))
    path = f"/v1/batches/{code}/adjustments/1/corrections"
    refused = bench_hand.post(path, {"void": True, "reason": "x"})
    assert (refused.status_code, refused.json()["needs"]) == (403, "release")


def test_a_goal_that_was_not_reached_is_asked_about_at_completion(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    aimed(client, code, target="90 s", reading={"value": "90 s"})
    finished(client, code)
    found = client.read(f"/v1/deviations?subject={code}&code=adjustment-open")["data"]
    assert [row["text"] for row in found] == [
        "Adjustment 1, flow time to 62 s within 2 s: it read 90 s."
    ]


def test_trying_it_out_writes_nothing(client: Client, store: Store) -> None:
    code = pot(client)
    before = dump(store)
    path = f"/v1/batches/{code}/adjustments?dry_run=true"
    answer = client.post(path, {**GOAL, "reading": {"value": "90 s"}})
    assert (answer.status_code, answer.json()["state"]) == (200, "proposed")
    assert dump(store) == before


@pytest.mark.parametrize("replaces", [{"target": 0}, {"within": 0}, {"material": None}])
def test_a_correction_of_a_goal_that_says_nothing_fitting_is_refused(
    client: Client, replaces: dict[str, Any]
) -> None:
    code = pot(client)
    aimed(client, code)
    path = f"/v1/batches/{code}/adjustments/1/corrections"
    answer = client.post(path, {"replaces": replaces, "reason": "x"})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == f"#/replaces/{next(iter(replaces))}"
