"""Figures of what comes out of a recipe, asked through HTTP."""

from decimal import Decimal
from typing import Any

import pytest

from service.science.rounding import plain, round_significant
from tests.client import Client
from tests.makers import compositions, recipes
from tests.makers.compositions import material, mixed, note, reason, undecided
from tests.makers.recipes import figure

LB_PER_US_GAL = Decimal("119.8264")  # in g/l; NIST SP 811, Appendix B
# Density, non-volatile, water, then by mass, of material and less water; worked examples of
# 40 CFR 59.104(a)(1) and ISO 11890-1 by formula (reference, topic f).
WORKED = (
    ("0.905", "52", "0", "48.0", "434", "434"),
    ("0.88", "20", "4", "76.0", "669", "693"),
    ("1.03", "35", "57", "8.00", "82.4", "200"),
)


def three(value: Decimal) -> str:
    return plain(round_significant(value, 3))


@pytest.mark.parametrize(("density", "solid", "water", "mass", "of_material", "less"), WORKED)
def test_voc_agrees_with_the_worked_examples(
    client: Client, density: str, solid: str, water: str, mass: str, of_material: str, less: str
) -> None:
    known = {"density": f"{density} kg/l", "non_volatile": f"{solid} %", "water": f"{water} %"}
    material(client, "LIQUID-X", "other", **known)
    shown = mixed(client, ("LIQUID-X", 1))
    assert figure(shown, "voc_by_mass") == mass
    assert figure(shown, "voc_ready_to_use") == of_material
    assert figure(shown, "voc_of_material") == of_material
    assert figure(shown, "voc_less_water_exempt") == less


def test_voc_agrees_with_a_published_paint_of_water_solvent_and_solids(client: Client) -> None:
    # Printed for 33.2 lb of solvent, 62.4 gal of water and 33.06 gal of solids in 100 US gal:
    # 0.332, 0.883 less water, 1.004 lb/gal of solids (reference, topic f, S-PICCO).
    pounds, solids_kg_l = Decimal("33.2"), Decimal("1.1")
    litre, pound = Decimal("3.785411784"), Decimal("0.45359237")
    solvent_l = (100 - Decimal("62.4") - Decimal("33.06")) * litre
    dense = pounds * pound / solvent_l
    full = {"non_volatile": "100 %"}
    material(client, "SOLVENT-X", "solvent", density=f"{dense:.9f} kg/l", non_volatile="0 %")
    material(client, "WATER-X", "water", density="0.997537 kg/l", non_volatile="0 %")
    material(client, "SOLID-X", "pigment", density=f"{solids_kg_l} kg/l", **full)
    parts = (
        ("SOLVENT-X", pounds * pound),
        ("WATER-X", Decimal("62.4") * litre * Decimal("0.997537")),
        ("SOLID-X", Decimal("33.06") * litre * solids_kg_l),
    )
    shown = mixed(client, *((code, round(float(mass), 6)) for code, mass in parts))
    assert figure(shown, "voc_of_material") == three(Decimal("0.332") * LB_PER_US_GAL)
    assert figure(shown, "voc_less_water_exempt") == three(Decimal("0.883") * LB_PER_US_GAL)
    assert figure(shown, "voc_per_solids") == three(Decimal("1.004") * LB_PER_US_GAL)
    assert figure(shown, "volume_solids") == "33.1"


def test_exempt_compounds_count_in_europe_and_not_in_the_united_states(client: Client) -> None:
    # 0.93 kg/l, 45 % solids, 15 % acetone of 0.791 kg/l: 372.0 of material, 451.653 less exempt
    # (reference, topic f); ready to use 10 x 0.93 x 55, by hand.
    beside = Decimal("0.85") / (1 / Decimal("0.93") - Decimal("0.15") / Decimal("0.791"))
    solid = {"density": f"{beside:.9f} kg/l", "non_volatile": f"{45 / Decimal('0.85'):.9f} %"}
    nothing = {"water": "0 %", "exempt": "0 %"}
    acetone = {"density": "0.791 kg/l", "non_volatile": "0 %", "water": "0 %", "exempt": "100 %"}
    material(client, "BASE-X", "other", **solid, **nothing)
    material(client, "ACETONE", "solvent", **acetone)
    shown = mixed(client, ("BASE-X", 85), ("ACETONE", 15))
    assert figure(shown, "voc_of_material") == "372"
    assert figure(shown, "voc_less_water_exempt") == "452"
    assert figure(shown, "voc_ready_to_use") == three(Decimal("511.5"))
    assert "not stated" not in note(shown, "voc_of_material")["valid"]


def test_water_that_is_not_stated_makes_an_upper_bound(client: Client) -> None:
    recipes.shelf(client)
    shown = mixed(client, ("OIL-LIN", 1), ("WSPIRIT", 1))
    said = note(shown, "voc_ready_to_use")["valid"]
    assert "water of WSPIRIT not stated: counted as none" in said
    assert "upper bound" in said
    assert "upper bound" not in note(shown, "voc_less_water_exempt")["valid"]


def test_volume_solids_and_density_agree_with_a_worked_example(client: Client) -> None:
    # Solvents of 0.79 kg/l in 0.905 kg/l of 52 %: 45.01 % v/v (1 - 0.905 x 0.48 / 0.79), by hand.
    solids = Decimal("0.52") / (1 / Decimal("0.905") - Decimal("0.48") / Decimal("0.79"))
    dense = f"{solids:.9f} kg/l"
    material(client, "SOLID-X", "resin", density=dense, non_volatile="100 %")
    material(client, "SOLVENT-X", "solvent", density="0.79 kg/l", non_volatile="0 %")
    shown = mixed(client, ("SOLID-X", 52), ("SOLVENT-X", 48))
    assert figure(shown, "density") == "0.905"
    assert figure(shown, "volume_solids") == "45.0"
    assert "volumes are taken to add up" in note(shown, "density")["valid"]


def test_spirit_and_water_go_by_the_table_of_ethanol(client: Client) -> None:
    # OIML R 22: 96 % vol is 93.83854 % by mass; 70 % vol is 62.38619 % and 0.8855613 kg/l.
    known = {"ethanol_strength": "96 % v/v", "non_volatile": "0 %"}
    material(client, "ETHANOL", "solvent", density="0.8074 kg/l", **known)
    material(client, "WATER-X", "water", density="0.998 kg/l", non_volatile="0 %")
    shown = mixed(client, ("ETHANOL", 62.38619), ("WATER-X", 31.45235))
    assert figure(shown, "density") == "0.886"
    assert note(shown, "density")["source"] == "OIML R 22 (1975), general formula"
    assert figure(shown, "voc_by_mass") == "62.4"
    assert reason(shown, "volume_solids") == "nothing in it stays"


def test_an_unknown_density_leaves_all_by_volume_undecided_and_names_it(client: Client) -> None:
    recipes.shelf(client)
    material(client, "THIN-X", "solvent", non_volatile="0 %")
    shown = mixed(client, ("OIL-LIN", 1), ("THIN-X", 1))
    assert figure(shown, "voc_by_mass") == "50.0"
    for name in ("density", "volume_solids", "voc_ready_to_use", "voc_per_solids"):
        assert undecided(shown, name) == ["density of THIN-X"]


def test_the_class_of_an_oil_length_is_told_by_every_convention(client: Client) -> None:
    recipes.spar(client)
    shown = recipes.version(client, "SPAR")
    # 25.7 US gal are medium in handbooks, 66.7 % are long among alkyds (reference, b.5).
    assert figure(shown, "oil_length_class") == "medium"
    how = note(shown, "oil_length_class")["how"]
    for told in ("alkyd_40_60 long", "us_gal_handbook medium", "mass_fat_lean fat"):
        assert told in how


def test_oil_to_resin_in_the_can_follows_what_each_stage_takes(client: Client) -> None:
    # Copal run to 77 % of its mass, oil kept: 1.5 as charged is 1.948 run (reference, b).
    recipes.shelf(client)
    material(client, "COPAL", "resin", density="1.06 kg/l", non_volatile="100 %")
    recipes.material(client, "RUN-X", kind="intermediate")
    run = {"material": "COPAL", "parts": 1, "stage": "run"}
    losses = [{"stage": "run", "losses": {"fumes": "23 %"}}]
    recipes.recipe(client, {"code": "RUN-X", "lines": [run], "stages": losses})
    shown = mixed(client, ("RUN-X", 77), ("OIL-LIN", 150))
    assert figure(shown, "oil_to_resin_can") == "1.95"


def test_a_resinate_made_in_the_pot_counts_as_resin_in_the_can(client: Client) -> None:
    compositions.reacting(client)
    lines = (("ROSIN", 1000), ("ZNO", 60), ("OIL-LIN", 1046.72))
    shown = mixed(client, *lines, stage="cook")
    # What 1000 g of rosin and 60 g of zinc oxide make weighs 1046.72 g (reference, c.6).
    assert figure(shown, "oil_to_resin") == "1.05"
    assert figure(shown, "oil_to_resin_can") == "1.00"


def test_the_metal_on_the_oil_adds_driers_and_resinates_up(client: Client) -> None:
    compositions.reacting(client)
    compositions.resinate(client, 60, rosin=1000)
    material(client, "DRY-CO", "drier", metal_content="6 %", non_volatile="60 %")
    assert client.patch("/v1/materials/DRY-CO", {"metal": "Co"}).status_code == 200
    shown = mixed(client, ("RESIN-ZN", 100), ("OIL-LIN", 1500), ("DRY-CO", 30))
    # 30 g of 6 % on 1500 g; 4.60524 g of zinc (reference, c.6) on 1500 g.
    assert figure(shown, "metal_on_oil_co") == "0.120"
    assert figure(shown, "metal_on_oil_zn") == "0.307"
    assert "over 0.10 % Co" in note(shown, "metal_on_oil_co")["valid"]


def test_a_drier_without_its_metal_leaves_the_metal_undecided(client: Client) -> None:
    recipes.shelf(client)
    material(client, "DRY-X", "drier")
    shown = mixed(client, ("OIL-LIN", 1), ("DRY-X", 1))
    assert undecided(shown, "metal_on_oil") == ["metal content of DRY-X"]


def test_an_acid_number_is_told_to_be_measured_once_it_was_cooked(client: Client) -> None:
    material(client, "ROSIN", "resin", acid_value="160 mg KOH/g")
    material(client, "OIL-X", "drying-oil", acid_value="2 mg KOH/g")
    cold = mixed(client, ("ROSIN", 1), ("OIL-X", 1))
    assert figure(cold, "acid_number") == "81.0"
    assert "after a reaction" not in note(cold, "acid_number")["valid"]
    lines = [{"material": code, "parts": 1, "stage": "cook"} for code in ("ROSIN", "OIL-X")]
    cooked = recipes.again(client, "MIX-X", {"lines": lines})
    valid = note(cooked, "acid_number")["valid"]
    assert valid == "not meaningful after a reaction: measure it"


def test_the_acid_that_a_metal_leaves_is_that_of_the_worked_example(client: Client) -> None:
    # 1000 g of acid number 165 and 60 g of zinc oxide leave 78.5962 (reference, c.6).
    compositions.reacting(client)
    shown = compositions.resinate(client, 60, rosin=1000)
    assert figure(shown, "acid_number") == "78.6"


def test_what_holds_no_acid_has_no_acid_number(client: Client) -> None:
    recipes.shelf(client)
    shown = mixed(client, ("WSPIRIT", 1))
    assert reason(shown, "acid_number") == "nothing acid is in it"
    assert undecided(recipes.again(client, "MIX-X", OIL_ALONE), "acid_number") == [
        "acid value of OIL-LIN"
    ]


OIL_ALONE: dict[str, Any] = {"lines": [{"material": "OIL-LIN", "parts": 1, "stage": "mix"}]}
GAIN: dict[str, Any] = {
    "lines": [{"material": "OIL-LIN", "parts": 1, "stage": "sun-thicken"}],
    "stages": [{"stage": "sun-thicken", "losses": {"oxygen": "-12 %"}}],
}


def test_oxygen_taken_up_is_a_loss_below_nothing(client: Client) -> None:
    recipes.shelf(client)
    recipes.material(client, "SUN-X", kind="intermediate")
    shown = client.made("/v1/recipes", {"code": "SUN-X", **GAIN})["version"]
    assert figure(shown, "loss_total") == "-12.0"
    assert [row["share"]["value"] for row in shown["losses"]] == ["-12.00"]
    assert compositions.portions(shown) == {"OIL-LIN": 89.29, "oxygen taken up": 10.71}


def test_a_line_that_cannot_be_worked_out_leaves_all_figures_undecided(client: Client) -> None:
    compositions.reacting(client, acid_value=None)
    recipes.material(client, "MIX-X", kind="finished")
    lines = [
        {"material": "ROSIN", "parts": 1},
        {"material": "ZNO", "derive": {"rule": "neutralise", "share": "50 %"}},
    ]
    shown = client.made("/v1/recipes", {"code": "MIX-X", "lines": lines})["version"]
    assert (shown["figures"], shown["composition"], shown["losses"]) == ([], [], [])
    for name in ("density", "voc_by_mass", "oil_to_resin_can", "loss_total", "composition"):
        assert undecided(shown, name) == ["acid value of ROSIN"]


def test_figures_say_which_reaction_they_could_not_reckon(client: Client) -> None:
    compositions.reacting(client, acid_value=None)
    shown = mixed(client, ("ROSIN", 20), ("ZNO", 1), ("OIL-LIN", 40), stage="cook")
    assert figure(shown, "non_volatile") == "100"
    for name in ("non_volatile", "density", "loss_total"):
        assert "no reaction is reckoned without acid value of ROSIN" in note(shown, name)["valid"]
    for name in ("oil_to_resin_can", "metal_on_oil", "composition"):
        assert undecided(shown, name) == ["acid value of ROSIN"]


def test_every_figure_of_the_contents_says_that_it_goes_by_exact_shares(client: Client) -> None:
    compositions.reacting(client)
    compositions.resinate(client)
    recipes.recipe(client, recipes.SPAR)
    shown = recipes.version(client, "SPAR")
    charged = {"oil_to_resin", "oil_percent", "oil_length_us_gal", "oil_length_class"}
    names = {row["name"] for row in shown["figures"]} - charged
    assert len(names) == 11
    for name in names:
        assert note(shown, name)["how"].endswith("by the version's exact shares")
