"""Lines in parts, in percent and by a rule, through HTTP."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes
from tests.makers.recipes import RESINATE, refused

ROSIN = {"material": "ROSIN", "parts": 100}
OIL = {"material": "OIL-LIN", "parts": 100}


def share(value: str, unit: str = "%") -> dict[str, str]:
    return {"value": value, "unit": unit}


REACTS = {"share": share("45"), "of": [1], "excess": share("2")}
ALL_THAT_FIT = {"of": [], "excess": share("0")}
# A rule as it is sent, as it is shown, and what was assumed of it.
RULES = [
    (
        {"rule": "neutralise", "share": "45 %", "of": [1], "excess": "2 %"},
        {"rule": "neutralise", **REACTS},
        {},
    ),
    (
        {"rule": "neutralise", "share": "450 g/kg"},
        {"rule": "neutralise", "share": share("45"), **ALL_THAT_FIT},
        {"of": "all that fit", "excess": "0 %"},
    ),
    (
        {"rule": "precipitate", "of": [1]},
        {"rule": "precipitate", "share": share("100"), "of": [1], "excess": share("0")},
        {"share": "100 %", "excess": "0 %"},
    ),
    (
        {"rule": "metal", "share": "0.05 %", "on": "oil"},
        {"rule": "metal", "share": share("0.05"), "on": "oil"},
        {},
    ),
    (
        {"rule": "metal", "share": "0.05 %", "on": "oil and resin"},
        {"rule": "metal", "share": share("0.05"), "on": "oil and resin"},
        {},
    ),
    ({"rule": "solids", "share": 45}, {"rule": "solids", "share": share("45")}, {}),
    ({"rule": "per-binder", "share": "8 %"}, {"rule": "per-binder", "share": share("8")}, {}),
    (
        {"rule": "volume", "volume": "1 l"},
        {"rule": "volume", "volume": share("1000", "ml")},
        {},
    ),
    (
        {"rule": "cut", "cut": "2 lb/US gal", "of": [1]},
        {"rule": "cut", "cut": share("2", "lb/US gal"), "of": [1]},
        {},
    ),
    (
        {"rule": "strength", "strength": "70 %", "of": [1]},
        {"rule": "strength", "strength": share("70", "% v/v"), "of": [1]},
        {},
    ),
    (
        {"rule": "strength", "strength": {"value": 70, "unit": "%"}},
        {"rule": "strength", "strength": share("70", "% v/v"), "of": []},
        {"of": "all that fit"},
    ),
    (
        {"rule": "as-needed", "until": "pH 5.5"},
        {"rule": "as-needed", "until": "pH 5.5"},
        {},
    ),
]


@pytest.fixture
def shop(client: Client) -> Client:
    """The shelf, a material of which nothing is known, and something to make of them."""
    recipes.shelf(client)
    recipes.material(client, "PLAIN-X")
    recipes.material(client, "MIX-X", kind="finished")
    return client


def by_rule(derive: Any, **more: Any) -> dict[str, Any]:
    """What of nothing is known goes in by a rule, so that no rule can be worked out."""
    unknown = {"material": "PLAIN-X", "derive": {"rule": "solids", "share": 20}}
    ruled = {"material": "PLAIN-X", "derive": derive, **more}
    return {"code": "MIX-X", "lines": [ROSIN, unknown, ruled]}


@pytest.mark.parametrize(("sent", "shown", "assumed"), RULES)
def test_a_rule_is_kept_and_shown_with_what_was_assumed_of_it(
    shop: Client, sent: dict[str, Any], shown: dict[str, Any], assumed: dict[str, str]
) -> None:
    made = shop.made("/v1/recipes", by_rule(sent))
    assert made["assumed"].get("derive", {}).get("3", {}) == assumed
    line = recipes.version(shop, "MIX-X")["lines"][2]
    assert (line["derive"], line["parts"], line["percent"]) == (shown, None, None)
    assert line["condition"] == shown.get("until")
    again = recipes.again(shop, "MIX-X", {"lines": by_rule(shown)["lines"]})
    assert again["lines"][2]["derive"] == shown


def test_the_rest_fills_up_what_the_percents_leave(shop: Client) -> None:
    lines = [
        {"material": "OIL-LIN", "percent": 60},
        {"material": "WSPIRIT", "derive": {"rule": "rest"}, "stage": "thin"},
    ]
    version = shop.made("/v1/recipes", {"code": "MIX-X", "lines": lines})["version"]
    assert version["lines"][1]["derive"] == {"rule": "rest"}
    assert [line["share"]["value"] for line in version["lines"]] == ["60.00", "40.00"]


def test_a_rule_that_can_be_worked_out_has_a_share(shop: Client) -> None:
    lines = [
        OIL,
        {
            "material": "WSPIRIT",
            "derive": {"rule": "solids", "share": "80 %"},
            "stage": "thin",
            "tolerance": "5 %",
            "condition": "below 70 °C, flame out",
        },
    ]
    version = shop.made("/v1/recipes", {"code": "MIX-X", "lines": lines})["version"]
    thinner = version["lines"][1]
    # 80 % of what is all oil: a fifth is spirit.
    assert thinner["share"] == {"value": "20.00", "unit": "%"}
    assert thinner["tolerance"] == {"value": "5", "unit": "%"}
    assert thinner["condition"] == "below 70 °C, flame out"


def test_what_is_added_as_needed_has_no_share(shop: Client) -> None:
    acid = {"material": "PLAIN-X", "derive": {"rule": "as-needed", "until": "pH 5.5"}}
    body = {"code": "MIX-X", "lines": [ROSIN, acid]}
    version = shop.made("/v1/recipes", body)["version"]
    assert [line["share"] for line in version["lines"]] == [{"value": "100.0", "unit": "%"}, None]


def test_a_rule_that_lacks_a_value_leaves_all_that_follows_undecided(shop: Client) -> None:
    version = shop.made(
        "/v1/recipes",
        by_rule({"rule": "rest"})
        | {
            "lines": [
                ROSIN,
                {"material": "PLAIN-X", "derive": {"rule": "solids", "share": 20}},
            ]
        },
    )["version"]
    assert [line["share"] for line in version["lines"]] == [None, None]
    assert version["figures"] == []
    missing = {row["name"]: row["missing"] for row in version["undecided"]}
    assert missing["non_volatile"] == ["non-volatile of PLAIN-X"]


@pytest.mark.parametrize(
    ("derive", "below", "code"),
    [
        ({"rule": "guess"}, "", "rule-unknown"),
        ({"share": "4 %"}, "", "rule-unknown"),
        ({"rule": "metal", "share": "1 %"}, "/on", "missing"),
        ({"rule": "metal", "share": "1 %", "on": "wax"}, "/on", "literal-error"),
        ({"rule": "metal", "share": "1 %", "on": "oil", "of": [1]}, "/of", "unknown-field"),
        ({"rule": "rest", "share": "1 %"}, "/share", "unknown-field"),
        ({"rule": "volume", "volume": "1 l", "excess": 2}, "/excess", "unknown-field"),
        ({"rule": "volume", "volume": "1 kg"}, "/volume", "wrong-dimension"),
        ({"rule": "solids", "share": "101 %"}, "/share", "out-of-range"),
        ({"rule": "solids", "share": "0 %"}, "/share", "out-of-range"),
        ({"rule": "neutralise", "share": 45, "excess": "-1 %"}, "/excess", "out-of-range"),
        ({"rule": "cut", "cut": "2 lb"}, "/cut", "wrong-dimension"),
        ({"rule": "as-needed", "until": " "}, "/until", "empty-text"),
        ({"rule": "cut", "cut": 2, "of": [0]}, "/of/0", "greater-than-equal"),
        ({"rule": "cut", "cut": 2, "of": [1, 1]}, "/of", "line-twice"),
        ({"rule": "cut", "cut": 2, "of": [1, 9]}, "/of/1", "line-unknown"),
        ({"rule": "cut", "cut": 2, "of": [3]}, "/of/0", "line-itself"),
    ],
)
def test_a_rule_that_says_something_else_is_refused_at_its_place(
    shop: Client, derive: dict[str, Any], below: str, code: str
) -> None:
    fault = refused(shop, "/v1/recipes", by_rule(derive))["errors"][0]
    assert (fault["pointer"], fault["code"]) == (f"#/lines/2/derive{below}", code), fault


REST = {"material": "WSPIRIT", "derive": {"rule": "rest"}}
METAL = {"material": "PLAIN-X", "derive": {"rule": "metal", "share": 1, "on": "oil"}}


@pytest.mark.parametrize(
    ("lines", "pointer", "code"),
    [
        ([ROSIN, REST], "#/lines/1", "out-of-range"),
        ([{"material": "ROSIN", "percent": 60}, REST, REST], "#/lines/1", "out-of-range"),
        ([{"material": "ROSIN", "percent": 100}, REST], "#/lines/1", "out-of-range"),
        ([{"material": "ROSIN", "percent": 60}], "#/lines", "out-of-range"),
        ([METAL], "#/lines", "not-applicable"),
        ([{**ROSIN, **REST}], "#/lines/0", "one-of-three"),
        ([{**OIL, "tolerance": "21 %"}], "#/lines/0/tolerance", "out-of-range"),
        ([{**OIL, "tolerance": "0 %"}], "#/lines/0/tolerance", "out-of-range"),
        ([{**OIL, "condition": "x" * 201}], "#/lines/0/condition", "too-long"),
        ([{**OIL, "stage": "boil"}], "#/lines/0/stage", "literal-error"),
        ([OIL] * 61, "#/lines", "too-many-lines"),
    ],
)
def test_lines_that_make_no_whole_are_refused(
    shop: Client, lines: list[Any], pointer: str, code: str
) -> None:
    fault = refused(shop, "/v1/recipes", {"code": "MIX-X", "lines": lines})["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code), fault


def test_sixty_lines_are_taken(shop: Client) -> None:
    made = shop.made("/v1/recipes", {"code": "MIX-X", "lines": [OIL] * 60})
    assert len(made["version"]["lines"]) == 60


def test_another_sign_than_that_of_the_rule_is_refused(shop: Client) -> None:
    body = by_rule({"rule": "as-needed", "until": "pH 5.5"}, condition="until it is clear")
    fault = refused(shop, "/v1/recipes", body)["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/lines/2/condition", "sign-twice")


def test_a_rule_looks_at_nothing_that_goes_in_after_it(shop: Client) -> None:
    cut = {"material": "PLAIN-X", "derive": {"rule": "cut", "cut": 2, "of": [2]}}
    for first in ({}, {"stage": "melt"}):
        body = {"code": "MIX-X", "lines": [{**cut, **first}, ROSIN]}
        fault = refused(shop, "/v1/recipes", body)["errors"][0]
        assert (fault["pointer"], fault["code"]) == ("#/lines/0/derive/of/0", "line-later")
    shop.made("/v1/recipes", {"code": "MIX-X", "lines": [{**cut, "stage": "thin"}, ROSIN]})


def test_what_cannot_be_by_what_is_known_is_refused_at_its_line(shop: Client) -> None:
    spirit = {"material": "WSPIRIT", "derive": {"rule": "solids", "share": "99 %"}}
    lines = [OIL, {"material": "WSPIRIT", "parts": 50}, {**spirit, "stage": "thin"}]
    fault = refused(shop, "/v1/recipes", {"code": "MIX-X", "lines": lines})["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/lines/2", "out-of-range")


def test_what_became_known_since_keeps_a_draft_from_approval(shop: Client) -> None:
    spirit = {"material": "WSPIRIT", "derive": {"rule": "solids", "share": "80 %"}}
    body = {"code": "MIX-X", "lines": [OIL, {**spirit, "stage": "thin"}]}
    shop.made("/v1/recipes", body)
    poor = {"property": "non_volatile", "value": "70 %", **recipes.TABLE}
    shop.made("/v1/materials/OIL-LIN/figures", poor)
    shown = recipes.version(shop, "MIX-X")
    assert (shown["figures"], shown["lines"][1]["share"]) == ([], None)
    fault = refused(shop, "/v1/recipes/MIX-X/approvals", {})["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/version", "out-of-range")


def test_a_line_of_the_old_kind_has_neither_rule_nor_condition(shop: Client) -> None:
    line = recipes.recipe(shop, RESINATE)["version"]["lines"][0]
    assert (line["derive"], line["tolerance"], line["condition"]) == (None, None, None)
