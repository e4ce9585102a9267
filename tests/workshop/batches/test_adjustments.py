"""The adjustment loop: a goal, a reading, something added, the pot read again."""

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.client import Client
from tests.makers.batches import left
from tests.makers.materials import figure
from tests.makers.pots import CUP, add, aimed, pot, read


def cup4(seconds: float) -> float:
    """ISO 2431, cup 4: nu = 1.37 t - 200 / t, constants of a public table of flow cups."""
    return 1.37 * seconds - 200 / seconds


def thinner(grams: float, now: float, goal: float, nu: float) -> float:
    """Arrhenius rule by mass, ln nu = sum w ln nu, solved for the thinner."""
    start, aim, other = math.log(cup4(now)), math.log(cup4(goal)), math.log(nu)
    return grams * (start - aim) / (aim - other)


def value(amount: dict[str, Any]) -> float:
    return float(amount["value"])


def test_a_reading_is_answered_with_60_to_70_percent_of_the_sum(client: Client) -> None:
    made = aimed(client, pot(client), reading={"value": "90 s", "temperature": "23 °C"})
    expected = thinner(2000, 90, 62, 1.2)
    proposal = made["proposal"]
    assert (made["adjustment"], made["state"]) == (1, "proposed")
    assert value(proposal["add"]) == pytest.approx(expected, rel=0.005)
    assert value(proposal["first_from"]) == pytest.approx(0.6 * expected, rel=0.005)
    assert value(proposal["first_to"]) == pytest.approx(0.7 * expected, rel=0.005)
    assert 62 < value(proposal["expect_to"]) < value(proposal["expect_from"]) < 90
    assert made["assumed"]["mass"].startswith("2000 g: weighed in so far")
    note = made["notes"][proposal["add"]["note"]]
    assert note["from"][0]["name"] == "kinematic viscosity"
    assert "add" in made["summary"]


def test_a_reading_in_the_pot_is_a_figure_of_the_batch(client: Client) -> None:
    code = pot(client)
    made = aimed(client, code, reading={"value": "90 s", "mass": "1.95 kg"})
    figures = client.read(f"/v1/batches/{code}/figures")["data"]
    assert {row["property"]: row["value"] for row in figures} == {"flow_time": "90", "mass": "1.95"}
    assert made["steps"][0]["mass"]["value"] == "1950"
    assert [row["method"] for row in figures if row["property"] == "flow_time"] == [
        f"flow cup {CUP}"
    ]


def test_after_an_addition_the_pot_is_to_be_read_again_and_the_answer_is_the_new_start(
    client: Client,
) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    added = add(client, code, "40 g", by="MB")
    assert added["adjustment"]["state"] == "read-again"
    assert added["adjustment"]["proposal"] is None
    made = read(client, code, "74 s")
    assert value(made["proposal"]["add"]) == pytest.approx(thinner(2040, 74, 62, 1.2), rel=0.005)
    assert [step["mass"]["value"] for step in made["steps"]] == ["2000", "2040"]
    # 16 of the 28 s that there were to go.
    assert [step["closed"] and step["closed"]["value"] for step in made["steps"]] == [None, "57"]
    last = add(client, code, "30 g") and read(client, code, "63.5 s")
    assert (last["state"], last["proposal"], last["added"]["value"]) == ("reached", None, "70")


def test_an_addition_is_a_weighing_beside_the_plan_with_its_deviation(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    made = add(client, code, "40 g", by="MB")
    weighing = made["weighing"]
    assert (weighing["line"], weighing["material"]) == (0, "WSPIRIT")
    assert [flag["code"] for flag in made["flags"]] == ["adjustment"]
    assert client.read(f"/v1/batches/{code}")["open_deviations"] == [made["flags"][0]["opens"]]
    assert left(client, weighing["lot"])["value"] == "7740"
    drawn = client.read(f"/v1/batches/{code}/mass-balance")["lines"]
    assert {row["material"] for row in drawn} == {"OIL-LIN", "ROSIN", "WSPIRIT"}


def test_an_addition_put_right_or_voided_changes_what_the_pot_holds(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    entry = add(client, code, "40 g")["weighing"]["entry"]
    read(client, code, "74 s")
    path = f"/v1/batches/{code}/lines/0/corrections"
    body: dict[str, Any] = {"entry": entry, "reason": "misread"}
    put_right = client.made(path, {**body, "replaces": {"weighed": "45 g"}})
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert shown["added"]["value"] == "45"
    assert shown["steps"][1]["mass"]["value"] == "2045"
    client.made(path, {"entry": put_right["entry"], "void": True, "reason": "spilled"})
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert (shown["added"]["value"], shown["steps"][1]["mass"]["value"]) == ("0", "2000")


def test_a_reading_is_corrected_as_the_figure_that_it_is(client: Client) -> None:
    code = pot(client)
    made = aimed(client, code, reading={"value": "90 s"})
    number = made["steps"][0]["figure"]
    right = {"value": "80 s", "basis": "measured", "method": f"flow cup {CUP}"}
    path = f"/v1/figures/{number}/corrections"
    later = client.made(path, {"replaces": right, "reason": "the stopwatch was read wrong"})
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert shown["steps"][0]["read"]["value"] == "80"
    body = {"void": True, "reason": "it was another pot"}
    client.made(f"/v1/figures/{later['figure']}/corrections", body)
    assert client.read(f"/v1/batches/{code}/adjustments/1")["state"] == "unread"


def test_without_the_figure_nothing_is_proposed_until_the_pot_has_answered(
    client: Client,
) -> None:
    code = pot(client, viscosity=None)
    made = aimed(client, code, reading={"value": "90 s"})
    assert (made["state"], made["proposal"]) == ("undecided", None)
    assert "kinematic_viscosity" in made["undecided"]["needs"]
    add(client, code, "40 g")
    after = read(client, code, "74 s")
    # What 40 g did between 90 and 74 s, carried on from 74 to 62 s by the same rule.
    one, two, aim = (math.log(cup4(each)) for each in (90, 74, 62))
    counted = (two * 2040 - one * 2000) / 40
    expected = 2040 * (two - aim) / (aim - counted)
    assert value(after["proposal"]["add"]) == pytest.approx(expected, rel=0.005)
    note = after["notes"][after["proposal"]["add"]["note"]]
    assert "answered to the last 40 g" in note["how"]
    assert after["proposal"]["standing"] == "an approximation"


def test_a_figure_that_is_sent_afterwards_decides_it(client: Client) -> None:
    code = pot(client, viscosity=None)
    aimed(client, code, reading={"value": "90 s"})
    figure(client, "WSPIRIT", "kinematic_viscosity", "1.2 mm2/s", temperature="25 °C")
    assert client.read(f"/v1/batches/{code}/adjustments/1")["state"] == "proposed"


def test_what_cannot_lead_to_the_goal_is_said_to_be_out_of_reach(client: Client) -> None:
    made = aimed(client, pot(client), reading={"value": "50 s"})
    assert (made["state"], made["proposal"]) == ("out-of-reach", None)
    assert "does not bring" in made["undecided"]["text"]


def test_a_reading_that_the_cup_does_not_measure_is_kept_and_undecided(client: Client) -> None:
    made = aimed(client, pot(client), reading={"value": "140 s"})
    assert made["state"] == "undecided"
    assert "outside 30-100 s" in made["undecided"]["text"]


NON_VOLATILE = {"property": "non_volatile", "cup": None, "method": "1 g, 105 °C, 60 min"}


def test_solids_are_brought_down_by_mass_balance(client: Client) -> None:
    goal = {**NON_VOLATILE, "target": "60 %", "within": "0.5 %", "reading": {"value": "75 %"}}
    made = aimed(client, pot(client), **goal)
    # m (NV1 / NV2 - 1) = 2000 (75 / 60 - 1)
    assert value(made["proposal"]["add"]) == 500
    assert made["proposal"]["standing"] == "exact for the figures given"
    assert made["proposal"]["enough"]


def test_a_density_is_brought_down_by_added_volumes(client: Client) -> None:
    goal = {"property": "density", "cup": None, "method": "pyknometer", "target": "0.92 kg/l"}
    made = aimed(client, pot(client), **goal, within="0.002 kg/l", reading={"value": "0.95 kg/l"})
    # 2000 / 0.95 + a / 0.778 = (2000 + a) / 0.92
    expected = 2000 * (1 / 0.92 - 1 / 0.95) / (1 / 0.778 - 1 / 0.92)
    assert value(made["proposal"]["add"]) == pytest.approx(expected, rel=0.005)


def test_whatever_is_weighed_in_after_a_reading_makes_it_one_of_before(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s", "mass": "1.95 kg"})
    body = {"line": 0, "material": "OIL-TUNG", "amount": "100 g"}
    client.made(f"/v1/batches/{code}/weighings", body)
    shown = client.read(f"/v1/batches/{code}/adjustments/1")
    assert (shown["state"], shown["undecided"]["text"]) == (
        "read-again",
        "100 g went in since it was read.",
    )
    made = read(client, code, "88 s")
    assert made["steps"][1]["mass"]["value"] == "2050"
    note = made["notes"][made["steps"][1]["mass"]["note"]]
    assert note["how"].startswith("weighed at")
    assert made["added"]["value"] == "0"


def test_two_goals_of_one_batch_are_followed_apart(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s"})
    second = aimed(client, code, **NON_VOLATILE, target="60 %", within="0.5 %")
    assert (second["adjustment"], second["state"]) == (2, "unread")
    add(client, code, "40 g", 2)
    assert client.read(f"/v1/batches/{code}/adjustments/1")["added"]["value"] == "0"
    listed = client.read(f"/v1/batches/{code}/adjustments?property=non_volatile")["data"]
    assert [row["added"]["value"] for row in listed] == ["40"]


STORY = (
    ("readings", {"value": "90 s", "happened_at": "2026-11-25T09:00:00Z"}),
    ("additions", {"amount": "40 g", "happened_at": "2026-11-25T09:05:00Z"}),
    ("readings", {"value": "74 s", "happened_at": "2026-11-25T09:30:00Z"}),
    ("additions", {"amount": "20 g", "happened_at": "2026-11-25T09:35:00Z"}),
    ("readings", {"value": "66 s", "happened_at": "2026-11-25T10:00:00Z"}),
)


@settings(
    max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(order=st.permutations(STORY))
def test_in_whatever_order_it_is_entered_the_loop_is_as_it_happened(
    client: Client, order: list[tuple[str, dict[str, Any]]]
) -> None:
    if client.get("/v1/people/MB").status_code == 404:
        pot(client, at="2026-11-25T08:00:00Z")
    code = client.read("/v1/batches")["data"][0]["batch"]
    number = aimed(client, code)["adjustment"]
    path = f"/v1/batches/{code}/adjustments/{number}"
    for what, body in order:
        client.made(f"{path}/{what}", body)
    shown = client.read(path)
    assert [step["read"]["value"] for step in shown["steps"]] == ["90", "74", "66"]
    assert [[one["weighed"]["value"] for one in step["added"]] for step in shown["steps"]] == [
        ["40"],
        ["20"],
        [],
    ]
    masses = [float(step["mass"]["value"]) for step in shown["steps"]]
    assert (masses[1] - masses[0], masses[2] - masses[1]) == (40, 20)
    for entry in [one["entry"] for step in shown["steps"] for one in step["added"]]:
        undone = {"entry": entry, "void": True, "reason": "the next story begins"}
        client.made(f"/v1/batches/{code}/lines/0/corrections", undone)
