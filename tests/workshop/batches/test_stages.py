"""Batches of a recipe at full depth: its own order of stages, lines as needed, waits and checks."""

from typing import Any

from tests.client import Client
from tests.makers.batches import as_planned, line_of, planned
from tests.makers.stages import PADDLE, paddle

Sheet = dict[str, Any]


def sheet_of(client: Client, **changes: Any) -> tuple[str, Sheet]:
    """A paddle oil planned: its code and its sheet."""
    paddle(client, **changes)
    code = planned(client, "PADDLE-OIL", "2 kg")
    return code, client.read(f"/v1/batches/{code}/sheet")


def order(sheet: Sheet) -> dict[str, list[tuple[int, str]]]:
    return {
        stage["stage"]: [(line["line"], line["do"]) for line in stage["lines"]]
        for stage in sheet["steps"]
    }


def test_the_sheet_follows_the_stages_of_the_version(client: Client) -> None:
    _, sheet = sheet_of(client)
    assert order(sheet) == {
        "melt": [(1, "weigh"), (2, "weigh"), (5, "heat"), (6, "check")],
        "mix": [(8, "cool"), (3, "weigh"), (4, "weigh")],
        "settle": [(7, "wait")],
        "decant": [(9, "yield")],
    }
    assert list(order(sheet)) == [stage["stage"] for stage in PADDLE["stages"]]


def test_a_stage_in_which_nothing_is_done_stands_there_too(client: Client) -> None:
    _, sheet = sheet_of(client, steps=[])
    settle = next(stage for stage in sheet["steps"] if stage["stage"] == "settle")
    assert settle["lines"] == []
    assert settle["for"] == {"value": "2", "unit": "week", "basis": "declared"}
    assert settle["remark"] == "in the cold shed"


def test_the_solvent_is_poured_cool_in_whatever_stage_it_goes_in(client: Client) -> None:
    _, sheet = sheet_of(client)
    # 150 °C less 30 K, less 5 K (finish-science, corrections, 2).
    assert line_of(sheet, 8)["to"]["value"] == "115"
    mix = next(stage for stage in sheet["steps"] if stage["stage"] == "mix")
    assert mix["cautions"][0]["text"] == "Off the heat, no flame, 120 °C or below."


def test_a_line_as_needed_has_no_target_and_says_its_sign(client: Client) -> None:
    _, sheet = sheet_of(client)
    line = line_of(sheet, 4)
    assert line["condition"] == "it runs off the stick"
    assert not {"target", "allow"} & set(line)
    assert line_of(sheet, 2)["condition"] == "in a thin stream"


def test_a_line_with_a_tolerance_of_its_own_takes_it(client: Client) -> None:
    _, sheet = sheet_of(client)
    target, allow = (line_of(sheet, 1)[name]["value"] for name in ("target", "allow"))
    assert abs(float(allow) - 0.02 * float(target)) <= 0.5
    assert sheet["tolerance"].endswith("the recipe's own where a line has one")


def test_waits_checks_and_ramps_stand_on_the_sheet(client: Client) -> None:
    _, sheet = sheet_of(client)
    assert line_of(sheet, 5)["ramp"] == {"value": "3", "unit": "K/min", "basis": "declared"}
    assert line_of(sheet, 6)["text"] == "no bubbles at the rim"
    assert line_of(sheet, 7)["for"] == {"value": "36", "unit": "h", "basis": "declared"}
    assert line_of(sheet, 7)["until"] == "clear on glass"


def test_what_went_in_as_needed_is_asked_for_and_never_judged(client: Client) -> None:
    code, sheet = sheet_of(client)
    lines = {**as_planned(sheet), "4": "12.5", "6": "none", "7": "clear after two days"}
    made = client.made(f"/v1/batches/{code}/pages", {"lines": lines})
    judged = {line["line"]: (line["verdict"], line["target"]) for line in made["lines"]}
    assert judged[4] == ("none", None)
    assert made["flags"] == []
    assert "2 steps" in made["summary"]


def test_nothing_as_needed_is_no_deviation_and_measures_no_loss(client: Client) -> None:
    code, sheet = sheet_of(client)
    page = {"lines": as_planned(sheet), "yield": "1.99 kg", "finished": True}
    made = client.made(f"/v1/batches/{code}/pages", page)
    assert [flag["code"] for flag in made["flags"]] == ["loss-not-measured"]
    assert made["open_deviations"] == []


def test_no_stage_shows_more_than_three_cautions(client: Client) -> None:
    _, sheet = sheet_of(client)
    for stage in sheet["steps"]:
        assert len(stage["cautions"]) <= 3
        assert stage["folded"] == len(stage.get("folded_cautions", []))


def test_a_mass_balance_tells_what_was_planned_to_leave(client: Client) -> None:
    code, _ = sheet_of(client)
    balance = client.read(f"/v1/batches/{code}/mass-balance")
    leaving = {(each["stage"], each["what"]) for each in balance["leaving"]}
    assert ("decant", "residue") in leaving
    assert "residue (decant)" in balance["notes"]["theory"]["how"]
