"""How full the kettle stands, and the heat that the charge takes."""

from decimal import Decimal
from typing import Any

import pytest

from service.science.heat import HeatedCharge, heat_needed, heating_time
from tests.client import Client
from tests.makers import recipes, scalings
from tests.makers.scalings import known, made_by, refused, scaling

KETTLE = {"code": "KETTLE-2", "kind": "kettle", "holds": "12 l"}
OIL = {"material": "OIL-LIN", "parts": 1}


def cooked(client: Client, *lines: Any, **kettle: Any) -> None:
    """A kettle, and an oil that is cooked in it."""
    recipes.shelf(client)
    client.made("/v1/equipment", {**KETTLE, **kettle})
    made_by(client, "OIL-X", OIL, *lines, steps=[{"heat": "240 °C"}])


def test_the_kettle_is_filled_cold_and_hot(client: Client) -> None:
    cooked(client)
    known(client, "OIL-LIN", expansion="0.68 kg/m3/K")
    fill = scaling(client, "4 kg", code="OIL-X")["fill"]
    # 4000 / 0.930 = 4301 ml, 36 % of 12 l; at 240 °C 0.930 - 0.00068 x 220 = 0.7804 kg/l: 5126 ml,
    # 43 %. By hand.
    assert (fill["cold"]["value"], fill["hot"]["value"]) == ("36", "43")
    assert (fill["equipment"], fill["stage"], fill["missing"]) == ("KETTLE-2", "cook", [])


EXPANDS = {"OIL-LIN": "0.68 kg/m3/K", "WSPIRIT": "0.8 kg/m3/K"}
SPIRIT = {"material": "WSPIRIT", "parts": 1, "stage": "thin"}


def thinned(client: Client, steps: list[Any], *, expands: tuple[str, ...] = tuple(EXPANDS)) -> Any:
    """How full the kettle stands with 4 kg of oil and as much white spirit."""
    recipes.shelf(client)
    client.made("/v1/equipment", KETTLE)
    known(client, "WSPIRIT", boiling_point="150 °C")
    for code in expands:
        known(client, code, expansion=EXPANDS[code])
    made_by(client, "OIL-X", OIL, SPIRIT, steps=steps)
    return scaling(
        client, "8 kg", code="OIL-X", kettle="KETTLE-2", loss_cook="0 %", loss_strain="0 %"
    )["fill"]


HOT = {"heat": "240 °C"}


@pytest.mark.parametrize(
    ("steps", "hot"),
    [
        # Cooled to 60 °C: 4000 / (0.930 - 0.00068 x 40) + 4000 / (0.778 - 0.0008 x 40) = 9793 ml.
        ([HOT, {"cool": "60 °C", "stage": "thin"}], "82"),
        # By the limit of the pour, 150 °C less 30 K: 4000 / 0.862 + 4000 / 0.698 = 10371 ml.
        ([HOT], "86"),
        # Never hotter than 60 °C, so no hotter when it is thinned.
        ([{"heat": "60 °C"}], "82"),
    ],
)
def test_the_thinned_charge_is_reckoned_as_warm_as_it_is_poured_into(
    client: Client, steps: list[Any], hot: str
) -> None:
    # 12 l; the cook alone is 5126 ml at 240 °C, 43 %. By hand.
    fill = thinned(client, steps)
    assert (fill["hot"]["value"], fill["hot_stage"], fill["stage"]) == (hot, "thin", "thin")
    assert fill["missing"] == []


def test_one_warm_stage_of_unknown_volume_leaves_the_hot_fill_unknown(client: Client) -> None:
    fill = thinned(client, [HOT], expands=("OIL-LIN",))
    assert (fill["hot"], fill["hot_stage"]) == (None, None)
    assert fill["missing"] == ["expansion of WSPIRIT"]


def test_a_later_heat_of_unknown_volume_leaves_the_hot_fill_unknown(client: Client) -> None:
    steps = [{"heat": "90 °C"}, {"heat": "100 °C", "stage": "thin"}]
    assert thinned(client, steps, expands=("OIL-LIN",))["hot"] is None


def test_a_cook_of_which_no_heat_is_planned_has_no_hot_fill(client: Client) -> None:
    fill = thinned(client, [{"hold": "1 h", "until": "clear", "stage": "cook"}])
    assert (fill["hot"], fill["missing"]) == (None, ["how hot the stage cook is"])


def test_without_its_expansion_the_hot_oil_is_not_reckoned_and_that_is_said(client: Client) -> None:
    cooked(client)
    fill = scaling(client, "4 kg", code="OIL-X")["fill"]
    assert (fill["cold"]["value"], fill["hot"]) == ("36", None)
    assert fill["missing"] == ["expansion of OIL-LIN"]


def test_without_a_density_nothing_is_reckoned_and_that_is_said(client: Client) -> None:
    recipes.material(client, "LUMP", family="resin")
    cooked(client, {"material": "LUMP", "parts": 1})
    fill = scaling(client, "4 kg", code="OIL-X")["fill"]
    assert (fill["cold"], fill["hot"]) == (None, None)
    assert fill["missing"] == ["density of LUMP", "expansion of OIL-LIN"]


def test_a_kettle_of_unknown_size_has_no_fill(client: Client) -> None:
    recipes.shelf(client)
    client.made("/v1/equipment", {"code": "POT", "kind": "kettle"})
    made_by(client, "OIL-X", OIL, steps=[{"heat": "240 °C"}])
    assert scaling(client, "4 kg", code="OIL-X")["fill"] is None


def test_thinner_of_unknown_density_hides_no_kettle_that_is_too_small(client: Client) -> None:
    recipes.material(client, "THIN-X", family="solvent")
    cooked(client, {"material": "THIN-X", "parts": 1, "stage": "thin"})
    found = refused(client, {"for": "1000 kg"}, code="OIL-X")
    assert found["type"] == "/problems/kettle-too-small"
    scaling(client, found["errors"][0]["remedies"][0]["send"]["for"], code="OIL-X")


def test_heat_and_time_of_a_step_are_those_of_the_sums(client: Client) -> None:
    cooked(client, power="1500 W", efficiency="50 %")
    known(client, "OIL-LIN", heat_capacity="2.2 kJ/kg/K")
    (heat,) = scaling(client, "1 kg", code="OIL-X")["heat"]
    # 1 kg x 2.2 kJ/kg/K x 220 K = 484 kJ; over 1500 W x 50 % it is 645 s. By hand.
    assert (heat["energy"]["value"], heat["energy"]["unit"]) == ("484", "kJ")
    assert (heat["time"]["value"], heat["time"]["unit"]) == ("11", "min")
    assert (heat["line"], heat["to"], heat["missing"]) == (2, {"value": "240", "unit": "°C"}, [])
    charge = [HeatedCharge(Decimal(1000), Decimal("2.2"))]
    needed = heat_needed(charge, Decimal(20), end_c=Decimal(240)).heat_kj
    minutes = heating_time(needed, Decimal(1500), efficiency_percent=Decimal(50)).minutes
    assert needed == 484
    assert round(minutes) == 11


@pytest.mark.parametrize(
    ("ramp", "time", "why"),
    [
        ("2 K/min", "110", "220 K at 2 K/min; by its power 11 min"),
        ("44 K/min", "11", "heat over 1500 W x 50 %"),
    ],
)
def test_a_ramp_takes_its_time_and_the_longer_one_is_said(
    client: Client, ramp: str, time: str, why: str
) -> None:
    recipes.shelf(client)
    client.made("/v1/equipment", {**KETTLE, "power": "1500 W", "efficiency": "50 %"})
    made_by(client, "OIL-X", OIL, steps=[{"heat": "240 °C", "ramp": ramp}])
    known(client, "OIL-LIN", heat_capacity="2.2 kJ/kg/K")
    made = scaling(client, "1 kg", code="OIL-X")
    (heat,) = made["heat"]
    # 220 K at 2 K/min are 110 min, at 44 K/min 5 min; the power takes 645 s. By hand.
    assert (heat["time"]["value"], heat["time"]["unit"]) == (time, "min")
    assert made["notes"][heat["time"]["note"]]["how"].startswith(why)


def test_a_ramp_is_timed_also_where_the_power_is_unknown(client: Client) -> None:
    recipes.shelf(client)
    made_by(client, "OIL-X", OIL, steps=[{"heat": "240 °C", "ramp": "2 K/min"}])
    (heat,) = scaling(client, "1 kg", code="OIL-X")["heat"]
    assert (heat["time"]["value"], heat["missing"]) == ("110", ["heat capacity of OIL-LIN"])


def test_a_second_heat_starts_from_the_first_in_the_order_of_the_work(client: Client) -> None:
    recipes.shelf(client)
    steps = [{"heat": "240 °C", "stage": "cook"}, {"heat": "140 °C", "stage": "melt"}]
    made_by(client, "OIL-X", {**OIL, "stage": "melt"}, steps=steps)
    known(client, "OIL-LIN", heat_capacity="2 kJ/kg/K")
    heat = scaling(client, "1 kg", code="OIL-X")["heat"]
    # 2 x 120 and 2 x 100 kJ. By hand.
    assert [(row["line"], row["energy"]["value"]) for row in heat] == [(3, "240"), (2, "200")]


def test_what_heat_and_time_lack_is_named(client: Client) -> None:
    cooked(client)
    (heat,) = scaling(client, "1 kg", code="OIL-X")["heat"]
    assert (heat["energy"], heat["missing"]) == (None, ["heat capacity of OIL-LIN"])
    known(client, "OIL-LIN", heat_capacity="2.2 kJ/kg/K")
    (heat,) = scaling(client, "1 kg", code="OIL-X")["heat"]
    assert (heat["time"], heat["missing"]) == (None, ["power and efficiency of KETTLE-2"])


@pytest.mark.parametrize("heat", ["600 °C", "1100 °C"])
def test_a_heat_beyond_what_is_known_has_no_figure(client: Client, heat: str) -> None:
    recipes.shelf(client)
    steps = [{"heat": heat, "stage": "melt"}]
    made_by(client, "OCHRE", {"material": "ZNO", "parts": 1, "stage": "melt"}, steps=steps)
    known(client, "ZNO", heat_capacity="0.6 kJ/kg/K")
    (row,) = scaling(client, "1 kg", code="OCHRE")["heat"]
    assert (row["energy"], len(row["missing"])) == (None, 1)


def test_a_charge_too_large_for_the_kettle_is_refused_with_one_that_goes(client: Client) -> None:
    scalings.shop(client)
    (fault,) = refused(client, {"for": {"jars": 30, "each": "5 l"}})["errors"]
    assert fault["code"] == "kettle-too-small"
    half = scaling(client, fault["remedies"][0]["send"]["for"])
    assert 45 < Decimal(half["fill"]["cold"]["value"]) <= 50
