"""Stages, what is lost in them, and steps, through HTTP."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes
from tests.makers.recipes import SPAR, refused

LINES = [
    {"material": "ROSIN", "parts": 1, "stage": "melt"},
    {"material": "OIL-LIN", "parts": 3},
    {"material": "WSPIRIT", "parts": 2, "stage": "thin"},
]
BODY = {"code": "MIX-X", "lines": LINES}
LISTED = [
    {"stage": "thin", "remark": "below 70 °C"},
    {"stage": "melt", "lasts": "45 min", "losses": {"fumes": "5 %", "water": "0.5 %"}},
    {"stage": "cook", "losses": {"oxygen": "-2 %"}},
    {"stage": "mature", "lasts": "3 weeks", "losses": {"settling": "1 %"}},
]


@pytest.fixture
def shop(client: Client) -> Client:
    recipes.shelf(client)
    recipes.material(client, "MIX-X", kind="finished")
    return client


def percent(value: str) -> dict[str, str]:
    return {"value": value, "unit": "%"}


def loss(cause: str, value: str) -> dict[str, Any]:
    return {"cause": cause, "percent": percent(value), "basis": "declared"}


def test_stages_stand_in_the_order_in_which_they_were_sent(shop: Client) -> None:
    made = shop.made("/v1/recipes", {**BODY, "stages": LISTED})
    assert "stages" not in made["assumed"]
    assert recipes.version(shop, "MIX-X")["stages"] == [
        {"stage": "thin", "lasts": None, "losses": [], "remark": "below 70 °C"},
        {
            "stage": "melt",
            "lasts": {"value": "45", "unit": "min"},
            "losses": [loss("fumes", "5"), loss("water", "0.5")],
            "remark": None,
        },
        {"stage": "cook", "lasts": None, "losses": [loss("oxygen", "-2")], "remark": None},
        {
            "stage": "mature",
            "lasts": {"value": "3", "unit": "week"},
            "losses": [loss("settling", "1")],
            "remark": None,
        },
    ]


def test_stages_not_sent_stand_in_the_usual_order_and_that_is_said(shop: Client) -> None:
    steps = [{"wait": "2 d", "stage": "settle"}, {"strain": "muslin"}]
    made = shop.made("/v1/recipes", {**BODY, "steps": steps, "loss_cook": "3 %"})
    order = ["melt", "cook", "thin", "settle", "strain"]
    assert made["assumed"]["stages"] == order
    assert [stage["stage"] for stage in made["version"]["stages"]] == order


def test_a_stage_with_a_loss_alone_is_listed_too(shop: Client) -> None:
    made = recipes.recipe(shop, SPAR, approved=False)
    assert made["assumed"]["stages"] == ["cook", "thin", "strain"]
    assert (made["version"]["loss_cook"], made["version"]["loss_strain"]) == (
        percent("3"),
        percent("1.5"),
    )
    losses = {stage["stage"]: stage["losses"] for stage in made["version"]["stages"]}
    assert losses == {
        "cook": [loss("fumes", "3")],
        "thin": [],
        "strain": [loss("straining", "1.5")],
    }


def test_a_gain_in_short_is_oxygen_taken_up(shop: Client) -> None:
    version = shop.made("/v1/recipes", {**BODY, "loss_cook": "-1.5 %"})["version"]
    assert version["stages"][1]["losses"] == [loss("oxygen", "-1.5")]
    assert (version["loss_cook"], version["loss_strain"]) == (percent("-1.5"), None)


def test_what_a_stage_loses_is_summed_up_in_short(shop: Client) -> None:
    cook = {"stage": "cook", "losses": {"fumes": "4 %", "oxygen": "-1 %"}}
    stages = [{"stage": "melt"}, cook, {"stage": "thin"}]
    version = shop.made("/v1/recipes", {**BODY, "stages": stages})["version"]
    assert (version["loss_cook"], version["loss_strain"]) == (percent("3"), None)


def test_a_stage_that_is_used_and_not_listed_is_refused_with_the_whole_list(shop: Client) -> None:
    stages = [
        {"stage": "melt", "lasts": "2 week", "losses": {"fumes": "5 %"}, "remark": "slowly"},
        {"stage": "strain"},
    ]
    body = {**BODY, "stages": stages, "loss_cook": "3 %"}
    fault = refused(shop, "/v1/recipes", body)["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/stages", "stage-missing")
    assert "cook, thin" in fault["detail"]
    (way,) = fault["remedies"]
    order = [stage["stage"] for stage in way["send"]["stages"]]
    assert order == ["melt", "cook", "thin", "strain"]
    version = shop.made("/v1/recipes", {**body, **way["send"]})["version"]
    assert version["stages"][0] == {
        "stage": "melt",
        "lasts": {"value": "2", "unit": "week"},
        "losses": [loss("fumes", "5")],
        "remark": "slowly",
    }


def test_a_loss_in_both_forms_is_refused_and_either_is_taken(shop: Client) -> None:
    cook = {"stage": "cook", "losses": {"fumes": "4 %"}}
    body = {**BODY, "stages": [{"stage": "melt"}, cook, {"stage": "thin"}], "loss_cook": "3 %"}
    fault = refused(shop, "/v1/recipes", body)["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/loss_cook", "loss-twice")
    assert fault["remedies"][0]["send"] == {"loss_cook": None}
    del body["loss_cook"]  # a merge patch takes away what it sends as null
    shop.made("/v1/recipes", body)


@pytest.mark.parametrize(
    ("stage", "pointer", "code"),
    [
        ({"stage": "cook", "losses": {"fumes": "-1 %"}}, "/losses/fumes", "loss-sign"),
        ({"stage": "cook", "losses": {"water": "-1 %"}}, "/losses/water", "loss-sign"),
        ({"stage": "cook", "losses": {"oxygen": "1 %"}}, "/losses/oxygen", "loss-sign"),
        ({"stage": "cook", "losses": {"fumes": "100 %"}}, "/losses/fumes", "out-of-range"),
        ({"stage": "cook", "losses": {"fumes": "3 kg"}}, "/losses/fumes", "wrong-dimension"),
        ({"stage": "cook", "lasts": "0 min"}, "/lasts", "out-of-range"),
        ({"stage": "cook", "for": "3 h"}, "/for", "unknown-field"),
        ({"stage": "boil"}, "/stage", "literal-error"),
        ({"stage": "melt"}, "/stage", "stage-twice"),
    ],
)
def test_a_stage_that_cannot_be_is_refused_at_its_place(
    shop: Client, stage: dict[str, Any], pointer: str, code: str
) -> None:
    stages = [{"stage": "melt"}, {"stage": "thin"}, stage]
    fault = refused(shop, "/v1/recipes", {**BODY, "stages": stages})["errors"][0]
    assert (fault["pointer"], fault["code"]) == (f"#/stages/2{pointer}", code), fault


def test_a_cause_that_is_not_known_is_refused(shop: Client) -> None:
    stages = [{"stage": "cook", "losses": {"magic": "1 %"}}]
    fault = refused(shop, "/v1/recipes", {**BODY, "stages": stages})["errors"][0]
    assert fault["code"] == "literal-error"
    assert fault["pointer"].startswith("#/stages/0/losses/magic")


def test_water_is_taken_up_where_it_is_washed(shop: Client) -> None:
    wash = {"material": "ROSIN", "parts": 1, "stage": "wash"}
    stages = [{"stage": "wash", "losses": {"water": "-30 %"}}]
    body = {"code": "MIX-X", "lines": [wash], "stages": stages}
    version = shop.made("/v1/recipes", body)["version"]
    assert version["stages"][0]["losses"] == [loss("water", "-30")]


STEPS = [
    ({"heat": "240 °C", "ramp": "3 K/min", "until": "it foams"}, {"ramp": ("3", "K/min")}),
    ({"heat": "240 °C", "ramp": "3 °C/min"}, {"ramp": ("3", "K/min")}),
    ({"heat": "240 °C", "ramp": 3}, {"ramp": ("3", "K/min")}),
    ({"wait": "3 weeks", "stage": "sun-thicken", "until": "it is thick"}, {"for": ("3", "week")}),
    ({"wait": "36 h", "stage": "settle"}, {"for": ("2160", "min")}),
    ({"wait": "30 s"}, {"for": ("30", "s")}),
    ({"hold": "2 d"}, {"for": ("2", "d")}),
    ({"cool": "0 °C", "until": "it sets"}, {"to": ("0", "°C")}),
]


@pytest.mark.parametrize(("sent", "shown"), STEPS)
def test_a_step_is_kept_and_shown(
    shop: Client, sent: dict[str, Any], shown: dict[str, tuple[str, str]]
) -> None:
    shop.made("/v1/recipes", {**BODY, "steps": [sent]})
    (step,) = recipes.version(shop, "MIX-X")["steps"]
    for name, (value, unit) in shown.items():
        assert step[name] == {"value": value, "unit": unit}
    assert (step["line"], step["do"]) == (4, next(iter(sent)))
    assert (step["until"], step["stage"]) == (sent.get("until"), sent.get("stage", "cook"))


def test_a_check_says_what_to_look_for(shop: Client) -> None:
    check = "drop on cold glass stays clear"
    shop.made("/v1/recipes", {**BODY, "steps": [{"check": check}]})
    (step,) = recipes.version(shop, "MIX-X")["steps"]
    assert (step["do"], step["text"], step["until"]) == ("check", check, None)


@pytest.mark.parametrize(
    ("step", "pointer", "code"),
    [
        ({"wait": "3 weeks", "check": "clear"}, "", "one-thing"),
        ({"ramp": "3 K/min"}, "", "one-thing"),
        ({"hold": "1 h", "ramp": "3 K/min"}, "/ramp", "ramp-without-heat"),
        ({"heat": "240 °C", "ramp": "3 K"}, "/ramp", "wrong-dimension"),
        ({"heat": "240 °C", "ramp": "0 K/min"}, "/ramp", "out-of-range"),
        ({"check": "clear", "until": "clear"}, "", "until-without-cook"),
        ({"wait": "11 years"}, "/wait", "unit-unknown"),
        ({"wait": "600 weeks"}, "/wait", "out-of-range"),
    ],
)
def test_a_step_that_cannot_be_is_refused_at_its_place(
    shop: Client, step: dict[str, Any], pointer: str, code: str
) -> None:
    fault = refused(shop, "/v1/recipes", {**BODY, "steps": [step]})["errors"][0]
    assert (fault["pointer"], fault["code"]) == (f"#/steps/0{pointer}", code), fault
