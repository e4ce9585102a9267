"""Batches planned from approved versions, and the sheets to work by."""

from typing import Any

from tests.client import Client
from tests.makers.batches import BOILS, COMES, bench, line_of, planned, ready, stocked
from tests.makers.recipes import SPAR, recipe, shelf, spar

Sheet = dict[str, Any]


def lines(sheet: Sheet) -> list[tuple[int, str]]:
    """Number and kind of every line, in the order of the sheet."""
    return [(line["line"], line["do"]) for stage in sheet["steps"] for line in stage["lines"]]


def test_a_sheet_cools_before_the_solvent_and_ends_in_the_page_to_send(client: Client) -> None:
    code, lots = ready(client)
    sheet = client.read(f"/v1/batches/{code}/sheet")
    assert lines(sheet) == [
        *((number, "weigh") for number in (1, 2, 3)),
        (5, "heat"),
        (6, "hold"),
        (7, "cool"),
        (4, "weigh"),
        (8, "yield"),
    ]
    assert list(sheet)[-1] == "page_to_send"
    assert sheet["page_to_send"] == {
        "lines": {str(number): None for number in range(1, 9)},
        "notes": {},
    }
    # A quarter percent of 1149 g is 2.87 g: three steps of a balance that reads to 1 g.
    assert line_of(sheet, 1)["allow"] == {"value": "3", "unit": "g"}
    assert line_of(sheet, 1)["lots"] == [lots["RESIN-ZN"]]


def test_the_pour_is_planned_below_the_boiling_point_that_the_certificate_states(
    client: Client,
) -> None:
    code, lots = ready(client)
    sheet = client.read(f"/v1/batches/{code}/sheet")
    # 150 °C less 30 K is 120 °C (finish-science, corrections, 2), less 5 K.
    pour = {"value": "115", "unit": "°C", "basis": "calculated", "note": "pour"}
    assert line_of(sheet, 7)["to"] == pour
    assert sheet["notes"]["pour"]["from"][0]["lot"] == lots["WSPIRIT"]
    thin = next(stage for stage in sheet["steps"] if stage["stage"] == "thin")
    assert thin["cautions"][0]["text"] == "Off the heat, no flame, 120 °C or below."


def test_an_unknown_boiling_point_is_undecided_and_never_a_number(client: Client) -> None:
    stocked(client, boils=False)
    made = client.made("/v1/batches", {"recipe": "SPAR", "for": "5.49 kg", **COMES})
    assert made["undecided"] == ["pour: initial boiling point of WSPIRIT"]
    sheet = client.read(f"/v1/batches/{made['batch']}/sheet")
    assert "to" not in line_of(sheet, 7)
    assert line_of(sheet, 7)["undecided"] == "the initial boiling point of WSPIRIT"


def cooled(client: Client, to: str) -> None:
    """The spar varnish, cooled to a temperature by a step of its own before the spirit."""
    bench(client)
    shelf(client)
    boils = {"property": "boiling_point", **BOILS["boiling_point"]}
    client.made("/v1/materials/WSPIRIT/figures", boils)
    recipe(client, {**SPAR, "steps": [{"heat": "240 °C"}, {"cool": to, "stage": "thin"}]})


def test_a_planned_pour_above_the_limit_is_refused(client: Client) -> None:
    cooled(client, "130 °C")
    answer = client.post("/v1/batches", {"recipe": "SPAR", "for": "5.49 kg"})
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/pour-too-hot"


def test_a_scaling_whose_pour_became_too_hot_makes_no_batch(client: Client) -> None:
    cooled(client, "110 °C")
    scaling = client.made("/v1/recipes/SPAR/scalings", {"for": "2 kg"})["scaling"]
    lower = {"property": "boiling_point", **BOILS["boiling_point"], "value": "130 °C"}
    client.made("/v1/materials/WSPIRIT/figures", lower)
    answer = client.post("/v1/batches", {"scaling": scaling})
    assert answer.json()["type"] == "/problems/pour-too-hot"
    # 130 °C less 30 K, less 5 K (finish-science, corrections, 2).
    assert "cools to 95 °C or less" in answer.json()["errors"][0]["hint"]


def test_a_recipe_that_cools_by_itself_gets_no_second_cool_line(client: Client) -> None:
    cooled(client, "90 °C")
    code = planned(client, "SPAR", "5.49 kg")
    sheet = client.read(f"/v1/batches/{code}/sheet")
    assert [number for number, do in lines(sheet) if do == "cool"] == [6]
    assert line_of(sheet, 6)["to"]["basis"] == "declared"


def test_a_draft_makes_no_batch(client: Client) -> None:
    bench(client)
    spar(client)
    client.made("/v1/recipes/SPAR/versions", {"lines": SPAR["lines"], "why": "softer in winter"})
    body = {"recipe": "SPAR", "for": "1 kg", "version": 2}
    answer = client.post("/v1/batches", body)
    assert answer.status_code == 409, answer.text
    assert answer.json()["type"] == "/problems/recipe-not-approved"


def test_a_batch_takes_a_scaling_that_was_frozen_before(client: Client) -> None:
    stocked(client)
    scaling = client.made("/v1/recipes/SPAR/scalings", {"for": "2 kg"})["scaling"]
    made = client.made("/v1/batches", {"scaling": scaling, **COMES})
    assert (made["scaling"], made["for"]) == (scaling, "2 kg")
    answer = client.post("/v1/batches", {"scaling": scaling, "for": "3 kg"})
    assert answer.json()["errors"][0]["code"] == "one-of-two"
    answer = client.post("/v1/batches", {"recipe": "RESIN-ZN", "scaling": scaling})
    assert answer.json()["type"] == "/problems/scaling-unknown"


def test_a_dry_run_draws_no_number(client: Client) -> None:
    stocked(client)
    tried = client.post("/v1/batches?dry_run=true", {"recipe": "SPAR", "for": "1 kg", **COMES})
    assert tried.status_code == 200
    assert tried.json()["batch"] is None
    assert client.read("/v1/batches")["data"] == []
    assert planned(client, "SPAR", "1 kg").startswith("SPAR-2611-01-")


def test_a_kettle_that_the_scaling_did_not_know_must_hold_the_charge(client: Client) -> None:
    stocked(client)
    for code, holds in (("POT-1", "1 l"), ("POT-20", "20 l")):
        client.made("/v1/equipment", {"code": code, "kind": "kettle", "holds": holds})
    body = {"for": "5 kg", "kettle": "KETTLE-2"}
    known = client.made("/v1/recipes/SPAR/scalings", body)["scaling"]
    small = client.post("/v1/batches", {"scaling": known, "kettle": "POT-1"})
    assert small.status_code == 422
    assert small.json()["type"] == "/problems/kettle-too-small"
    assert small.json()["errors"][0]["pointer"] == "#/kettle"
    large = client.made("/v1/batches", {"scaling": known, "kettle": "POT-20", **COMES})
    assert large["kettle"] == "POT-20"


def test_a_retired_version_makes_no_batch_even_of_a_scaling_before(client: Client) -> None:
    stocked(client)
    scaling = client.made("/v1/recipes/SPAR/scalings", {"for": "2 kg"})["scaling"]
    client.made("/v1/recipes/SPAR/retirements", {"version": 1, "reason": "stays soft in winter"})
    answer = client.post("/v1/batches", {"scaling": scaling})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/version-retired")
