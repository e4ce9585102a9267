"""All the ways to ask for a scaling, and what is taken for granted where it is not said."""

from decimal import Decimal
from typing import Any

import pytest

from service.store.session import Store
from service.workshop.materials.actions import record_figures
from service.workshop.materials.bodies import FigureValue
from tests.client import Client, system
from tests.makers import batches, recipes, scalings, stock
from tests.makers.batches import COMES
from tests.makers.recipes import figure
from tests.makers.scalings import scaling, target

PATH = "/v1/recipes/SPAR/scalings"


@pytest.fixture
def shop(client: Client) -> Client:
    scalings.shop(client)
    return client


def test_all_the_stock_is_what_the_scarcest_ingredient_makes(client: Client) -> None:
    scalings.stocked(client)
    answer = scaling(client, "stock")
    assert answer["limited_by"] == {
        "material": "RESIN-ZN",
        "left": {"value": "2000", "unit": "g"},
    }
    # 2000 g less half a step, over its share of 1149.12 in 5489.64 g: 9.552 kg. By hand.
    assert answer["makes"]["mass"]["value"] == "9.552"
    assert all(row["short"] is None for row in answer["lines"])


def test_nothing_in_stock_is_refused_naming_only_what_is_needed(shop: Client) -> None:
    stock.received(shop, "OIL-LIN", "5 kg")
    fault = scalings.refused(shop, {"for": "stock"})["errors"][0]
    assert fault["code"] == "nothing-in-stock"
    assert fault["detail"].endswith("no open lot of RESIN-ZN, OIL-TUNG, WSPIRIT.")


def test_what_is_added_as_needed_limits_no_stock(client: Client) -> None:
    recipes.shelf(client)
    lines = [
        {"material": "OIL-LIN", "parts": 1},
        {"material": "WSPIRIT", "derive": {"rule": "as-needed", "until": "it runs"}},
    ]
    scalings.made_by(client, "OIL-X", *lines)
    stock.received(client, "OIL-LIN", "5 kg")
    answer = scaling(client, "stock", code="OIL-X")
    assert (answer["limited_by"]["material"], target(answer, 2)) == ("OIL-LIN", None)


def test_a_crumb_that_the_balance_cannot_read_makes_nothing(client: Client) -> None:
    recipes.shelf(client)
    scalings.made_by(client, "OIL-X", {"material": "OIL-LIN", "parts": 1})
    stock.received(client, "OIL-LIN", "0.4 g")
    fault = scalings.refused(client, {"for": "stock"}, code="OIL-X")["errors"][0]
    assert "less than a balance reads" in fault["detail"]


@pytest.mark.parametrize("asked", ["stock", {"kettle": "KETTLE-2"}])
def test_what_is_all_there_is_takes_no_overage(client: Client, asked: Any) -> None:
    scalings.stocked(client)
    fault = scalings.refused(client, {"for": asked, "overage": "2 %"})["errors"][0]
    assert fault["code"] == "no-overage"
    assert fault["remedies"][0]["send"] == {"overage": None}
    scaling(client, asked)


def test_a_kettle_is_filled_to_the_room_it_needs(shop: Client) -> None:
    shop.made("/v1/equipment", {"code": "KETTLE-9", "kind": "kettle", "holds": "9 l"})
    answer = scaling(shop, {"kettle": "KETTLE-2"})
    assert (answer["kettle"], answer["fill"]["cold"]["value"]) == ("KETTLE-2", "50")
    assert answer["fill"]["at_most"]["value"] == "50"
    assert "hot not reckoned without expansion of" in answer["notes"]["kettle"]["how"]


def test_a_kettle_that_does_not_say_what_it_holds_cannot_be_filled(shop: Client) -> None:
    shop.made("/v1/equipment", {"code": "POT", "kind": "kettle"})
    fault = scalings.refused(shop, {"for": {"kettle": "POT"}})["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/for/kettle", "kettle-unmeasured")


def test_jars_of_a_size_that_is_no_pack_are_filled_less_their_ullage(shop: Client) -> None:
    jars = {"jars": 24, "each": "250 ml"}
    # 24 x 0.250 l x 1.02 x 0.897 kg/l = 5.48964 kg, less 5 %: 5.21516 kg. By hand.
    answer = scaling(shop, {**jars, "ullage": "5 %"})
    assert answer["makes"]["mass"]["value"] == "5.215"
    assert "ullage" not in answer["assumed"]
    brimful = scaling(shop, jars)
    assert brimful["makes"]["mass"]["value"] == "5.490"
    assert brimful["assumed"]["ullage"].startswith("none")


def test_an_overage_that_is_sent_stands_in_place_of_the_usual(shop: Client) -> None:
    answer = scaling(shop, overage="0 %")
    assert answer["makes"]["mass"]["value"] == "5.382"  # 24 x 0.250 x 0.897, by hand
    assert "overage" not in answer["assumed"]


def test_losses_that_are_sent_stand_in_place_of_the_recipes(shop: Client) -> None:
    answer = scaling(shop, "1 kg", loss_cook="0 %", loss_strain="0 %")
    # 60 % in the parts 1 : 1.2 : 0.8, and 40 %. By hand.
    assert [target(answer, n) for n in (1, 2, 3, 4)] == ["200", "240", "160", "400"]
    assert not {"loss_cook", "loss_strain"} & answer["assumed"].keys()


def test_a_loss_of_a_stage_that_is_not_there_is_refused(client: Client) -> None:
    recipes.shelf(client)
    scalings.made_by(client, "OIL-X", {"material": "OIL-LIN", "parts": 1, "stage": "mix"})
    body = {"for": "1 kg", "loss_cook": "3 %"}
    fault = scalings.refused(client, body, code="OIL-X")["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/loss_cook", "no-stage")
    scaling(client, "1 kg", code="OIL-X")


def test_a_loss_in_straining_needs_no_stage_of_its_own(client: Client) -> None:
    recipes.shelf(client)
    scalings.made_by(client, "OIL-X", {"material": "OIL-LIN", "parts": 1, "stage": "mix"})
    answer = scaling(client, "1 kg", code="OIL-X", loss_strain="20 %")
    assert target(answer, 1) == "1250"  # 1000 / 0.8, by hand


def lost(store: Store, *percents: str) -> None:
    """What batches of the first version lost, all told, as completing them records it."""
    for percent in percents:
        value = FigureValue(value=f"{percent} %", basis="measured", method="weighed")
        with store.writing(system()) as session:
            record_figures(session, ("version", "SPAR/1"), {"loss": value}, by=None)


def test_what_the_last_four_batches_lost_stands_in_place_of_what_is_declared(
    shop: Client, store: Store
) -> None:
    lost(store, "50", "4", "6", "5", "7")
    answer = scaling(shop, "1 kg")
    # The mean of the last four is 5.5 %: 1000 / 0.945 = 1058.20 g. Declared, 1.5 % of all and 3 %
    # of 60 %: 1000 / 0.985 x (0.6 / 0.97 + 0.4) = 1034.07 g, a loss of 3.29 %. By hand.
    exact = sum(float(row["exact"]) for row in answer["lines"])
    assert exact == pytest.approx(1058.20, abs=0.02)
    said = answer["assumed"]["loss"]
    assert said.startswith("5.50 % of all that is weighed in, measured on the last 4 batches")
    assert "3.29 % worked out" in said
    assert answer["makes"]["mass"]["value"] == "1.000"


def test_a_loss_that_is_sent_stands_before_what_was_measured(shop: Client, store: Store) -> None:
    lost(store, "5")
    assert "measured on the last batch" in scaling(shop, "1 kg")["assumed"]["loss"]
    assert "loss" not in scaling(shop, "1 kg", loss_cook="3 %")["assumed"]


def test_after_a_measured_loss_a_pot_that_weighs_what_was_expected_changes_nothing(
    shop: Client, store: Store
) -> None:
    lost(store, "8")
    before = scaling(shop, "1 kg")
    left = {row["stage"]: row for row in before["losses"]}
    charged = sum(float(row["exact"]) for row in before["lines"][:3])
    mass = f"{charged - float(left['cook']['mass']['value']):.1f} g"
    after = scaling(shop, "1 kg", measured=[{"stage": "cook", "mass": mass}])
    assert after["lines"] == before["lines"]
    assert after["makes"]["mass"]["value"] == "1.000"


def test_the_same_question_has_the_same_answer_but_for_the_number(client: Client) -> None:
    scalings.stocked(client)
    one, two = (client.post(PATH, {"for": scalings.JARS}).text for _ in range(2))
    assert one.replace("SC-26-001", "SC-26-002") == two


def test_a_retry_with_its_key_draws_no_second_number(shop: Client) -> None:
    key = {"Idempotency-Key": "river-2026-0001"}
    one, two = (shop.post(PATH, {"for": "1 kg"}, headers=key) for _ in range(2))
    assert (one.status_code, one.text) == (201, two.text)
    assert scaling(shop, "1 kg")["scaling"].endswith("-002")


def test_a_completed_batch_teaches_the_next_scaling_what_is_lost(client: Client) -> None:
    code, lots = batches.ready(client)
    client.made(f"/v1/batches/{code}/pages", batches.evening(lots))
    answer = scaling(client, "1 kg")
    # 5677 g were weighed in and 5478 g came out: 199 / 5677 = 3.505 %; 1000 / 0.96495 g. By hand.
    assert (
        "3.51 % of all that is weighed in, measured on the last batch" in answer["assumed"]["loss"]
    )
    assert sum(float(row["exact"]) for row in answer["lines"]) == pytest.approx(1036.33, abs=0.05)


def test_what_comes_out_is_what_goes_in_less_what_leaves_also_by_a_measured_loss(
    shop: Client, store: Store
) -> None:
    lost(store, "8")
    answer = scaling(shop, "5 kg")
    charged = sum(Decimal(row["exact"]) for row in answer["lines"])
    left = sum(Decimal(row["mass"]["value"]) for row in answer["losses"])
    # Each loss is told to three digits, so all of them to some grams.
    assert float(charged - left) == pytest.approx(5000, abs=2)
    more = answer["losses"][-1]
    assert (more["stage"], more["what"]) == ("strain", "more, by the last batches")
    assert more["mass"]["basis"] == "measured"
    sheet = shop.read(f"{PATH}/{answer['scaling']}/sheet")
    assert f"{more['mass']['value']} g more, by the last batches (strain)" in str(sheet["notes"])


def test_less_than_was_declared_is_told_as_less(shop: Client, store: Store) -> None:
    lost(store, "1")
    more = scaling(shop, "1 kg")["losses"][-1]
    assert more["what"] == "less, by the last batches"
    # 1000 / 0.99 = 1010.10 g goes in and 10.10 g is lost; declared it is 3.29 %, 33.3 g. By hand.
    assert float(more["mass"]["value"]) == pytest.approx(-23.2, abs=0.1)


def test_the_loss_among_the_figures_is_the_one_that_was_used(shop: Client, store: Store) -> None:
    before = scaling(shop, "1 kg")
    assert figure(before, "loss_total") == "3.29"
    lost(store, "8")
    answer = scaling(shop, "1 kg")
    (told,) = [row for row in answer["figures"] if row["name"] == "loss_total"]
    assert (told["value"], told["basis"]) == ("8.00", "measured")
    assert "last batch" in answer["notes"][told["note"]]["method"]
    assert {row["name"] for row in answer["figures"]} == {row["name"] for row in before["figures"]}


def test_of_an_ingredient_no_more_is_asked_than_there_is(shop: Client) -> None:
    # 2000.6 g would be rounded up to 2001 g; the others go by half: 2400.72 and 1600.48 g.
    answer = scaling(shop, {"material": "RESIN-ZN", "amount": "2000.6 g"})
    assert [target(answer, n) for n in (1, 2, 3)] == ["2000", "2401", "1600"]


def test_all_the_stock_says_by_how_much_it_goes(client: Client) -> None:
    scalings.stocked(client)
    answer = scaling(client, "stock")
    said = answer["notes"]["stock"]["how"]
    assert said.startswith("what 1999.5 g of RESIN-ZN makes (2000 g less half a step")


def test_jars_of_a_pack_have_no_ullage_of_their_own(shop: Client) -> None:
    (fault,) = scalings.refused(shop, {"for": {**scalings.JARS, "ullage": "5 %"}})["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/for/ullage", "no-ullage")
    assert fault["detail"] == "An ullage belongs to jars given by `each`."


def test_a_share_without_a_unit_is_in_percent_wherever_it_stands(shop: Client) -> None:
    jars = {"jars": 24, "each": "250 ml"}
    bare = scaling(shop, {**jars, "ullage": "5"}, overage="2", loss_cook="3")
    told = scaling(shop, {**jars, "ullage": "5 %"}, overage="2 %", loss_cook="3 %")
    assert bare["lines"] == told["lines"]


def test_where_all_versions_are_retired_no_draft_is_offered(shop: Client) -> None:
    recipes.retired(shop, "SPAR")
    found = scalings.refused(shop, {"for": "1 kg"}, status=409)
    (fault,) = found["errors"]
    assert found["type"] == "/problems/recipe-not-approved"
    assert found["detail"] == "All versions of SPAR are retired."
    assert "remedies" not in fault
    assert fault["hint"].startswith("Draft one: POST /v1/recipes/SPAR/versions")


def test_a_draft_is_offered_though_a_later_version_is_retired(shop: Client) -> None:
    for _ in range(2):
        recipes.again(shop, "SPAR", {"lines": recipes.SPAR["lines"]})
    shop.made("/v1/recipes/SPAR/approvals", {})
    for number in (1, 3):
        recipes.retired(shop, "SPAR", number)
    found = scalings.refused(shop, {"for": "1 kg"}, status=409)
    (way,) = found["errors"][0]["remedies"]
    assert way["send"] == {"version": 2}
    scaling(shop, "1 kg", **way["send"])


def test_a_batch_allows_what_the_sheet_of_its_scaling_allows(shop: Client) -> None:
    shop.made("/v1/equipment", {"code": "BAL-FINE", "kind": "balance", "reads_to": "0.1 g"})
    number = scaling(shop)["scaling"]  # no balance is named, so that it goes by 1 g
    planned = shop.made("/v1/batches", {"scaling": number, **COMES})["batch"]
    sheets = (shop.read(f"{PATH}/{number}/sheet"), shop.read(f"/v1/batches/{planned}/sheet"))
    allowed = [
        [line["allow"]["value"] for step in sheet["steps"] for line in step["lines"] if
         line.get("target") and line["do"] == "weigh"]
        for sheet in sheets
    ]  # fmt: skip
    assert allowed[0] == allowed[1] == ["3", "3", "2", "6"]  # 0.25 % in whole grams, by hand
