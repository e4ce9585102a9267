"""What went in that no line plans, by every way it can be told: live, on a page, for a goal."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, dump
from tests.makers.batches import evening, ready
from tests.makers.materials import figure
from tests.makers.pots import aimed, pot, turpentine


def test_more_of_a_planned_material_goes_in_beside_the_plan_when_said_so(client: Client) -> None:
    code, _ = ready(client)
    client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": "1379 g"})
    body = {"line": 0, "material": "OIL-LIN", "amount": "50 g"}
    made = client.made(f"/v1/batches/{code}/weighings", body)
    assert (made["line"], made["verdict"], made["target"]) == (0, "none", None)
    assert [(flag["code"], flag["text"]) for flag in made["flags"]] == [
        ("unplanned-material", "OIL-LIN went in beside the plan.")
    ]
    rows = client.read(f"/v1/batches/{code}/mass-balance")["lines"]
    assert [(row["line"], row["charged"]["value"]) for row in rows] == [(0, "50"), (2, "1379")]


def test_beside_the_plan_it_is_said_what_went_in(client: Client) -> None:
    code, _ = ready(client)
    path = f"/v1/batches/{code}/weighings"
    for body, wrong in (
        ({"line": 0, "amount": "5 g"}, "material-missing"),
        ({"line": 0, "material": "NOTHERE", "amount": "5 g"}, "material-unknown"),
    ):
        answer = client.post(path, body)
        assert (answer.status_code, answer.json()["errors"][0]["code"]) == (422, wrong)


@pytest.mark.parametrize("line", [0, 2, None])
def test_a_lot_of_another_material_than_the_one_named_is_refused_with_the_way_out(
    client: Client, store: Store, line: int | None
) -> None:
    code, lots = ready(client)
    body: dict[str, Any] = {"material": "ROSIN", "amount": "20 g", "lot": lots["ZNO"]}
    body |= {"substitute": True} | ({} if line is None else {"line": line})
    before = dump(store)["weighings"]
    path = f"/v1/batches/{code}/weighings"
    answer = client.post(path, body)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/wrong-material")
    assert dump(store)["weighings"] == before
    made = client.made(path, {**body, **answer.json()["errors"][0]["remedies"][0]["send"]})
    assert made["material"] == "ZNO"


def test_a_page_tells_what_went_in_beside_its_lines_and_for_which_goal(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    page = {
        "on": "2026-11-25",
        "beside": [
            {"material": "WSPIRIT", "weighed": "40", "adjustment": 1, "at": "23:10"},
            {"material": "OIL-TUNG", "weighed": {"value": 12, "unit": "g"}},
        ],
        "events": [
            {"event": "solvent-in", "at": "about 23:10"},
            {"event": "drop-test", "length": "9 mm", "temperature": 30},
        ],
    }
    made = client.made(f"/v1/batches/{code}/pages", page)
    assert [(row["line"], row["material"]) for row in made["lines"]] == [
        (0, "WSPIRIT"),
        (0, "OIL-TUNG"),
    ]
    assert [flag["code"] for flag in made["flags"]] == ["adjustment", "unplanned-material"]
    assert made["summary"] == "2 weighings, 2 events; batch running"
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert shown["added"]["value"] == "40"
    events = client.read(f"/v1/batches/{code}/events")["data"]
    assert [(row["event"], row["about"]) for row in events] == [
        ("drop-test", "PT12H"),
        ("solvent-in", "PT15M"),
    ]


def test_each_thing_wrong_beside_the_lines_is_told_at_its_place(client: Client) -> None:
    code, lots = ready(client)
    page = {
        "on": "2026-11-25",
        "beside": [
            {"material": "ROSIN", "weighed": "12", "lot": lots["ZNO"]},
            {"material": "ROSIN", "weighed": "12", "adjustment": 4},
            {"material": "ROSIN", "weighed": "12", "at": "half past"},
        ],
        "events": [{"event": "foam", "at": "25:00"}],
    }
    faults = client.post(f"/v1/batches/{code}/pages", page).json()["errors"]
    assert {fault["pointer"] for fault in faults} == {
        "#/beside/0/lot",
        "#/beside/1/adjustment",
        "#/beside/2/at",
        "#/events/0/at",
    }
    first = next(fault for fault in faults if fault["pointer"] == "#/beside/0/lot")
    mended = {**page, **first["remedies"][0]["send"], "events": []}
    mended["beside"] = mended["beside"][:1]
    assert client.made(f"/v1/batches/{code}/pages", mended)["lines"][0]["material"] == "ZNO"


def test_a_time_that_the_clocks_showed_twice_is_chosen_beside_the_lines_too(
    client: Client,
) -> None:
    code, _ = ready(client)
    page: dict[str, Any] = {
        "on": "2026-10-25",
        "beside": [{"material": "ROSIN", "weighed": "12", "at": "01:30"}],
        "events": [{"event": "string-test", "length": "3 cm", "at": "01:40"}],
    }
    path = f"/v1/batches/{code}/pages"
    for fault in client.post(path, page).json()["errors"]:
        page |= fault["remedies"][0]["send"]
    made = client.made(path, page)
    assert made["summary"].startswith("1 weighing, 1 event")


def test_a_solvent_beside_the_plan_is_held_to_its_own_boiling_point(client: Client) -> None:
    code = pot(client)
    lot = turpentine(client)
    figure(client, "TURPS", "boiling_point", "154 °C")
    client.made(f"/v1/batches/{code}/cook-points", {"temperature": 150})
    body = {"line": 0, "material": "TURPS", "amount": "40 g", "lot": lot}
    made = client.made(f"/v1/batches/{code}/weighings", body)
    told = {flag["code"]: flag["text"] for flag in made["flags"]}
    # 30 K below the initial boiling point, common practice.
    assert told["solvent-poured-hot"] == "150 °C; this solvent goes in at 124 °C or below."


def test_a_goal_reached_with_a_hot_solvent_says_how_hot_it_may_go_in(client: Client) -> None:
    code = pot(client)
    turpentine(client)
    made = aimed(client, code, material="TURPS", reading={"value": "90 s"})
    figure(client, "TURPS", "kinematic_viscosity", "1.5 mm2/s", temperature="25 °C")
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert "undecided" in shown["proposal"]["cautions"][0]["text"]
    figure(client, "TURPS", "boiling_point", "154 °C")
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert shown["proposal"]["cautions"][0]["text"] == "Off the heat, no flame, 124 °C or below."
    assert made["state"] == "undecided"


def test_what_went_in_beside_the_plan_is_in_the_origins_of_the_lot(client: Client) -> None:
    code, lots = ready(client)
    page = evening(lots, beside=[{"material": "ROSIN", "weighed": "20"}])
    client.made(f"/v1/batches/{code}/pages", page)
    origins = client.read(f"/v1/lots/{code}/origins")["lots"]
    assert lots["ROSIN"] in {row["lot"] for row in origins}
