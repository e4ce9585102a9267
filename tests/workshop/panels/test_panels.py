"""Panels, coats, sheets and what was seen, through HTTP."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, count
from tests.makers.panels import COATS, merged, page, panel, protocol, remedies, varnish
from tests.makers.stock import goods, received

READINGS = "/v1/panels/P-26-014/readings"


@pytest.fixture
def lot(client: Client, store: Store) -> str:
    return varnish(client, store)


@pytest.fixture
def ready(client: Client, lot: str) -> str:
    protocol(client)
    panel(client, lot)
    return lot


def test_a_panel_takes_its_coats_from_its_own_lot(client: Client, lot: str) -> None:
    made = panel(client, lot)
    assert made["assumed"] == {"coats": {"lot": lot}}
    assert [coat["on"] for coat in made["coats"]] == ["2026-11-26", "2026-11-27", "2026-11-28"]
    again = client.post("/v1/panels", {"code": "p-26-014", "lot": lot, "wood": "ash"})
    assert again.json()["type"] == "/problems/code-taken"


def test_a_number_given_by_hand_is_not_drawn_again(client: Client, lot: str) -> None:
    first = panel(client, lot, code=None)["code"]
    taken = f"{first[:-3]}002"
    panel(client, lot, code=taken)
    assert panel(client, lot, code=None)["code"] == f"{first[:-3]}003"
    listed = client.read(f"/v1/panels?lot={lot.lower()}&sort=code")["data"]
    assert [row["code"] for row in listed] == [first, taken, f"{first[:-3]}003"]


@pytest.mark.parametrize("code", ["MAR-26", "26-014", "P", "P 26", "P-" + "1" * 20])
def test_a_code_that_a_spreadsheet_would_spoil_is_refused(
    client: Client, lot: str, code: str
) -> None:
    answer = client.post("/v1/panels", {"code": code, "lot": lot, "wood": "ash"})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "#/code"


def test_jars_are_no_coat(client: Client, lot: str) -> None:
    goods(client, "JAR-250", "container")
    jars = received(client, "JAR-250", 10)
    answer = client.post("/v1/panels", {"lot": jars, "wood": "ash"})
    assert answer.json()["errors"][0]["code"] == "lot-not-liquid"


def test_a_coat_more_is_counted(client: Client, lot: str) -> None:
    panel(client, lot, coats=COATS[:1])
    made = client.made("/v1/panels/P-26-014/coats", {"on": "2026-11-30", "how": "brush"})
    assert made["assumed"] == {"lot": lot}
    assert [coat["coat"] for coat in made["coats"]] == [1, 2]
    assert client.get("/v1/panels/P-26-099").json()["type"] == "/problems/panel-unknown"


def test_the_film_is_worked_out_from_coats_and_lot(client: Client, lot: str) -> None:
    measured = {"non_volatile": "59.8 %", "density": "0.897 kg/l"}
    body = {"rows": measured, "methods": dict.fromkeys(measured, "own")}
    assert panel(client, lot)["film"] is None
    client.made(f"/v1/lots/{lot}/readings", body)
    shown = client.read("/v1/panels/P-26-014")
    # 100 (1 - 0.897 x 0.402 / 0.778) = 53.65 % by volume, so a film of 0.9998 kg/l
    # (additive volumes, the density of the solvent from the material), and 240 x 0.598 / 0.9998.
    assert shown["film"] == {"value": "144", "unit": "µm", "basis": "calculated", "note": "film"}
    assert shown["notes"]["film"]["how"] == "3 x 80 g/m2 wet x 59.8 % / 1.00 kg/l"


def test_the_sheet_ends_with_the_page_that_comes_back(client: Client, ready: str) -> None:
    sheet = client.read("/v1/panels/P-26-014/sheet?protocol=handler")
    assert [row["row"] for row in sheet["rows"]] == [1, 2, 3]
    assert sheet["rows"][1]["do"] == "water, one drop covered for 16 h"
    assert sheet["rows"][1]["ratings"] == ["5", "4", "3", "2", "1"]
    empty = sheet["page_to_send"]
    assert client.post(READINGS, empty).json()["errors"][0]["pointer"] == "#/rows"
    made = client.made(READINGS, {**empty, "rows": {**empty["rows"], "A3": "none"}})
    assert [row["at"] for row in made["readings"]] == ["A3"]


def test_a_page_gives_a_reading_for_each_row(client: Client, ready: str) -> None:
    rows = {
        "A1": "none",
        "A3": {"saw": "whitening, faint", "gone_after": "2 h", "rating": 4},
        "B1": "colour on cloth, strong; softening",
    }
    made = client.made(READINGS, page(rows))
    assert made["assumed"] == {"version": 1}
    water = made["readings"][1]
    assert water["text"] == (
        "Water, one drop covered for 16 h at 21 °C, 3 coats 28 days old: "
        "faint whitening, gone after 2 h (1 trial)."
    )
    assert water["rating"]["value"] == "4"
    assert (water["rating"]["best"], water["rating"]["worst"]) == ("5", "1")
    assert water["condition"]["age"] == {
        "value": "28",
        "unit": "d",
        "basis": "calculated",
        "note": None,
    }
    assert water["saw"][0]["gone_after"] == {"value": "2", "unit": "h"}
    assert client.read(f"/v1/readings/{water['reading'].lower()}") == water
    rub = made["readings"][2]["text"]
    assert rub.startswith("Hand-rub alcohol (70 % v/v ethanol), 20 rubs with a wet cloth at 21 °C,")
    assert rub.endswith("strong colour on the cloth, film softened (1 trial).")


def test_the_next_page_is_the_next_trial(client: Client, ready: str) -> None:
    trials = [client.made(READINGS, page({"A3": "none"}))["readings"][0]["trial"] for _ in "ab"]
    assert trials == [1, 2]
    listed = client.read("/v1/readings?panel=p-26-014&test=WATER-16H&sort=number")["data"]
    assert [row["trial"] for row in listed] == [1, 2]
    assert client.read("/v1/readings?panel=P-26-099")["data"] == []
    assert len(client.read(f"/v1/readings?lot={ready}")["data"]) == 2


def test_a_reading_before_the_first_coat_is_kept_and_pointed_out(
    client: Client, ready: str
) -> None:
    made = client.made(READINGS, page({"A3": "none"}, on="2026-11-25"))
    flag = made["flags"][0]
    assert flag["code"] == "reading-before-coat"
    assert client.read(f"/v1/deviations/{flag['opens']}")["subject"] == ready
    assert made["readings"][0]["condition"]["coats"] == 0
    between = client.made(READINGS, page({"A3": "none"}, on="2026-11-27"))
    assert [(flag["code"], flag["opens"]) for flag in between["flags"]] == [
        ("reading-between-coats", None)
    ]
    assert between["readings"][0]["condition"]["coats"] == 2


@pytest.mark.parametrize(
    ("change", "pointer", "code"),
    [
        ({"rows": {"A3": "fine"}}, "#/rows/A3", "word-unknown"),
        ({"rows": {"A3": {"saw": "bloom", "rating": "6"}}}, "#/rows/A3/rating", "rating-unknown"),
        ({"rows": {"A1": {"saw": "bloom", "rating": "5"}}}, "#/rows/A1/rating", "rating-unknown"),
        ({"rows": {"A3": "none", "C9": "none"}}, "#/rows/C9", "position-unknown"),
        ({"rows": {"A3": "none", "a3": "bloom"}}, "#/rows/a3", "string-pattern-mismatch"),
        ({"rows": {"A3": {"saw": "none", "rating": 1e300}}}, "#/rows/A3/rating", "out-of-range"),
        ({"room": "4000 °C"}, "#/room", "out-of-range"),
        ({"room": "21 °C, 480 %"}, "#/room", "out-of-range"),
        ({"version": 7}, "#/version", "protocol-version-unknown"),
        ({"protocol": "NOBODY"}, "#/protocol", "protocol-unknown"),
        ({"by": "XY"}, "#/by", "person-unknown"),
    ],
)
def test_a_page_that_cannot_be_read_is_refused_and_its_remedies_work(
    client: Client, ready: str, change: dict[str, Any], pointer: str, code: str
) -> None:
    body = page({"A3": "none"}, **change) if "rows" not in change else page(change["rows"])
    answer = client.post(READINGS, body)
    assert answer.status_code == 422, answer.text
    fault = answer.json()["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code)
    for remedy in remedies(answer):
        client.made(READINGS, merged(body, remedy["send"]))


def test_a_dry_run_records_nothing(client: Client, store: Store, ready: str) -> None:
    answer = client.post(READINGS, page({"A3": "none"}), params={"dry_run": "true"})
    assert answer.status_code == 200
    assert answer.json()["readings"][0]["reading"] is None
    assert count(store, "readings") == 0
