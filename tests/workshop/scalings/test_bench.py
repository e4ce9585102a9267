"""At the bench: what was weighed stands as it fell, and the other lines follow."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import compositions, scalings, stock
from tests.makers.recipes import figure
from tests.makers.scalings import known, made_by, refused, scaling, target

PATH = "/v1/recipes/SPAR/scalings"


@pytest.fixture
def shop(client: Client) -> Client:
    scalings.shop(client)
    return client


def weighed(before: Any, **lines: str) -> dict[str, Any]:
    """The body that follows a scaling with what was weighed, by line ("_1")."""
    fell = {name.strip("_"): mass for name, mass in lines.items()}
    return {"bench": {"scaling": before["scaling"], "weighed": fell}}


def targets(answer: Any) -> list[str | None]:
    return [target(answer, row["line"]) for row in answer["lines"]]


def test_the_other_lines_follow_in_proportion(shop: Client) -> None:
    before = scaling(shop)
    answer = shop.made(PATH, weighed(before, _1="1163.5 g"))
    # 1163.5 / 1149.12 of 1378.95, 919.30 and 2229.30 g. By hand.
    assert targets(answer) == ["1163.5", "1396", "931", "2257"]
    first = answer["lines"][0]
    assert (first["how"], first["exact"]) == ("as it was weighed", "1163.50")
    assert first["target"]["basis"] == "measured"
    assert answer["notes"][first["target"]["note"]]["method"] == "weighed at the bench"
    assert answer["makes"]["mass"]["value"] == "5.558"  # 5.48964 x 1163.5 / 1149.12
    assert answer["bench"] == before["scaling"]


def test_two_lines_stand_as_they_fell_and_the_others_follow_their_sum(shop: Client) -> None:
    answer = shop.made(PATH, weighed(scaling(shop), _1="1163.5 g", _2="1390 g"))
    # (1163.5 + 1390) / (1149.12 + 1378.95) of 919.30 and 2229.30 g. By hand.
    assert targets(answer) == ["1163.5", "1390", "929", "2252"]


def test_what_the_first_scaling_was_told_still_holds(shop: Client) -> None:
    shop.made("/v1/equipment", {"code": "BAL-FINE", "kind": "balance", "reads_to": "0.1 g"})
    sent = {"balance": "BAL-FINE", "loss_cook": "0 %", "density": "0.95 kg/l"}
    before = scaling(shop, "1 kg", **sent)
    answer = shop.made(PATH, weighed(before, _1="203.0 g"))
    again = shop.made(PATH, weighed(answer, _1="203.0 g", _2="243.6 g"))
    for each in (answer, again):
        # No loss in the cook, so 60 % binder to 40 % spirit: 203.0 x 2. By hand.
        assert targets(each) == ["203.0", "243.6", "162.4", "406.0"]
        assert (each["balance"], each["loss_cook"]) == ("BAL-FINE", "0 %")
        assert each["notes"]["bench"]["from"][0]["value"] == "0.95"
    assert again["asked"]["text"] == "1 kg, by line 1: 203 g, line 2: 243.6 g"


def test_a_lot_that_was_chosen_stays_chosen(client: Client) -> None:
    compositions.reacting(client)
    client.made("/v1/equipment", {"code": "BAL-2KG", "kind": "balance", "reads_to": "0.1 g"})
    zinc = {"material": "ZNO", "derive": {"rule": "neutralise", "share": "80 %"}}
    made_by(client, "SALT-ZN", {"material": "ROSIN", "parts": 1}, zinc, kind="intermediate")
    lots = [stock.received(client, "ROSIN", "5 kg") for _ in range(2)]
    known(client, f"lots/{lots[1]}", acid_value="160 mg KOH/g")
    asked = {"material": "ROSIN", "amount": "1 kg"}
    before = scaling(client, asked, code="SALT-ZN", choose={"ROSIN": {"lot": lots[1]}})
    answer = client.made("/v1/recipes/SALT-ZN/scalings", weighed(before, _1="1100 g"))
    assert before["sent"] == {"choose": {"ROSIN": {"lot": lots[1]}}}
    # 95.73 g x 160 / 165 to the kilogram, here 1.1 kg. By hand.
    assert (target(before, 2), target(answer, 2)) == ("92.8", "102.1")


def test_what_is_sent_at_the_bench_stands_before_what_was_sent_first(shop: Client) -> None:
    before = scaling(shop, "1 kg", loss_cook="0 %")
    answer = shop.made(PATH, {**weighed(before, _1="203 g"), "loss_cook": "20 %"})
    assert answer["loss_cook"] == "20 %"
    assert target(answer, 4) == "325"  # 203 x 3 x 0.8 / 0.6 x 0.4, by hand


@pytest.mark.parametrize("number", ["9", "5"])
def test_a_line_that_is_not_weighed_is_refused_with_those_that_are(
    shop: Client, number: str
) -> None:
    body = weighed(scaling(shop, "1 kg"), **{f"_{number}": "5 g"})
    (fault,) = refused(shop, body)["errors"]
    assert (fault["pointer"], fault["code"]) == (f"#/bench/weighed/{number}", "no-such-line")
    assert fault["hint"] == "Weighed to a target: 1, 2, 3, 4."


@pytest.mark.parametrize("weight", ["0 g", "-1 g", "5 l", "2000 kg"])
def test_a_weight_that_cannot_be_is_refused(shop: Client, weight: str) -> None:
    (fault,) = refused(shop, weighed(scaling(shop, "1 kg"), _1=weight))["errors"]
    assert fault["pointer"] == "#/bench/weighed/1"


def test_a_scaling_that_is_not_there_is_refused(shop: Client) -> None:
    refused(shop, weighed({"scaling": "SC-26-999"}, _1="5 g"), status=404)


def test_a_scaling_of_another_recipe_is_refused(shop: Client) -> None:
    body = weighed(scaling(shop, "1 kg"), _1="5 g")
    found = refused(shop, body, code="RESIN-ZN", status=404)
    assert found["type"] == "/problems/scaling-unknown"


def test_nothing_is_added_to_what_was_weighed(shop: Client) -> None:
    body = weighed(scaling(shop, "1 kg"), _1="210 g")
    assert refused(shop, {**body, "overage": "2 %"})["errors"][0]["code"] == "no-overage"


def test_a_crumb_on_the_balance_makes_no_line_of_nothing(shop: Client) -> None:
    found = refused(shop, weighed(scaling(shop, "1 kg"), _3="0.2 g"))
    assert found["type"] == "/problems/too-small-to-weigh"


def test_what_fell_may_be_more_than_the_kettle_holds(shop: Client) -> None:
    found = refused(shop, weighed(scaling(shop, "1 kg"), _1="9 kg"))
    assert found["type"] == "/problems/kettle-too-small"
    assert "remedies" not in found["errors"][0]


def test_ratios_and_figures_are_those_of_what_fell(shop: Client) -> None:
    before = scaling(shop, "5 kg")
    answer = shop.made(PATH, weighed(before, _1="1000 g", _2="1500 g", _3="1000 g"))
    # Oil to resin: (1500 + 1000) / 1000 = 2.5 where the recipe has 2. By hand.
    assert answer["rounding"]["oil_to_resin"] == {"exact": "2.5000", "rounded": "2.5000"}
    assert figure(answer, "oil_to_resin") == "2.50"
    (can,) = [row for row in answer["figures"] if row["name"] == "oil_to_resin_can"]
    assert can["value"] == "2.50"
    assert answer["notes"][can["note"]]["how"].endswith("by the weights as they fell")


def test_a_ratio_that_fell_otherwise_by_more_than_a_percent_is_flagged(shop: Client) -> None:
    before = scaling(shop, "5 kg")
    answer = shop.made(PATH, weighed(before, _1="1000 g", _2="1500 g", _3="1000 g"))
    changed = [flag for flag in answer["flags"] if flag["code"] == "ratio-changed"]
    assert [flag["line"] for flag in changed] == [None, 1, 2, 3]
    assert changed[0]["text"] == "Oil to resin is 2.50 as it was weighed, 2.00 by the recipe."
    # 3500 g by 1 : 1.2 : 0.8 is 1166.7, 1400 and 933.3 g; 1000 is 14.3 % less. By hand.
    assert "RESIN-ZN is 14 % less than the recipe has" in changed[1]["text"]


def test_a_ratio_that_is_kept_within_a_percent_is_not_flagged(shop: Client) -> None:
    before = scaling(shop, "5 kg")
    answer = shop.made(PATH, weighed(before, _1="1000 g", _2="1207.5 g", _3="800 g"))
    assert "ratio-changed" not in {flag["code"] for flag in answer["flags"]}
    assert answer["rounding"]["oil_to_resin"]["exact"] == "2.0075"  # 2007.5 / 1000, by hand


def test_what_fell_so_that_it_cannot_react_is_taken_and_its_figures_are_undecided(
    client: Client,
) -> None:
    compositions.reacting(client)
    client.made("/v1/equipment", {"code": "BAL-2KG", "kind": "balance", "reads_to": "0.1 g"})
    zinc = {"material": "ZNO", "derive": {"rule": "neutralise", "share": "80 %"}}
    made_by(client, "SALT-ZN", {"material": "ROSIN", "parts": 1}, zinc, kind="intermediate")
    before = scaling(client, {"material": "ROSIN", "amount": "1 kg"}, code="SALT-ZN")
    fell = weighed(before, _1="1000 g", _2="200 g")  # 119.7 g take all of the acid, by hand
    answer = client.made("/v1/recipes/SALT-ZN/scalings", fell)
    assert targets(answer) == ["1000.0", "200.0"]
    assert "loss_total" in {row["name"] for row in answer["undecided"]}
