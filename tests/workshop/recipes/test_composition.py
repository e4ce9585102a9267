"""What comes out of a recipe, its intermediates taken apart."""

from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from fractions import Fraction
from typing import Any

import molmass
import periodictable
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import event

from service.store.session import Store
from service.web.footnotes import Footnotes
from service.workshop.recipes import queries
from service.workshop.recipes.figures import derive
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.exploding import opened, portions
from service.workshop.recipes.inside.whole import composition
from service.workshop.recipes.inside.working import Rows, work
from tests.client import Client, system
from tests.makers import compositions, recipes
from tests.makers.compositions import material, mixed, undecided
from tests.makers.recipes import figure

ACIDS, NEUTRAL = "unreacted acids of gum rosin", "neutral matter of gum rosin"
MASSES = (
    lambda formula: molmass.Formula(formula).mass,
    lambda formula: periodictable.formula(formula).mass,
)


def parts_of_zinc_resinate(mass: Any, *, rosin: float, zno: float, acid_value: float) -> Any:
    """Resinate, acids left, neutral matter and water of a fusion, by masses of another library."""
    oxide = zno / mass("ZnO")
    acid = rosin * acid_value / 56106
    abietic, water = mass("C20H30O2"), oxide * mass("H2O")
    made = 2 * oxide * abietic + zno - water
    return made, (acid - 2 * oxide) * abietic, rosin - acid * abietic, water


@pytest.mark.parametrize("mass", MASSES, ids=["molmass", "periodictable"])
@pytest.mark.parametrize(("rosin", "zno"), [(100, 5), (1000, 60)])
def test_a_zinc_resinate_is_resinate_acids_and_neutral_matter(
    client: Client, mass: Any, rosin: float, zno: float
) -> None:
    compositions.reacting(client)
    shown = compositions.resinate(client, zno, rosin=rosin)
    made, acids, neutral, _ = parts_of_zinc_resinate(mass, rosin=rosin, zno=zno, acid_value=165)
    whole = made + acids + neutral
    expected = {"zinc resinate": made, ACIDS: acids, NEUTRAL: neutral}
    shares = {name: 100 * part / whole for name, part in expected.items()}
    assert compositions.portions(shown) == pytest.approx(shares, rel=5e-4)


def test_the_water_that_leaves_is_that_of_the_worked_example(client: Client) -> None:
    # 13.2824 g of 1000 g of rosin and 60 g of zinc oxide, leaving 1046.72 g of 4.60524 % zinc
    # (reference, c.6).
    compositions.reacting(client)
    shown = compositions.resinate(client, 60, rosin=1000)
    (water,) = shown["losses"]
    assert (water["stage"], water["cause"], water["basis"]) == ("cook", "water", "calculated")
    assert float(water["share"]["value"]) == pytest.approx(100 * 13.2824 / 1060, rel=5e-4)
    assert figure(shown, "loss_total") == "1.25"


def test_what_an_assay_does_not_count_stays_as_inert_matter(client: Client) -> None:
    compositions.reacting(client, assay="96")
    shown = compositions.resinate(client, 60, rosin=1000)
    rows = {row["name"]: row for row in shown["composition"]}
    inert = rows["inert matter of zinc white"]
    # 4 % of 60 g stays; water is 12.7511 g (96 % of 13.2824, reference, c.6), by hand.
    share = 100 * 2.4 / (1060 - 0.96 * 13.2824)
    assert float(inert["share"]["value"]) == pytest.approx(share, rel=5e-4)
    assert (inert["component"], inert["from"]) == ("inert-matter-of-ZNO", ["ZNO"])
    assert rows["zinc resinate"]["from"] == ["ROSIN", "ZNO"]
    assert rows["zinc resinate"]["family"] == "resinate"


@pytest.mark.parametrize(
    ("lacking", "missing"),
    [({"acid_value": None}, "acid value of ROSIN"), ({"assay": None}, "assay of ZNO")],
)
def test_without_the_chemistry_nothing_is_listed_as_reacted(
    client: Client, lacking: Any, missing: str
) -> None:
    compositions.reacting(client, **lacking)
    shown = compositions.resinate(client)
    assert set(compositions.portions(shown)) == {"gum rosin", "zinc white"}
    assert undecided(shown, "composition") == [missing]
    assert shown["losses"] == []


def test_an_intermediate_is_taken_apart_though_its_own_figures_are_known(client: Client) -> None:
    compositions.reacting(client)
    compositions.resinate(client)
    known = {"property": "non_volatile", **compositions.figure("99 %")}
    client.made("/v1/materials/RESIN-ZN/figures", known)
    recipes.recipe(client, recipes.SPAR)
    shown = recipes.version(client, "SPAR")
    names = {"WSPIRIT", "OIL-LIN", "OIL-TUNG", "zinc resinate", ACIDS, NEUTRAL}
    assert set(compositions.portions(shown)) == names
    assert sum(compositions.portions(shown).values()) == pytest.approx(100, abs=0.02)
    assert figure(shown, "non_volatile") == "59.8"


def test_the_same_resinate_by_two_ways_is_one_component(client: Client) -> None:
    compositions.reacting(client)
    compositions.resinate(client)
    recipes.material(client, "BASE-X", kind="intermediate")
    base = [{"material": "RESIN-ZN", "parts": 1}, {"material": "OIL-LIN", "parts": 1}]
    recipes.recipe(client, {"code": "BASE-X", "lines": base})
    shown = mixed(client, ("BASE-X", 2), ("RESIN-ZN", 1))
    once = compositions.portions(recipes.version(client, "RESIN-ZN"))
    found = compositions.portions(shown)
    assert found["zinc resinate"] == pytest.approx(once["zinc resinate"] * 2 / 3, rel=5e-4)
    assert found["OIL-LIN"] == 33.33


def test_a_resinate_that_takes_more_metal_keeps_what_it_was(client: Client) -> None:
    compositions.reacting(client)
    first = compositions.portions(compositions.resinate(client, 2))
    lines = (("RESIN-ZN", 100), ("ZNO", 2))
    second = compositions.portions(mixed(client, *lines, stage="melt"))
    assert set(second) == {"zinc resinate", "unreacted acids of RESIN-ZN", NEUTRAL}
    mass = molmass.Formula("H2O").mass / molmass.Formula("ZnO").mass
    makes = 102 - 2 * mass
    assert second[NEUTRAL] == pytest.approx(100 * first[NEUTRAL] / makes, rel=5e-4)
    assert sum(second.values()) == pytest.approx(100, abs=0.02)


def test_a_soap_that_is_washed_leaves_resinate_only(client: Client) -> None:
    compositions.reacting(client)
    for code, family, formula in (("LYE", "base", "NaOH"), ("SALT", "salt", "ZnSO4.7H2O")):
        material(client, code, family, assay="100 %", non_volatile="100 %")
        assert client.patch(f"/v1/materials/{code}", {"formula": formula}).status_code == 200
    recipes.material(client, "SOAP-X", kind="intermediate")
    # 117.627 g of caustic soda and 422.824 g of salt are what the acid takes (reference, c.3).
    told = (("ROSIN", 1000, "saponify"), ("LYE", 117.627, "saponify"), ("SALT", 430, "precipitate"))
    lines = [{"material": code, "parts": mass, "stage": stage} for code, mass, stage in told]
    stages = [{"stage": stage} for stage in ("saponify", "precipitate", "wash")]
    body = {"code": "SOAP-X", "lines": lines, "stages": stages}
    shown = client.made("/v1/recipes", body)["version"]
    assert set(compositions.portions(shown)) <= {"zinc resinate", ACIDS, NEUTRAL}
    assert [row["cause"] for row in shown["losses"]] == ["spent salts and alkali"]


def test_a_material_without_a_recipe_stands_as_itself(client: Client) -> None:
    recipes.material(client, "BOUGHT-X", kind="intermediate", name="bought resin")
    shown = mixed(client, ("BOUGHT-X", 1))
    (row,) = shown["composition"]
    assert row["share"] == {"value": "100.0", "unit": "%"}
    assert (row["component"], row["name"], row["note"]) == ("BOUGHT-X", "bought resin", None)


def test_exact_shares_come_to_one(client: Client, store: Store) -> None:
    compositions.reacting(client)
    compositions.resinate(client)
    recipes.recipe(client, recipes.SPAR)
    with store.reading(system()) as session:
        version = queries.version(session, "SPAR", 1)
        lines, stages = queries.lines(session, version), queries.stages(session, version)
        of = Composition(session)
        substances = {line.material: of.substance(line.material) for line in lines}
        session.expunge_all()

        @settings(max_examples=30, deadline=None)
        @given(st.lists(st.integers(1, 10**9), min_size=4, max_size=4), st.integers(-20, 60))
        def come_to_one(parts: list[int], lost: int) -> None:
            for line, amount in zip(lines, parts, strict=True):
                line.basis, line.amount = "parts", Decimal(amount)
            rows = Rows(version, lines, stages, [], {"cook": Decimal(lost)})
            found = portions(of, opened(of, work(rows, substances)))
            assert sum((each.share for each in found), Fraction(0)) == 1
            assert all(each.share > 0 for each in found)

        come_to_one()


def test_an_intermediate_is_the_approved_version_or_the_one_that_is_named(
    client: Client, store: Store
) -> None:
    compositions.reacting(client)
    compositions.resinate(client)
    recipes.again(client, "RESIN-ZN", {"lines": [{"material": "ROSIN", "parts": 1}]})
    with store.reading(system()) as session:
        for versions, number in (({}, 1), ({"RESIN-ZN": 2}, 2)):
            made = Composition(session, {}, versions).made("RESIN-ZN")
            assert made is not None
            assert (made.recipe, made.version) == ("RESIN-ZN", number)
        assert Composition(session).made("ROSIN") is None


@contextmanager
def counted(store: Store) -> Iterator[list[str]]:
    """The statements that are sent to the database meanwhile."""
    seen: list[str] = []

    def note(*sent: Any) -> None:
        seen.append(sent[2])

    event.listen(store.reader, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        event.remove(store.reader, "before_cursor_execute", note)


def test_forty_lines_on_three_levels_take_a_dozen_queries(client: Client, store: Store) -> None:
    for n in range(39):
        material(client, f"OIL-N{n}", "drying-oil", density="0.93 kg/l", non_volatile="100 %")
    below = "OIL-N0"
    for code in ("LOW-X", "MID-X", "TOP-X"):
        recipes.material(client, code, kind="intermediate")
        lines = [{"material": each, "parts": 1} for each in (below, "OIL-N1", "OIL-N2")]
        recipes.recipe(client, {"code": code, "lines": lines})
        below = code
    mixed(client, ("TOP-X", 1), *((f"OIL-N{n}", 1) for n in range(39)))
    with store.reading(system()) as session, counted(store) as seen:
        of, notes = Composition(session), Footnotes()
        done = of.work(queries.version(session, "MIX-X", 1))
        derived = derive(of, done.charges, notes, work=done)
        assert len(composition(of, done, derived)) == 39
    sent = [each for each in seen if each.lstrip().lower().startswith("select")]
    assert 0 < len(sent) <= 12, "\n".join(sent)
