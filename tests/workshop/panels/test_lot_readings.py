"""Properties measured on a lot, and corrections of readings, through HTTP."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers.panels import merged, page, panel, protocol, remedies, varnish
from tests.makers.stock import made_lot

CUP = "ISO 2431, cup 4"
BODY = {
    "rows": {"flow_time": ["62 s", "61 s", "63 s"], "density": "0.897 kg/l"},
    "methods": {"flow_time": CUP, "density": "pyknometer"},
    "temperature": "23 °C",
    "on": "2026-11-27",
}


@pytest.fixture
def lot(client: Client, store: Store) -> str:
    return varnish(client, store)


def measured(client: Client, lot: str, **change: Any) -> Any:
    return client.made(f"/v1/lots/{lot}/readings", {**BODY, **change})


def figure(client: Client, lot: str, name: str = "flow_time") -> Any:
    """The standing figure of a property of the lot, or None."""
    listed = client.read(f"/v1/figures?subject={lot}&property={name}")["data"]
    standing = [row for row in listed if row["corrected_by"] is None and not row["void"]]
    return standing[0] if standing else None


def test_replicates_are_readings_and_their_mean_is_the_figure(client: Client, lot: str) -> None:
    made = measured(client, lot)
    assert [row["value"]["value"] for row in made["readings"]] == ["62", "61", "63", "0.897"]
    assert [row["trial"] for row in made["readings"]] == [1, 2, 3, 1]
    assert [(row["name"], row["value"], row["unit"]) for row in made["figures"]] == [
        ("flow_time", "62", "s"),
        ("density", "0.897", "kg/l"),
    ]
    assert made["notes"]["flow_time"]["method"] == CUP
    text = made["readings"][0]["text"]
    assert text == "Flow time 62 s, ISO 2431, cup 4 at 23 °C (measured)"
    numbers = [row["reading"] for row in made["readings"][:3]]
    assert figure(client, lot)["source"] == ", ".join(numbers)


def test_a_mean_keeps_the_places_that_were_read(client: Client, lot: str) -> None:
    rows = {"flow_time": {"value": [62, 61, 62], "unit": "s", "method": CUP}}
    assert measured(client, lot, rows=rows, methods={})["figures"][0]["value"] == "62"


def test_replicates_in_two_units_are_meant_in_the_canonical_one(client: Client, lot: str) -> None:
    made = measured(client, lot, rows={"flow_time": ["1 min", "62 s"]}, methods={"flow_time": CUP})
    assert (made["figures"][0]["value"], made["figures"][0]["unit"]) == ("61", "s")


def test_a_method_is_never_made_up_and_the_remedy_names_one(client: Client, lot: str) -> None:
    body = {"rows": BODY["rows"]}
    answer = client.post(f"/v1/lots/{lot}/readings", body)
    assert answer.status_code == 422
    faults = answer.json()["errors"]
    assert [fault["pointer"] for fault in faults] == ["#/methods/flow_time", "#/methods/density"]
    for remedy in remedies(answer):
        body = merged(body, remedy["send"])
    client.made(f"/v1/lots/{lot}/readings", body)


def test_a_method_that_was_said_for_the_material_is_taken_and_shown(
    client: Client, store: Store, lot: str
) -> None:
    measured(client, lot)
    other = made_lot(store, "SPAR-2612-01", "SPAR", {}, amount=1000).number
    made = client.made(f"/v1/lots/{other}/readings", {"rows": {"flow_time": "60 s"}})
    assert made["assumed"]["methods"] == {"flow_time": CUP}


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"rows": {"hardness": "3 s"}, "methods": {}}, "#/rows/hardness"),
        ({"rows": {"flow_time": ["62 s", "62 kg"]}, "methods": {}}, "#/rows/flow_time/1"),
        ({"rows": {"flow_time": "9999 s"}, "methods": {}}, "#/rows/flow_time"),
        ({"rows": {"flow_time": []}, "methods": {}}, "#/rows/flow_time"),
        ({"methods": {"gloss": "ISO 2813"}}, "#/methods/gloss"),
    ],
)
def test_a_value_that_cannot_be_is_refused_with_its_place(
    client: Client, lot: str, change: dict[str, Any], pointer: str
) -> None:
    answer = client.post(f"/v1/lots/{lot}/readings", {**BODY, **change})
    assert answer.status_code == 422, answer.text
    assert answer.json()["errors"][0]["pointer"] == pointer


def test_a_corrected_value_corrects_the_figure(client: Client, lot: str) -> None:
    first = measured(client, lot)["readings"][0]["reading"]
    body = {"replaces": {"value": "68 s"}, "reason": "misread the watch"}
    fixed = client.made(f"/v1/readings/{first}/corrections", body)
    assert (fixed["corrects"], fixed["value"]["value"], fixed["trial"]) == (first, "68", 1)
    assert fixed["figure"]["value"] == "64"
    assert figure(client, lot)["value"] == "64"
    assert client.read(f"/v1/readings/{first}")["corrected_by"] == fixed["reading"]
    again = client.post(f"/v1/readings/{first}/corrections", body)
    assert again.json()["type"] == "/problems/already-corrected"


def test_voided_readings_leave_the_mean_and_the_last_takes_the_figure_along(
    client: Client, lot: str
) -> None:
    void = {"void": True, "reason": "wrong cup"}
    numbers = [row["reading"] for row in measured(client, lot)["readings"][:3]]
    values = []
    for number in numbers:
        client.made(f"/v1/readings/{number}/corrections", void)
        values.append((figure(client, lot) or {"value": None})["value"])
    assert values == ["62", "63", None]


def test_what_was_seen_can_be_put_right(client: Client, lot: str) -> None:
    protocol(client)
    panel(client, lot)
    rows = {"A3": {"saw": "whitening, faint", "gone_after": "2 h", "rating": "4"}}
    made = client.made("/v1/panels/P-26-014/readings", page(rows))
    path = f"/v1/readings/{made['readings'][0]['reading']}/corrections"
    fixed = client.made(path, {"replaces": {"rating": "3"}, "reason": "looked again"})
    assert fixed["rating"]["value"] == "3"
    assert fixed["text"].endswith("faint whitening, gone after 2 h (1 trial).")
    path = f"/v1/readings/{fixed['reading']}/corrections"
    seen = client.made(path, {"replaces": {"saw": "bloom"}, "reason": "it was bloom"})
    assert [effect["effect"] for effect in seen["saw"]] == ["bloom"]
    assert seen["figure"] is None


@pytest.mark.parametrize(
    "body",
    [
        {"reason": "x"},
        {"replaces": {}, "reason": "x"},
        {"replaces": {"saw": "bloom"}, "reason": "x"},
        {"replaces": {"value": "4 kg"}, "reason": "x"},
        {"replaces": {"method": None}, "reason": "x"},
        {"void": True},
    ],
)
def test_a_correction_that_does_not_fit_is_refused(
    client: Client, lot: str, body: dict[str, Any]
) -> None:
    number = measured(client, lot)["readings"][0]["reading"]
    assert client.post(f"/v1/readings/{number}/corrections", body).status_code == 422
