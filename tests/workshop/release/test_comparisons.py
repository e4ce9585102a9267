"""Two versions side by side, through HTTP: what is written, what follows, what was seen."""

from typing import Any

import pytest

from service.store.session import Store
from service.workshop.batches.queries import Batch
from service.workshop.stock.actions import NewLot, make_lot
from tests.client import Client, key_for, system
from tests.makers import batches, panels, recipes
from tests.makers.stock import made_lot

FINER = {
    "lines": [
        {"material": "ROSIN", "parts": 100},
        {"material": "ZNO", "parts": 6, "tolerance": "2 %"},
        {"material": "OIL-LIN", "parts": 4},
    ],
    "steps": [{"heat": "255 °C"}, {"hold": "60 min", "until": "clear on glass"}],
}
THICKER = {
    "lines": [
        *recipes.SPAR["lines"][1:3],
        recipes.SPAR["lines"][0],
        {"material": "WSPIRIT", "percent": 35, "stage": "mix"},
    ],
    "steps": [{"heat": "240 °C"}, {"strain": "paper"}],
    "loss_strain": "2 %",
}


@pytest.fixture
def spar(client: Client) -> Client:
    """The spar varnish, and a second version of it: thicker, the oils before the resinate."""
    recipes.spar(client)
    recipes.again(client, "SPAR", THICKER, why="to see it flow less")
    return client


def compared(client: Client, left: str = "SPAR/1", right: str = "SPAR/2") -> Any:
    return client.read(f"/v1/comparisons?left={left}&right={right}")


def status(rows: Any, name: str) -> list[tuple[str, str, list[str]]]:
    return [(row[name], row["status"], row["changed"]) for row in rows]


def test_lines_are_matched_by_material_and_say_what_changed(spar: Client) -> None:
    found = compared(spar)
    assert status(found["lines"], "material") == [
        ("RESIN-ZN", "changed", ["order"]),
        ("OIL-LIN", "same", []),
        ("OIL-TUNG", "same", []),
        ("WSPIRIT", "changed", ["amount", "stage"]),
    ]
    spirit = found["lines"][3]
    assert (spirit["left"]["percent"], spirit["right"]["percent"]) == ("40", "35")
    assert spirit["share_difference"]["unit"] == "%"
    assert (found["left"]["state"], found["right"]["why"]) == ("approved", "to see it flow less")
    assert found["right"]["came_from"] == 1


def test_steps_stages_and_losses_stand_beside_each_other(spar: Client) -> None:
    found = compared(spar)
    assert status(found["steps"], "do") == [
        ("heat", "same", []),
        ("hold", "only left", []),
        ("strain", "only right", []),
    ]
    stages = dict((row["stage"], (row["status"], row["changed"])) for row in found["stages"])
    assert stages["cook"] == ("changed", ["losses"])
    assert (stages["thin"][0], stages["mix"][0]) == ("only left", "only right")
    loss = next(row for row in found["losses"] if row["stage"] == "strain")
    # 1.5 % of the 5573.24 g that are strained, of 5676.67 g charged (test_scalings). By hand.
    assert (loss["left"]["value"], loss["right"]["value"]) == ("1.473", "2.000")
    assert loss["difference"] == {"value": "0.527", "unit": "%"}


def test_figures_say_how_far_they_are_apart(spar: Client) -> None:
    found = compared(spar)
    row = next(row for row in found["figures"] if row["name"] == "non_volatile")
    # 40 % of solvent, and 35 %: 60.0 and 65.0 %. By hand.
    assert (row["left"]["figure"]["value"], row["right"]["figure"]["value"]) == ("60.0", "65.0")
    assert row["difference"] == {"value": "5.0", "unit": "%"}
    assert row["relative"] == {"value": "8.33", "unit": "%"}
    notes = [row[side]["figure"]["note"] for side in ("left", "right")]
    assert notes[0] != notes[1]
    assert set(notes) <= set(found["notes"])
    solvent = next(row for row in found["composition"] if row["component"] == "WSPIRIT")
    assert solvent["difference"]["value"].rstrip("0").rstrip(".") == "-5"


def test_what_is_undecided_on_one_side_is_told_and_not_subtracted(spar: Client) -> None:
    recipes.material(spar, "GUM", family="resin")
    body = {"lines": [{"material": "OIL-LIN", "parts": 1}, {"material": "GUM", "parts": 1}]}
    recipes.again(spar, "SPAR", body)
    rows = compared(spar, right="SPAR/3")["figures"]
    row = next(row for row in rows if row["name"] == "non_volatile")
    assert row["right"]["figure"] is None
    assert row["right"]["undecided"] == ["non-volatile of GUM"]
    assert (row["difference"], row["relative"]) == (None, None)


def test_a_line_more_and_one_of_another_recipe(spar: Client) -> None:
    found = compared(spar, "RESIN-ZN/1", "SPAR/1")
    told = {row["material"]: row["status"] for row in found["lines"]}
    assert (told["ROSIN"], told["WSPIRIT"]) == ("only left", "only right")
    assert (found["left"]["makes"], found["right"]["makes"]) == ("RESIN-ZN", "SPAR")


def test_a_rule_looks_at_the_same_materials_though_their_numbers_shift(client: Client) -> None:
    recipes.shelf(client)
    zinc = {"rule": "neutralise", "share": "40 %"}
    rosin = {"material": "ROSIN", "parts": 100}
    acid = {"property": "acid_value", "value": "165 mg KOH/g", **recipes.TABLE}
    client.made("/v1/materials/ROSIN/figures", acid)
    first = [rosin, {"material": "ZNO", "derive": {**zinc, "of": [1]}}]
    client.made("/v1/recipes", {"code": "RESIN-ZN", "lines": first})
    oil = {"material": "OIL-LIN", "parts": 2}
    second = [oil, rosin, {"material": "ZNO", "derive": {**zinc, "of": [2], "excess": "1 %"}}]
    recipes.again(
        client,
        "RESIN-ZN",
        {"lines": [oil, *second[1:2], {**first[1], "derive": {**zinc, "of": [2]}}]},
    )
    recipes.again(client, "RESIN-ZN", {"lines": second})
    line = compared(client, "RESIN-ZN/1", "RESIN-ZN/2")["lines"][-1]
    assert (line["material"], line["status"]) == ("ZNO", "same")
    line = compared(client, "RESIN-ZN/1", "RESIN-ZN/3")["lines"][-1]
    assert line["changed"] == ["rule"]


@pytest.fixture
def cooked(client: Client) -> tuple[Client, str, str]:
    """A resinate made by its first version and by its second, both tried; their lots."""
    batches.stocked(client)
    first = batches.resinate(client)
    recipes.again(client, "RESIN-ZN", FINER)
    client.made("/v1/recipes/RESIN-ZN/approvals", {})
    second = batches.resinate(client)
    panels.protocol(client)
    for number, (lot, seen) in enumerate(((first, "whitening, faint"), (second, "none")), 1):
        panels.panel(client, lot, code=f"P-26-{number}")
        rows = {"A3": {"saw": seen, "rating": str(3 + number)}, "A1": seen}
        page = panels.page(rows if number == 1 else {"A3": rows["A3"]})
        for _ in range(number):
            client.made(f"/v1/panels/P-26-{number}/readings", page)
    body = {"rows": {"density": ["1.09 kg/l", "1.11 kg/l"]}, "methods": {"density": "pyknometer"}}
    client.made(f"/v1/lots/{first}/readings", {**body, "on": "2026-11-27"})
    return client, first, second


def test_what_was_tried_on_the_lots_of_each_stands_together(
    cooked: tuple[Client, str, str],
) -> None:
    client, first, second = cooked
    found = compared(client, "RESIN-ZN/1", "RESIN-ZN/2")
    lots = [[row["lot"] for row in found[side]["lots"]] for side in ("left", "right")]
    assert lots == [[first], [second]]
    tests = {row["test"]: row for row in found["tests"]}
    water = tests["WATER-16H"]
    assert (water["left_trials"], water["right_trials"]) == (1, 2)
    (left,), (right,) = water["left"], water["right"]
    assert (left["lot"], right["lot"], right["trials"]) == (first, second, 2)
    assert left["text"].endswith("faint whitening (1 trial).")
    assert left["age"] == {"value": "28", "unit": "d"}
    assert left["readings"][0]["saw"][0]["effect"] == "whitening"
    assert right["readings"][0]["rating"]["value"] == "5"
    assert (tests["SWEAT-4H"]["left_trials"], tests["SWEAT-4H"]["right"]) == (1, [])


def test_measured_figures_of_the_lots_stand_beside_each_other(
    cooked: tuple[Client, str, str],
) -> None:
    client, first, _ = cooked
    found = compared(client, "RESIN-ZN/1", "RESIN-ZN/2")["measurements"]
    density = next(row for row in found if row["property"] == "density")
    told = [(row["lot"], row["value"], row["trials"]) for row in density["left"]]
    assert (told, density["right"]) == ([(first, "1.10", 2)], [])


def test_a_comparison_holds_no_costs_and_is_read_with_read(
    cooked: tuple[Client, str, str], app: Any, store: Store
) -> None:
    reader = Client(app, key_for(store, ["read"]))
    text = reader.get("/v1/comparisons?left=RESIN-ZN/1&right=RESIN-ZN/2").text
    assert "EUR" not in text
    assert "supplier" not in text


@pytest.mark.parametrize(
    ("query", "status", "slug"),
    [
        ("left=NONE/1&right=SPAR/1", 404, "recipe-unknown"),
        ("left=SPAR/1&right=SPAR/9", 404, "version-unknown"),
        ("left=SPAR&right=SPAR/1", 422, "invalid"),
        ("left=SPAR/0&right=SPAR/1", 422, "invalid"),
        ("left=SPAR/1&right=spar/1", 422, "invalid"),
    ],
)
def test_what_cannot_be_compared_is_refused(
    spar: Client, query: str, status: int, slug: str
) -> None:
    answer = spar.get(f"/v1/comparisons?{query}")
    assert (answer.status_code, answer.json()["type"]) == (status, f"/problems/{slug}")


def test_a_refusal_says_which_side_and_what_to_send(spar: Client) -> None:
    (bad,) = spar.get("/v1/comparisons?left=SPAR&right=SPAR/1").json()["errors"]
    assert (bad["parameter"], bad["code"]) == ("left", "bad-version")
    assert "SPAR/2" in bad["hint"]
    (twice,) = spar.get("/v1/comparisons?left=SPAR/1&right=SPAR/1").json()["errors"]
    assert (twice["parameter"], twice["hint"]) == ("right", "Its other versions: SPAR/2.")


def batch_made(store: Store, place: int) -> None:
    """A batch of the first resinate with its lot, as rows."""
    code = f"RESZN-OLD-{place}"
    with store.writing(system()) as session:
        row = Batch(
            code=code,
            recipe="RESIN-ZN",
            version=1,
            material="RESIN-ZN",
            scaling="SC-26-001",
            state="complete",
            asked="1 kg",
            target_mg=1_000_000,
            planned_on=session.now.date(),
            created_at=session.now,
        )
        session.add(row)
        make_lot(session, NewLot(code, "made", "RESIN-ZN", 1_000_000))


def test_the_newest_fifty_lots_of_a_side_are_looked_at_and_that_is_said(
    client: Client, store: Store
) -> None:
    recipes.spar(client)
    for place in range(50):
        batch_made(store, place)
    assert compared(client, "RESIN-ZN/1", "SPAR/1")["left"]["lots_left_out"] is False
    batch_made(store, 50)
    side = compared(client, "RESIN-ZN/1", "SPAR/1")["left"]
    assert (len(side["lots"]), side["lots_left_out"]) == (50, True)
    assert side["lots"][0]["lot"] == "RESZN-OLD-50"


def test_jars_packed_from_a_lot_count_to_the_version_that_made_it(
    cooked: tuple[Client, str, str], store: Store
) -> None:
    client, first, _ = cooked
    packed = made_lot(store, "RESZN-JARS", "RESIN-ZN", {first: 500_000}, amount=2, kind="packed")
    lots = compared(client, "RESIN-ZN/1", "RESIN-ZN/2")["left"]["lots"]
    assert [(row["lot"], row["kind"]) for row in lots] == [
        (first, "made"),
        (packed.number, "packed"),
    ]
