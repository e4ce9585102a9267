"""What follows from a recipe's lines, asked through HTTP."""

import csv
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from service.science.rounding import plain, round_significant
from tests.client import Client
from tests.makers import recipes

GOLDEN = Path(__file__).parents[2] / "science" / "golden" / "ratios.csv"
NAMES = {
    "ratio": "oil_to_resin",
    "oil_percent": "oil_percent",
    "us_gal_per_100_lb": "oil_length_us_gal",
}


def golden() -> list[Any]:
    """Worked examples by formula (reference, topic b), by what is charged."""
    with GOLDEN.open(encoding="utf-8") as lines:
        rows = [
            row
            for row in csv.DictReader(lines)
            if row["call"] == "ratios.oil_length" and row["field"] in NAMES
        ]
    held = [row for row in rows if row["expected"] != "refuse"]
    return [pytest.param(row, id=f"{row['inputs']} {row['field']}") for row in held]


def charge(client: Client, inputs: str) -> Any:
    """A recipe by parts of these oils and this resin."""
    named = dict(pair.split("=") for pair in inputs.split("; "))
    resin = {"material": "RESIN-X", "parts": named["resins_g"]}
    recipes.material(client, "RESIN-X", family="resin")
    recipes.material(client, "MIX-X", kind="finished")
    lines = [resin]
    for number, oil in enumerate(named["oils"].split("+"), 1):
        mass, density = oil.split("@")
        code = f"OIL-{number}X"
        recipes.material(client, code, family="drying-oil", figures=recipes.figures(density))
        lines.append({"material": code, "parts": mass})
    return client.made("/v1/recipes", {"code": "MIX-X", "lines": lines})["version"]


@pytest.mark.parametrize("row", golden())
def test_an_oil_length_agrees_with_the_worked_examples(client: Client, row: dict[str, str]) -> None:
    shown = recipes.figure(charge(client, row["inputs"]), NAMES[row["field"]])
    assert shown == plain(round_significant(Decimal(row["expected"]), 3))


def test_every_figure_of_the_spar_varnish_names_its_inputs(client: Client) -> None:
    recipes.spar(client)
    shown = recipes.version(client, "SPAR")
    values = {figure["name"]: (figure["value"], figure["note"]) for figure in shown["figures"]}
    # 2 : 1 by mass; 60 % once 40 % is solvent; both by hand.
    assert values["oil_to_resin"] == ("2.00", "ratio")
    assert values["non_volatile"] == ("60.0", "nv")
    # 1.2/0.930 + 0.8/0.938 = 2.14322 ml/g of resin, x 453.59237 / 3785.411784 x 100, by hand.
    assert values["oil_length_us_gal"] == ("25.7", "length")
    assert shown["notes"]["ratio"]["how"] == "(line 2 + line 3) / line 1"
    densities = [figure["name"] for figure in shown["notes"]["length"]["from"]]
    assert densities == ["density of OIL-LIN", "density of OIL-TUNG"]
    assert {figure["basis"] for figure in shown["notes"]["length"]["from"]} == {"handbook"}


def test_every_note_is_used_and_every_input_has_a_basis(client: Client) -> None:
    recipes.spar(client)
    shown = recipes.version(client, "SPAR")
    noted = [*shown["figures"], *shown["composition"]]
    assert {each["note"] for each in noted} - {None} == set(shown["notes"])
    for note in shown["notes"].values():
        for figure in note.get("from", []):
            assert {"name", "value", "unit", "basis"} <= set(figure)


def test_what_is_not_known_is_listed_and_never_guessed(client: Client) -> None:
    recipes.shelf(client)
    version = recipes.recipe(client, recipes.SPAR, approved=False)["version"]
    undecided = {row["name"]: row["missing"] for row in version["undecided"]}
    assert [figure["name"] for figure in version["figures"]] == ["loss_total"]
    assert undecided["oil_to_resin"] == ["family of RESIN-ZN"]
    assert undecided["non_volatile"] == ["non-volatile of RESIN-ZN"]


def test_a_missing_density_leaves_the_ratio_and_only_the_length_undecided(client: Client) -> None:
    recipes.shelf(client)
    recipes.material(client, "OIL-WAL", family="drying-oil")
    recipes.material(client, "WAL-X", kind="finished")
    lines = [{"material": "ROSIN", "parts": 1}, {"material": "OIL-WAL", "parts": 1}]
    version = client.made("/v1/recipes", {"code": "WAL-X", "lines": lines})["version"]
    assert recipes.figure(version, "oil_to_resin") == "1.00"
    undecided = {row["name"]: row["missing"] for row in version["undecided"]}
    assert undecided["oil_length_us_gal"] == ["density of OIL-WAL"]


def test_a_recipe_without_oil_has_no_oil_length_and_says_why(client: Client) -> None:
    recipes.shelf(client)
    version = recipes.recipe(client, recipes.RESINATE)["version"]
    reasons = {row["name"]: row["reason"] for row in version["not_applicable"]}
    names = {*NAMES.values(), "oil_length_class"}
    assert {reasons[name] for name in names} == {"there is no drying oil in it"}


def test_a_balsam_counts_by_its_resin_only(client: Client) -> None:
    recipes.shelf(client)
    recipes.material(client, "BALSAM-X", family="balsam", figures=recipes.figures(None, "75"))
    recipes.material(client, "BAL-MIX", kind="finished")
    lines = [{"material": "BALSAM-X", "parts": 4}, {"material": "OIL-LIN", "parts": 3}]
    version = client.made("/v1/recipes", {"code": "BAL-MIX", "lines": lines})["version"]
    assert recipes.figure(version, "oil_to_resin") == "1.00"
    assert version["notes"]["ratio"]["how"] == "line 2 / line 1 (its resin)"


def test_an_intermediate_of_oil_and_resin_is_taken_apart(client: Client) -> None:
    recipes.shelf(client)
    recipes.material(client, "BASE-X", kind="intermediate")
    recipes.material(client, "THIN-X", kind="finished")
    base = [{"material": "ROSIN", "parts": 1}, {"material": "OIL-LIN", "parts": 3}]
    recipes.recipe(client, {"code": "BASE-X", "lines": base})
    lines = [{"material": "BASE-X", "parts": 1}, {"material": "WSPIRIT", "percent": 40}]
    version = client.made("/v1/recipes", {"code": "THIN-X", "lines": lines})["version"]
    assert recipes.figure(version, "oil_to_resin") == "3.00"
    assert recipes.figure(version, "non_volatile") == "60.0"
