"""Which value a sum goes by, and what it has to say beside its figure."""

from typing import Any

from tests.client import Client
from tests.makers import recipes
from tests.makers.recipes import TABLE, figure


def mixed(client: Client, code: str, *lines: dict[str, Any], **more: Any) -> Any:
    """A recipe for a finished material of the same code; its draft."""
    recipes.material(client, code, kind="finished")
    return recipes.recipe(client, {"code": code, "lines": list(lines), **more})["version"]


def warm_oil(client: Client, **more: Any) -> None:
    read_at = {"value": "0.903 kg/l", "temperature": "60 °C", **TABLE}
    figures = {"density": read_at, "non_volatile": {"value": "100 %", **TABLE}, **more}
    recipes.material(client, "OIL-WARM", family="drying-oil", figures=figures)


def test_a_density_read_warm_is_brought_to_20_degrees_by_its_fall(client: Client) -> None:
    warm_oil(client, expansion={"value": "0.67 kg/m3/K", **TABLE})
    draft = mixed(client, "OIL-MIX", {"material": "OIL-WARM", "parts": 1})
    # 0.903 + 40 x 0.00067, by hand.
    assert figure(draft, "density") == "0.930"
    assert "at 60 °C, brought to 20 °C" in str(draft["notes"])


def test_without_its_fall_a_density_read_warm_is_no_density_at_20_degrees(client: Client) -> None:
    warm_oil(client)
    draft = mixed(client, "OIL-MIX", {"material": "OIL-WARM", "parts": 1})
    missing = {one["name"]: one["missing"] for one in draft["undecided"]}
    assert missing["density"] == ["density of OIL-WARM"]


def test_a_drier_counts_the_oil_of_an_intermediate(client: Client) -> None:
    recipes.spar(client)
    recipes.material(
        client,
        "DRIER",
        family="drier",
        metal="Co",
        figures={
            "metal_content": {"value": "6 %", **TABLE},
            "density": {"value": "0.9 kg/l", **TABLE},
            "non_volatile": {"value": "60 %", **TABLE},
        },
    )
    by_rule = {"rule": "metal", "share": "0.05 %", "on": "oil"}
    lines = ({"material": "SPAR", "parts": 9}, {"material": "OIL-LIN", "parts": 1})
    draft = mixed(client, "DRY", *lines, {"material": "DRIER", "derive": by_rule})
    # The varnish is 40 % oil: (9 x 0.4 + 1) x 0.05 / 6 to 10 parts, by hand.
    assert draft["lines"][2]["share"]["value"] == "0.3819"


def test_what_a_rule_and_a_reaction_have_to_say_stands_with_the_version(client: Client) -> None:
    recipes.shelf(client)
    assay = {"value": "98 %", **TABLE}
    for code, family, formula in (
        ("NAOH", "base", "NaOH"),
        ("FECL3", "salt", "FeCl3.6H2O"),
    ):
        recipes.material(client, code, family=family, formula=formula, figures={"assay": assay})
    acid = {"property": "acid_value", "value": "165 mg KOH/g", **TABLE}
    client.made("/v1/materials/ROSIN/figures", acid)
    soap = {"rule": "neutralise", "share": "100 %", "of": [1]}
    salt = {"rule": "precipitate", "share": "100 %"}
    draft = mixed(
        client,
        "FERRIC",
        {"material": "ROSIN", "parts": 1, "stage": "saponify"},
        {"material": "NAOH", "derive": soap, "stage": "saponify"},
        {"material": "FECL3", "derive": salt, "stage": "precipitate"},
    )
    assert any("basic soap" in said for said in draft["remarks"])


def test_what_is_in_it_by_later_data_stands_beside_what_was_frozen(client: Client) -> None:
    recipes.shelf(client)
    recipes.material(
        client,
        "ZNI",
        family="oxide",
        formula="ZnO",
        figures={"assay": {"value": "100 %", **TABLE}},
    )
    acid = {"property": "acid_value", "value": "165 mg KOH/g", **TABLE}
    client.made("/v1/materials/ROSIN/figures", acid)
    lines = ({"material": "ROSIN", "parts": 100}, {"material": "ZNI", "parts": 6})
    mixed(client, "FUSED", *lines)
    client.made("/v1/materials/ZNI/figures", {"property": "assay", "value": "80 %", **TABLE})
    later = recipes.version(client, "FUSED")
    changed = {one["name"]: one for one in later["recalculated"]["figures"]}
    assert changed["composition/inert-matter-of-ZNI"]["was"] is None
    assert (
        changed["composition/zinc-resinate"]["was"] != changed["composition/zinc-resinate"]["now"]
    )
    assert "inert-matter-of-ZNI" not in str(later["composition"])


def test_an_approval_says_what_a_derived_line_waits_for(client: Client) -> None:
    recipes.shelf(client)
    oxide = {"family": "oxide", "formula": "ZnO"}
    recipes.material(client, "ZNU", **oxide)
    recipes.material(client, "WAITS", kind="finished")
    by_acid = {"rule": "neutralise", "share": "40 %", "of": [1]}
    lines = [{"material": "ROSIN", "parts": 1}, {"material": "ZNU", "derive": by_acid}]
    client.made("/v1/recipes", {"code": "WAITS", "lines": lines})
    summary = client.made("/v1/recipes/WAITS/approvals", {})["summary"]
    assert summary.endswith("It cannot be scaled without acid value of ROSIN.")


def test_a_declared_loss_is_said_to_take_of_everything(client: Client) -> None:
    recipes.spar(client)
    shown = recipes.version(client, "SPAR")
    (found,) = (one for one in shown["figures"] if one["name"] == "non_volatile")
    assert (
        "declared losses take of all that is in the pot alike"
        in (shown["notes"][found["note"]]["valid"])
    )
