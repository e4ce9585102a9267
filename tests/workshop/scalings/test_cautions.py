"""Which cautions a charge calls for: one line more or less switches a rule on or off."""

from itertools import groupby
from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes, scalings
from tests.makers.scalings import known, made_by, rules, scaling

OIL: dict[str, Any] = {"material": "OIL-LIN", "parts": 10}
HOT = [{"heat": "240 °C"}]


@pytest.fixture
def shelf(client: Client) -> Client:
    recipes.shelf(client)
    return client


def said(client: Client, *lines: Any, steps: list[Any] = HOT) -> set[str]:
    """The rules that a charge of these lines calls for."""
    made_by(client, "PLAN-X", *lines, steps=steps)
    return rules(scaling(client, "1 kg", code="PLAN-X"))


@pytest.mark.parametrize(("material", "called_for"), [("WSPIRIT", True), ("OIL-TUNG", False)])
def test_solvent_into_a_hot_varnish_is_cautioned_and_oil_is_not(
    shelf: Client, material: str, called_for: bool
) -> None:
    found = said(shelf, OIL, {"material": material, "parts": 5, "stage": "thin"})
    assert ("solvent-into-hot-varnish" in found) is called_for


@pytest.mark.parametrize(("formula", "called_for"), [("NaOH", True), ("NaHCO3", False)])
def test_a_strong_alkali_is_cautioned_and_a_mild_one_is_not(
    shelf: Client, formula: str, called_for: bool
) -> None:
    recipes.material(shelf, "ALKALI", family="base", formula=formula)
    alkali = {"material": "ALKALI", "parts": 1, "stage": "saponify"}
    found = said(shelf, {"material": "ROSIN", "parts": 10, "stage": "saponify"}, alkali, steps=[])
    assert ("caustic" in found) is called_for


def test_alkali_added_as_it_needs_is_cautioned_as_well(shelf: Client) -> None:
    recipes.material(shelf, "LYE", family="base", formula="NaOH")
    rule = {"rule": "as-needed", "until": "it is clear"}
    lye = {"material": "LYE", "derive": rule, "stage": "saponify"}
    resin = {"material": "ROSIN", "parts": 10, "stage": "saponify"}
    assert "caustic" in said(shelf, resin, lye, steps=[])


@pytest.mark.parametrize(("formula", "called_for"), [("ZnCl2", True), ("NaCl", False)])
def test_a_salt_is_cautioned_for_the_metal_it_holds(
    shelf: Client, formula: str, called_for: bool
) -> None:
    recipes.material(shelf, "SALT", family="salt", formula=formula)
    found = said(shelf, {"material": "SALT", "parts": 1, "stage": "mix"}, steps=[])
    assert ("metal-salt" in found) is called_for


@pytest.mark.parametrize(
    ("steps", "told", "noted"),
    [
        ([{"heat": "75 °C"}, {"cool": "55 °C", "stage": "thin"}], "55 °C", False),
        ([{"heat": "75 °C"}], "75 °C", False),
        (HOT, "120 °C", True),
    ],
)
def test_a_pour_is_told_as_the_plan_has_it_where_that_is_cooler_than_it_must_be(
    shelf: Client, steps: list[Any], told: str, noted: bool
) -> None:
    known(shelf, "WSPIRIT", boiling_point="150 °C", autoignition="230 °C")
    made_by(shelf, "PLAN-X", OIL, {"material": "WSPIRIT", "parts": 5, "stage": "thin"}, steps=steps)
    found = scaling(shelf, "1 kg", code="PLAN-X")["cautions"]
    (pour,) = [row for row in found if row["rule"] == "solvent-into-hot-varnish"]
    assert pour["text"].endswith(f"no hotter than {told}.")
    assert (pour["note"] is not None) is noted


def test_headroom_is_cautioned_in_the_stage_that_lacks_it(shelf: Client) -> None:
    shelf.made("/v1/equipment", {"code": "POT", "kind": "kettle", "holds": "12 l"})
    known(shelf, "WSPIRIT", boiling_point="150 °C", expansion="0.8 kg/m3/K")
    known(shelf, "OIL-LIN", expansion="0.68 kg/m3/K")
    spirit = {"material": "WSPIRIT", "parts": 10, "stage": "thin"}
    made_by(shelf, "PLAN-X", OIL, spirit, steps=HOT)
    found = scaling(shelf, "8 kg", code="PLAN-X")["cautions"]
    # 4 kg of oil at 240 °C fill 43 % of 12 l, with 4 kg of white spirit at 120 °C 86 %. By hand.
    rows = [(row["stage"], row["rule"]) for row in found if "headroom" in row["rule"]]
    assert rows == [("thin", "thinned-headroom")]


@pytest.mark.parametrize(("oil", "called_for"), [("OIL-LIN", True), ("OIL-MIN", False)])
def test_rags_of_an_oil_that_dries_are_cautioned_and_of_one_that_does_not_are_not(
    shelf: Client, oil: str, called_for: bool
) -> None:
    recipes.material(shelf, "OIL-MIN", family="other-oil", autoxidising=False)
    found = said(shelf, {"material": oil, "parts": 1, "stage": "mix"}, steps=[])
    assert ("oily-rags" in found) is called_for


@pytest.mark.parametrize(("water", "called_for"), [("2 %", True), ("0 %", False)])
def test_water_in_hot_oil_is_cautioned_and_none_is_not(
    shelf: Client, water: str, called_for: bool
) -> None:
    known(shelf, "ROSIN", water=water)
    known(shelf, "OIL-LIN", water="0 %")
    found = said(shelf, OIL, {"material": "ROSIN", "parts": 5})
    assert ("hot-oil-water" in found) is called_for


def test_at_most_three_of_a_stage_are_shown_and_they_are_the_most_dangerous(client: Client) -> None:
    scalings.shop(client)
    rows = scaling(client, "1 kg")["cautions"]
    assert [stage for stage, _ in groupby(rows, key=lambda row: row["stage"])] == ["cook", "thin"]
    for _, stage in groupby(rows, key=lambda row: row["stage"]):
        told = list(stage)
        assert [row["shown"] for row in told] == [place < 3 for place in range(len(told))]
        assert [row["danger"] for row in told] == sorted(row["danger"] for row in told)
        assert all(row["why"] for row in told)
