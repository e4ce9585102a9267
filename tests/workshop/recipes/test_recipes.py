"""Recipes, their versions and approvals through HTTP."""

from typing import Any

import pytest

from tests.client import Client, key_for
from tests.makers import recipes
from tests.makers.recipes import RESINATE, SPAR, refused


@pytest.fixture
def stocked(client: Client) -> Client:
    recipes.shelf(client)
    return client


def test_a_recipe_comes_with_its_first_draft_and_says_what_it_assumed(stocked: Client) -> None:
    made = stocked.made("/v1/recipes", RESINATE)
    assert made["assumed"] == {
        "makes": "RESIN-ZN",
        "name": "RESIN-ZN",
        "by": None,
        "stage": "cook",
        "stages": ["cook"],
    }
    assert (made["approved"], made["newest"]) == (None, 1)
    assert [line["line"] for line in made["version"]["lines"]] == [1, 2]
    assert made["version"]["steps"] == [
        {
            "line": 3,
            "do": "heat",
            "to": {"value": "250", "unit": "°C"},
            "ramp": None,
            "for": None,
            "until": None,
            "text": None,
            "stage": "cook",
        },
        {
            "line": 4,
            "do": "hold",
            "to": None,
            "ramp": None,
            "for": {"value": "60", "unit": "min"},
            "until": "clear on glass",
            "text": None,
            "stage": "cook",
        },
    ]


def test_a_strain_step_stands_in_the_stage_of_straining(stocked: Client) -> None:
    made = stocked.made("/v1/recipes", {**RESINATE, "steps": [{"strain": "through muslin"}]})
    step = made["version"]["steps"][0]
    assert (step["stage"], step["text"], step["until"]) == ("strain", "through muslin", None)


def test_a_temperature_in_fahrenheit_is_kept_to_what_a_row_holds(stocked: Client) -> None:
    made = stocked.made("/v1/recipes", {**RESINATE, "steps": [{"heat": "481 °F"}]})
    assert made["version"]["steps"][0]["to"] == {"value": "249.444444444", "unit": "°C"}


@pytest.mark.parametrize(
    ("changes", "pointer", "code"),
    [
        ({"lines": []}, "#/lines", "not-applicable"),
        ({"lines": [{"material": "ROSIN", "percent": 90}]}, "#/lines", "out-of-range"),
        (
            {
                "lines": [
                    {"material": "ROSIN", "percent": 100},
                    {"material": "ZNO", "parts": 1},
                ]
            },
            "#/lines",
            "out-of-range",
        ),
        (
            {"lines": [{"material": "ROSIN", "parts": 1, "percent": 5}]},
            "#/lines/0",
            "one-of-three",
        ),
        (
            {"lines": [{"material": "NOTHING", "parts": 1}]},
            "#/lines/0/material",
            "material-unknown",
        ),
        (
            {"lines": [{"material": "JAR-250", "parts": 1}]},
            "#/lines/0/material",
            "not-an-ingredient",
        ),
        ({"steps": [{"heat": "250 °C", "hold": "5 min"}]}, "#/steps/0", "one-thing"),
        ({"steps": [{"heat": "4000 °C"}]}, "#/steps/0/heat", "out-of-range"),
        ({"steps": [{"note": "stir", "until": "clear"}]}, "#/steps/0", "until-without-cook"),
        ({"loss_cook": "61 %"}, "#/loss_cook", "out-of-range"),
        ({"makes": "ROSIN"}, "#/makes", "not-makeable"),
        ({"makes": "NOTHING"}, "#/makes", "material-unknown"),
        ({"by": "NOBODY"}, "#/by", "person-unknown"),
        (
            {"lines": [{"material": "ROSIN", "parts": "0.0000000001"}]},
            "#/lines/0/parts",
            "out-of-range",
        ),
    ],
)
def test_a_bad_plan_is_refused_at_its_place(
    stocked: Client, changes: dict[str, Any], pointer: str, code: str
) -> None:
    recipes.material(stocked, "JAR-250", kind="container")
    fault = refused(stocked, "/v1/recipes", {**RESINATE, **changes})["errors"][0]
    assert fault["pointer"] == pointer
    assert fault["code"] == code, fault


def test_a_recipe_for_no_material_is_refused_at_its_code(stocked: Client) -> None:
    problem = refused(stocked, "/v1/recipes", {**RESINATE, "code": "RESIN-CA"})
    assert problem["errors"][0]["pointer"] == "#/code"


def test_a_recipe_that_names_what_it_makes_is_refused(stocked: Client) -> None:
    body = {**RESINATE, "lines": [{"material": "RESIN-ZN", "parts": 1}]}
    problem = refused(stocked, "/v1/recipes", body)
    assert problem["type"] == "/problems/recipe-contains-itself"
    assert problem["errors"][0]["pointer"] == "#/lines/0/material"


def test_a_recipe_that_contains_itself_through_an_intermediate_is_refused(stocked: Client) -> None:
    recipes.recipe(stocked, RESINATE)
    recipes.recipe(stocked, SPAR, approved=False)
    lines = [{"material": "ROSIN", "parts": 1}, {"material": "SPAR", "parts": 1}]
    problem = refused(stocked, "/v1/recipes/RESIN-ZN/versions", {"lines": lines})
    assert problem["type"] == "/problems/recipe-contains-itself"
    assert problem["detail"] == "RESIN-ZN would contain itself: SPAR holds RESIN-ZN."


def test_a_line_shows_which_recipe_makes_its_intermediate(client: Client) -> None:
    recipes.spar(client)
    lines = recipes.version(client, "SPAR")["lines"]
    assert [line["made_by"] for line in lines] == [["RESIN-ZN"], [], [], []]


def test_a_version_is_approved_once(client: Client) -> None:
    recipes.spar(client)
    problem = refused(client, "/v1/recipes/SPAR/approvals", {"version": 1}, 409)
    assert problem["type"] == "/problems/already-approved"
    assert refused(client, "/v1/recipes/SPAR/approvals", {}, 409)["type"] == problem["type"]


def test_the_newest_approved_version_is_the_default_and_the_older_stays_readable(
    client: Client,
) -> None:
    recipes.spar(client)
    drafted = recipes.again(client, "SPAR", {"lines": SPAR["lines"]})
    assert (drafted["version"], drafted["state"]) == (2, "draft")
    assert client.read("/v1/recipes/SPAR")["approved"] == 1
    approved = client.made("/v1/recipes/SPAR/approvals", {"version": 2})
    assert approved["assumed"] == {"by": None}
    assert client.read("/v1/recipes/SPAR")["approved"] == 2
    assert recipes.version(client, "SPAR", 1)["state"] == "approved"
    listed = client.read("/v1/recipes/SPAR/versions", params={"state": "approved"})["data"]
    assert [row["version"] for row in listed] == [2, 1]


def test_an_approved_version_keeps_its_figures_when_an_input_changes(client: Client) -> None:
    recipes.spar(client)
    before = recipes.version(client, "SPAR")
    density = {"property": "density", "value": "0.900 kg/l", **recipes.TABLE}
    client.made("/v1/materials/OIL-LIN/figures", density)
    after = recipes.version(client, "SPAR")
    assert {**after, "recalculated": None} == before
    assert before["document"]["kind"] == "recipe-version"
    drafted = recipes.again(client, "SPAR", {"lines": SPAR["lines"]})
    length = recipes.figure(drafted, "oil_length_us_gal")
    assert length != recipes.figure(before, "oil_length_us_gal")
    changed = {one["name"]: one for one in after["recalculated"]["figures"]}
    assert changed["oil_length_us_gal"]["now"]["value"] == length
    was = changed["oil_length_us_gal"]["was"]
    assert was["value"] == recipes.figure(before, "oil_length_us_gal")
    assert "oil_to_resin" not in changed  # goes by mass alone


def test_approving_needs_the_scope_of_release(client: Client, store: Any) -> None:
    recipes.shelf(client)
    recipes.recipe(client, RESINATE, approved=False)
    writer = Client(client.app, key_for(store, ["read", "write"]))
    assert refused(writer, "/v1/recipes/RESIN-ZN/approvals", {}, 403)["needs"] == "release"


def test_a_version_that_does_not_exist_is_not_found(client: Client) -> None:
    recipes.spar(client)
    answer = client.get("/v1/recipes/SPAR/versions/7")
    assert answer.status_code == 404
    assert answer.json()["type"] == "/problems/version-unknown"


def test_a_dry_run_writes_nothing(stocked: Client) -> None:
    answer = stocked.post("/v1/recipes", RESINATE, params={"dry_run": "true"})
    assert answer.status_code == 200, answer.text
    assert answer.json()["dry_run"] is True
    assert stocked.read("/v1/recipes")["data"] == []


def test_a_recipe_is_renamed_and_archived_under_its_tag(client: Client) -> None:
    recipes.spar(client)
    tag = client.get("/v1/recipes/SPAR").headers["ETag"]
    assert client.patch("/v1/recipes/SPAR", {"name": "spar"}, etag=None).status_code == 428
    assert client.patch("/v1/recipes/SPAR", {"archived": True}, etag=tag).status_code == 200
    assert client.patch("/v1/recipes/SPAR", {"name": "spar"}, etag=tag).status_code == 412
    assert [row["code"] for row in client.read("/v1/recipes")["data"]] == ["RESIN-ZN"]


def test_only_a_recipe_of_drafts_can_be_deleted(stocked: Client) -> None:
    recipes.recipe(stocked, RESINATE)
    recipes.recipe(stocked, SPAR, approved=False)
    any_state = {"If-Match": "*"}
    gone = stocked.request("DELETE", "/v1/recipes/SPAR", headers=any_state)
    assert gone.status_code == 200, gone.text
    assert stocked.get("/v1/recipes/SPAR").status_code == 404
    kept = stocked.request("DELETE", "/v1/recipes/RESIN-ZN", headers=any_state)
    assert kept.json()["type"] == "/problems/in-use"
