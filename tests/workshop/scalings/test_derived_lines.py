"""Lines that follow from the others by a rule, by what is known of the lots at hand."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import compositions, recipes, stock
from tests.makers.scalings import flagged, known, made_by, refused, scaling, target

ROSIN_KG = {"material": "ROSIN", "amount": "1 kg"}
NEUTRALISE = {"material": "ZNO", "derive": {"rule": "neutralise", "share": "80 %"}}
ROSIN: dict[str, Any] = {"material": "ROSIN", "parts": 100}
OIL_KG = {"material": "OIL-LIN", "amount": "1 kg"}
OIL: dict[str, Any] = {"material": "OIL-LIN", "parts": 1}


@pytest.fixture
def bench(client: Client) -> Client:
    """A shelf with its chemistry, and a balance that reads to 0.1 g."""
    compositions.reacting(client)
    client.made("/v1/equipment", {"code": "BAL-2KG", "kind": "balance", "reads_to": "0.1 g"})
    return client


def derived(
    client: Client, rule: dict[str, Any], *, of: Any = OIL, asked: Any = OIL_KG, **more: Any
) -> Any:
    """The scaling of one line and another that follows from it."""
    made_by(client, "MIX-X", of, rule)
    return scaling(client, asked, code="MIX-X", **more)


def test_an_oxide_is_weighed_by_the_acid_of_the_rosin(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate")
    answer = scaling(bench, ROSIN_KG, code="SALT-ZN")
    # 1000 g x 165 / 56106 = 2.94086 mol of acid; 80 % of it takes half as much of zinc oxide,
    # 1.17634 mol x 81.379 g/mol = 95.73 g. By hand, atomic weights of IUPAC.
    assert target(answer, 2) == "95.7"
    assert answer["lines"][1]["how"] == "takes 80 % of the acid in the pot"


def test_the_acid_value_of_the_lot_stands_before_the_materials(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate")
    lots = [stock.received(bench, "ROSIN", "5 kg") for _ in range(2)]
    known(bench, f"lots/{lots[0]}", acid_value="170 mg KOH/g")
    known(bench, f"lots/{lots[1]}", acid_value="160 mg KOH/g")
    # 95.73 g x 170 / 165 and x 160 / 165. By hand.
    assert target(scaling(bench, ROSIN_KG, code="SALT-ZN"), 2) == "98.6"
    second = {"ROSIN": {"lot": lots[1]}}
    assert target(scaling(bench, ROSIN_KG, code="SALT-ZN", choose=second), 2) == "92.8"


def test_a_salt_is_weighed_by_the_alkali_charged(bench: Client) -> None:
    for code, family, formula in (("LYE", "base", "NaOH"), ("VITRIOL", "salt", "ZnSO4.7H2O")):
        recipes.material(bench, code, family=family, formula=formula)
        known(bench, code, assay="100 %")
    lines: list[dict[str, Any]] = [
        {**ROSIN, "stage": "saponify"},
        {
            "material": "LYE",
            "derive": {"rule": "neutralise", "share": "100 %"},
            "stage": "saponify",
        },
        {"material": "VITRIOL", "derive": {"rule": "precipitate"}, "stage": "precipitate"},
    ]
    stages = [{"stage": name} for name in ("saponify", "precipitate", "wash", "dry")]
    made_by(bench, "SALT-ZN", *lines, kind="intermediate", stages=stages)
    answer = scaling(bench, ROSIN_KG, code="SALT-ZN")
    # 2.94086 mol x 39.997 g/mol; half as much of the heptahydrate x 287.54 g/mol. By hand.
    assert [target(answer, n) for n in (2, 3)] == ["117.6", "422.8"]
    assert ("wash", "spent salts and alkali") in {
        (row["stage"], row["what"]) for row in answer["losses"]
    }


def test_a_drier_is_weighed_by_its_metal_on_the_oil(bench: Client) -> None:
    recipes.material(bench, "DRIER-CO", family="drier", metal="Co")
    known(bench, "DRIER-CO", metal_content="6 %")
    rule = {"rule": "metal", "share": "0.05 %", "on": "oil"}
    # 1000 g x 0.05 % / 6 % = 8.33 g. By hand.
    assert target(derived(bench, {"material": "DRIER-CO", "derive": rule}), 2) == "8.3"


@pytest.mark.parametrize(
    ("rule", "grams"),
    [
        ({"rule": "solids", "share": "40 %"}, "1500.0"),  # 1000 / 0.4 less 1000
        ({"rule": "per-binder", "share": "8 %"}, "80.0"),
        ({"rule": "volume", "volume": "2 ml"}, "800.0"),  # 2 ml to 1 g of oil, at 0.9 kg/l
    ],
)
def test_thinner_is_weighed_by_what_it_is_to_reach(
    bench: Client, rule: dict[str, Any], grams: str
) -> None:
    line = {"material": "WSPIRIT", "derive": rule, "stage": "thin"}
    assert target(derived(bench, line, density="0.9 kg/l"), 2) == grams


def test_what_the_percents_leave_is_the_rest(bench: Client) -> None:
    line = {"material": "WSPIRIT", "derive": {"rule": "rest"}, "stage": "thin"}
    answer = derived(bench, line, of={"material": "OIL-LIN", "percent": 62.5})
    assert (target(answer, 2), answer["lines"][1]["how"]) == ("600.0", "the rest")  # 37.5 / 62.5


def test_alcohol_is_weighed_for_a_cut(bench: Client) -> None:
    recipes.material(bench, "ALCOHOL", family="solvent", figures=recipes.figures("0.79"))
    line = {"material": "ALCOHOL", "derive": {"rule": "cut", "cut": "2 lb/US gal"}, "stage": "mix"}
    # 2 x 453.592 g in 3.78541 l is 239.653 g/l: 1000 / 239.653 x 790 = 3296.4 g. By hand.
    answer = derived(bench, line, of={**ROSIN, "stage": "mix"}, asked=ROSIN_KG)
    assert target(answer, 2) == "3296.4"


def test_water_brings_a_spirit_down_to_its_strength(bench: Client) -> None:
    recipes.material(bench, "SPIRIT", family="solvent")
    recipes.material(bench, "WATER", family="water")
    known(bench, "SPIRIT", ethanol_strength="96 % v/v")
    line = {"material": "WATER", "derive": {"rule": "strength", "strength": "70 %"}, "stage": "mix"}
    asked = {"material": "SPIRIT", "amount": "1 kg"}
    answer = derived(
        bench, line, of={"material": "SPIRIT", "parts": 1, "stage": "mix"}, asked=asked
    )
    # 96 and 70 % by volume are 93.84 and 62.39 % by mass (OIML R 22): 1000 x 93.84 / 62.39 less
    # 1000 = 504 g.
    assert float(target(answer, 2) or 0) == pytest.approx(504, abs=0.5)


def test_what_is_added_as_it_needs_has_no_target(bench: Client) -> None:
    line = {"material": "WSPIRIT", "derive": {"rule": "as-needed", "until": "it runs"}}
    row = derived(bench, line)["lines"][1]
    assert (row["target"], row["exact"], row["tolerance"], row["from"]) == (None, None, None, [])
    assert (row["how"], row["condition"]) == ("as much as it needs", "it runs")


def test_every_value_that_is_missing_is_named_at_once(client: Client) -> None:
    compositions.reacting(client, acid_value=None)
    recipes.material(client, "COPAL", family="resin")
    made_by(client, "SALT-ZN", ROSIN, {"material": "COPAL", "parts": 50}, NEUTRALISE)
    found = refused(client, {"for": "1 kg"}, code="SALT-ZN")
    assert found["type"] == "/problems/value-needed"
    assert [(fault["code"], fault["detail"]) for fault in found["errors"]] == [
        ("value-needed", "Line 3 needs the acid value of ROSIN."),
        ("value-needed", "Line 3 needs the acid value of COPAL."),
    ]
    assert "POST /v1/materials/COPAL/figures" in found["errors"][1]["hint"]


@pytest.mark.parametrize(
    ("line", "needed"),
    [
        (NEUTRALISE, "the assay of ZNO"),
        (
            {"material": "OIL-LIN", "derive": {"rule": "metal", "share": "1 %", "on": "oil"}},
            "the metal content of OIL-LIN",
        ),
        ({"material": "RESIN-ZN", "derive": {"rule": "cut", "cut": "2 lb/US gal"}}, "the density"),
    ],
)
def test_a_missing_value_is_needed_and_never_made_up(
    client: Client, line: dict[str, Any], needed: str
) -> None:
    compositions.reacting(client, assay=None)
    made_by(client, "MIX-X", ROSIN, OIL, line)
    found = refused(client, {"for": "1 kg"}, code="MIX-X")
    assert found["type"] == "/problems/value-needed"
    assert needed in found["detail"]


def test_the_density_of_what_is_made_may_be_sent(bench: Client) -> None:
    line = {"material": "WSPIRIT", "derive": {"rule": "volume", "volume": "2 ml"}, "stage": "thin"}
    made_by(bench, "MIX-X", OIL, line)
    (fault,) = refused(bench, {"for": "1 kg"}, code="MIX-X")["errors"]
    assert fault["detail"] == "Line 2 needs the density of MIX-X."
    assert fault["hint"] == "Send `density`, or record it: POST /v1/materials/MIX-X/figures."
    scaling(bench, "1 kg", code="MIX-X", density="0.9 kg/l")


def test_a_rule_with_nothing_to_look_at_is_refused_as_a_plan(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE)
    known(bench, "ROSIN", acid_value="0 mg KOH/g")
    found = refused(bench, {"for": "1 kg"}, code="SALT-ZN")
    assert found["type"] == "/problems/plan-refused"
    assert found["errors"][0]["hint"] == "Let the line of the resin stand before it."


LATER = {**NEUTRALISE, "stage": "mix"}


def test_an_acid_value_older_than_the_cook_is_flagged_until_it_is_measured(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, LATER, kind="intermediate")
    before = scaling(bench, ROSIN_KG, code="SALT-ZN")
    assert ("acid-before-cook", 2) in flagged(before)
    read = [{"stage": "cook", "acid_value": "140 mg KOH/g"}]
    after = scaling(bench, ROSIN_KG, code="SALT-ZN", measured=read)
    assert ("acid-before-cook", 2) not in flagged(after)
    # 95.73 g x 140 / 165. By hand.
    assert (target(before, 2), target(after, 2)) == ("95.7", "81.2")


def test_a_mass_that_was_measured_changes_only_what_is_derived_after_it(bench: Client) -> None:
    first = {"material": "ZNO", "derive": {"rule": "neutralise", "share": "40 %"}}
    thinner = {
        "material": "WSPIRIT",
        "derive": {"rule": "solids", "share": "50 %"},
        "stage": "thin",
    }
    made_by(bench, "SALT-ZN", ROSIN, first, thinner)
    before = scaling(bench, ROSIN_KG, code="SALT-ZN")
    read = [{"stage": "cook", "mass": "900 g"}]
    after = scaling(bench, ROSIN_KG, code="SALT-ZN", measured=read)
    assert [target(after, n) for n in (1, 2)] == [target(before, n) for n in (1, 2)]
    # All that is left is solid, and as much thinner goes to it.
    assert target(after, 3) == "900.0"
    assert after["makes"]["mass"]["value"] == "1.800"
    assert {"stage": "cook", "what": "not found on weighing"}.items() <= after["losses"][-1].items()


def test_a_stage_with_nothing_in_the_pot_cannot_have_weighed_anything(bench: Client) -> None:
    stages = [{"stage": "melt"}, {"stage": "mix"}]
    made_by(bench, "MIX-X", {**OIL, "stage": "mix"}, stages=stages)
    body = {"for": "1 kg", "measured": [{"stage": "melt", "mass": "5 g"}]}
    (fault,) = refused(bench, body, code="MIX-X")["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/measured/0/mass", "out-of-range")


def outside(answer: Any) -> list[Any]:
    return [flag for flag in answer["flags"] if flag["code"] == "outside-proved-band"]


def test_a_lot_outside_what_was_proved_is_flagged_with_both_masses(bench: Client) -> None:
    band = {"from": "155 mg KOH/g", "to": "169 mg KOH/g"}
    band |= {"material": "ROSIN", "property": "acid_value"}
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate", proved=[band])
    lot = stock.received(bench, "ROSIN", "5 kg")
    known(bench, f"lots/{lot}", acid_value="169 mg KOH/g")
    assert not outside(scaling(bench, ROSIN_KG, code="SALT-ZN"))
    known(bench, f"lots/{lot}", acid_value="180 mg KOH/g")
    (flag,) = outside(scaling(bench, ROSIN_KG, code="SALT-ZN"))
    assert flag["line"] == 1
    # 95.73 g x 180 / 165, and x 162 / 165 by the middle of the band. By hand.
    assert f"180 mg KOH/g of {lot} is outside the 155 to 169 mg KOH/g" in flag["text"]
    assert "Line 2 is 104.4 g by this lot, 93.99 g by the middle of the band." in flag["text"]


def test_what_the_sums_say_of_a_line_is_told_as_a_flag_of_it(bench: Client) -> None:
    line = {"material": "WSPIRIT", "derive": {"rule": "volume", "volume": "2 ml"}, "stage": "thin"}
    answer = derived(bench, line, density="0.9 kg/l")
    said = {flag["line"]: flag["text"] for flag in answer["flags"] if flag["code"] == "note"}
    assert said[2].startswith("Found by the density of what is made")
    assert said[2].endswith("make up to the mark.")


def test_what_the_sums_say_of_a_stage_is_told_too(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate")
    flags = scaling(bench, ROSIN_KG, code="SALT-ZN")["flags"]
    said = [flag["text"] for flag in flags if (flag["code"], flag["line"]) == ("note", None)]
    assert any(text.startswith("Cook: zinc in an open kettle") for text in said)


def flags_of(answer: Any, code: str) -> list[Any]:
    return [flag for flag in answer["flags"] if flag["code"] == code]


def test_an_acid_value_from_which_nothing_follows_is_flagged(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate")
    read = [{"stage": "cook", "acid_value": "140 mg KOH/g"}]
    answer = scaling(bench, ROSIN_KG, code="SALT-ZN", measured=read)
    (flag,) = flags_of(answer, "nothing-follows")
    assert flag["text"].startswith("No line after cook follows from its acid value")
    made_by(bench, "SALT-LATER", ROSIN, LATER, kind="intermediate")
    answer = scaling(bench, ROSIN_KG, code="SALT-LATER", measured=read)
    assert not flags_of(answer, "nothing-follows")


def test_more_in_the_pot_than_was_expected_reads_as_found(bench: Client) -> None:
    thinner = {"material": "WSPIRIT", "parts": 50, "stage": "thin"}
    made_by(bench, "MIX-X", OIL, thinner)
    read = [{"stage": "cook", "mass": "1010 g"}]
    (row,) = scaling(bench, OIL_KG, code="MIX-X", measured=read)["losses"]
    assert (row["what"], row["mass"]["value"]) == ("found more on weighing", "-10.0")
