"""Each rule beside the sum that answers its single question, and what each refuses."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cuts import cut_made, pound_cut
from service.science.derived_lines import Around, Derivation, derived, line_rules
from service.science.driers import drier_dose, drier_level, resinate_as_drier
from service.science.pots import Component, Substance, weighed_in
from service.science.resinates import fusion_reagent, precipitation_salt
from service.science.rosin_soap import alkali_charged, soap_base
from service.science.strength import dilution
from service.science.thinning import concentrate_to_non_volatile, thinner_to_non_volatile
from tests.science.pots_made import (
    ALCOHOL,
    DRIER,
    HARD,
    MN_RESINATE,
    OIL,
    ROSIN,
    SHELLAC,
    SPIRIT,
    WATER,
    line_by_rule,
    reagent,
)

NEAR = 1e-9
MASSES = st.decimals(1, 5000, places=1)
PERCENTS = st.decimals(1, 99, places=1)


def grams(*asked: Any, **more: Any) -> float:
    return float(line_by_rule(*asked, **more).mass)


@pytest.mark.parametrize("base", ["NaOH", "K2CO3"])
@given(MASSES, PERCENTS, st.decimals(0, 100, places=1))
def test_a_base_is_the_base_of_the_single_sum(
    base: str, mass: Decimal, assay: Decimal, excess: Decimal
) -> None:
    alone = soap_base(
        mass, Decimal(165), base=base, purity_percent=assay + 1, excess_percent=excess
    )
    lye = reagent(base, str(assay + 1), family="base")
    line = line_by_rule(lye, "neutralise", 100, (ROSIN, mass), excess_percent=excess)
    assert float(line.mass) == pytest.approx(float(alone.base_g), rel=NEAR)
    assert line.how.startswith("takes 100 % of the acid in the pot")
    assert ("beyond" in line.how) == bool(excess)


# Check cases of finish-science c, computed there with molmass; periodictable agrees.
@pytest.mark.parametrize(
    ("mass", "acid", "base", "assay", "excess", "expected"),
    [
        ("1000", "165", "NaOH", "98.5", "0", 119.418),
        ("1000", "165", "KOH", "85", "0", 194.118),
        ("1000", "165", "K2CO3", "99", "0", 205.276),
        ("1000", "165", "Na2CO3", "99.5", "0", 156.633),
        ("250", "168", "NaOH", "97", "2", 31.4847),
    ],
)
def test_a_base_is_that_of_the_reference(
    mass: str, acid: str, base: str, assay: str, excess: str, expected: float
) -> None:
    rosin = ROSIN._replace(acid_value=Decimal(acid))
    lye = reagent(base, assay, family="base")
    line = grams(lye, "neutralise", 100, (rosin, mass), excess_percent=Decimal(excess))
    assert line == pytest.approx(expected, rel=5e-4)


@pytest.mark.parametrize("oxide", ["ZnO", "Ca(OH)2"])
@given(MASSES, PERCENTS)
def test_an_oxide_is_that_of_the_single_sum(oxide: str, mass: Decimal, part: Decimal) -> None:
    alone = fusion_reagent(
        mass,
        Decimal(165),
        reagent=oxide,
        neutralised_percent=part,
        purity_percent=Decimal(96),
    )
    line = grams(reagent(oxide, "96"), "neutralise", part, (ROSIN, mass))
    assert line == pytest.approx(float(alone.reagent_g), rel=NEAR)


@given(MASSES, MASSES)
def test_several_resins_take_what_each_would_take(one: Decimal, two: Decimal) -> None:
    zinc = reagent("ZnO")
    both = line_by_rule(zinc, "neutralise", 40, (ROSIN, one), (OIL, 5), (HARD, two)).mass
    each = [line_by_rule(zinc, "neutralise", 40, pot).mass for pot in ((ROSIN, one), (HARD, two))]
    assert both == sum(each)
    first = line_by_rule(zinc, "neutralise", 40, (ROSIN, one), (HARD, two), of=(1,)).mass
    assert first == each[0]


# Check cases of finish-science c.
@pytest.mark.parametrize(
    ("salt", "assay", "expected"),
    [
        ("ZnSO4.7H2O", "99", 427.095),
        ("FeSO4.7H2O", "99", 412.933),
        ("FeCl3.6H2O", "98", 270.376),
        ("CaCl2.2H2O", "99", 218.359),
        ("KAl(SO4)2.12H2O", "99.5", 467.376),
        ("MnSO4.H2O", "98", 253.6),
        ("CoCl2.6H2O", "99", 353.397),
    ],
)
def test_a_salt_is_sized_on_the_alkali_charged_as_the_reference_has_it(
    salt: str, assay: str, expected: float
) -> None:
    lye = (reagent("NaOH", "98.5", family="base"), "119.418")
    line = grams(reagent(salt, assay, family="salt"), "precipitate", 100, (ROSIN, 1000), lye)
    assert line == pytest.approx(expected, rel=0.001)


@given(MASSES, st.decimals(0, 100, places=1))
def test_a_salt_is_that_of_the_single_sum(mass: Decimal, excess: Decimal) -> None:
    alkali = alkali_charged(mass, "KOH", purity_percent=Decimal(88))
    alone = precipitation_salt(alkali, "ZnCl2", purity_percent=Decimal(97), excess_percent=excess)
    lye = (reagent("KOH", "88", family="base"), mass)
    zinc = reagent("ZnCl2", "97", family="salt")
    line = grams(zinc, "precipitate", 100, lye, excess_percent=excess)
    assert line == pytest.approx(float(alone.salt_g), rel=NEAR)


# Check cases of finish-science d.
@pytest.mark.parametrize(
    ("oil", "resin", "on", "metal", "target", "strength", "expected"),
    [
        ("1000", None, "oil", "Co", "0.05", "6", 8.33333),
        ("500", None, "oil", "Mn", "0.04", "10", 2.0),
        ("2500", None, "oil", "Zr", "0.2", "12", 41.6667),
        ("600", "300", "oil and resin", "Co", "0.03", "10", 2.7),
        ("1000", "250", "oil", "Mn", "0.12", "9", 13.3333),
    ],
)
def test_a_drier_is_that_of_the_reference(
    oil: str, resin: str | None, on: str, metal: str, target: str, strength: str, expected: float
) -> None:
    drier = DRIER._replace(metals=((metal, Decimal(strength)),))
    pot = [(OIL, oil), (SPIRIT, 400), *([(ROSIN, resin)] if resin else [])]
    line = line_by_rule(drier, "metal", target, *pot, on=on)
    assert float(line.mass) == pytest.approx(expected, rel=1e-4)
    basis = Decimal(oil) + (Decimal(resin) if resin and on != "oil" else 0)
    assert (
        line.notes
        == drier_dose(
            basis,
            on,
            metal=metal,
            target_percent=Decimal(target),
            drier_metal_percent=Decimal(strength),
        ).notes
    )
    assert line.how == f"{target} % {metal} on the {on}"


@pytest.mark.parametrize("on", ["oil", "oil and resin"])
@given(oil=MASSES, resin=MASSES, target=st.decimals("0.01", "0.2", places=2))
def test_a_resinate_as_drier_counts_as_resin(
    on: str, oil: Decimal, resin: Decimal, target: Decimal
) -> None:
    line = line_by_rule(MN_RESINATE, "metal", target, (OIL, oil), (ROSIN, resin), on=on)
    alone = resinate_as_drier(
        oil,
        resin,
        metal="Mn",
        target_percent=target,
        resinate_metal_percent=Decimal(5),
        basis=on,
    )
    assert float(line.mass) == pytest.approx(float(alone.resinate_g), rel=NEAR)
    assert line.notes == alone.notes
    basis = oil if on == "oil" else oil + resin + alone.resinate_g
    reached = drier_level(
        alone.resinate_g, Decimal(5), metal="Mn", basis_g=basis, basis=on
    ).metal_percent
    assert float(reached) == pytest.approx(float(target), rel=NEAR)


def test_a_drier_sized_on_named_lines_looks_at_them_alone() -> None:
    line = line_by_rule(MN_RESINATE, "metal", 1, (OIL, 100), (OIL, 50), on="oil and resin", of=(2,))
    assert line.mass == 10


# finish-science k: 200 g to 1,000 g of 60 % for 50 %, 38.0208 g to 250 g of 55.3 % for 48 %.
@pytest.mark.parametrize(
    ("solid", "liquid", "target", "expected"),
    [("600", "400", "50", 200.0), ("138.25", "111.75", "48", 38.0208)],
)
def test_a_thinner_is_that_of_the_reference(
    solid: str, liquid: str, target: str, expected: float
) -> None:
    assert grams(SPIRIT, "solids", target, (OIL, solid), (SPIRIT, liquid)) == pytest.approx(
        expected, rel=2e-6
    )


@given(MASSES, MASSES, st.decimals("0.1", "0.9", places=2), st.decimals(0, 20, places=1))
def test_a_thinner_with_solids_of_its_own_is_mixed_as_a_concentrate_is(
    solid: Decimal, liquid: Decimal, part: Decimal, own: Decimal
) -> None:
    now = 100 * solid / (solid + liquid)
    target = own + (now - own) * part
    if not own < target < now:
        return
    weak = SPIRIT._replace(non_volatile_percent=own)
    line = line_by_rule(weak, "solids", target, (OIL, solid), (SPIRIT, liquid))
    back = concentrate_to_non_volatile(
        Decimal(str(float(line.mass))), own, concentrate_percent=now, target_percent=target
    )
    assert float(back.add_g) == pytest.approx(float(solid + liquid), rel=1e-6)
    if not own:
        alone = thinner_to_non_volatile(solid + liquid, now, target_percent=target)
        assert float(line.mass) == pytest.approx(float(alone.add_g), rel=NEAR)
        assert line.notes == alone.notes


def test_what_a_reaction_made_counts_as_solid() -> None:
    pot = (
        Component("zinc resinate", "resinate", (1,), Fraction(300)),
        weighed_in(2, OIL, Fraction(300)),
    )
    line = derived(Derivation(3, "solids", Decimal(50)), Around(SPIRIT, pot))
    assert line.mass == 600


def test_a_colour_goes_by_the_oil_and_resin_in_the_pot() -> None:
    pot = [(OIL, 60), (ROSIN, 40), (SPIRIT, 100)]
    lake = Substance("LAKE", "pigment")
    assert line_by_rule(lake, "per-binder", 8, *pot).mass == 8
    assert line_by_rule(lake, "per-binder", 8, *pot, of=(1,)).mass == Fraction("4.8")


@given(MASSES, st.decimals("0.8", "1.1", places=3), st.decimals(1, 5, places=1))
def test_a_volume_is_filled_to_its_mass(mass: Decimal, density: Decimal, times: Decimal) -> None:
    volume = mass / density * times + 1
    line = line_by_rule(SPIRIT, "volume", volume, (SHELLAC, mass), density=density)
    assert line.mass + Fraction(mass) == Fraction(volume) * Fraction(density)
    assert line.notes[0].endswith("make up to the mark")


# finish-science h: grams of shellac to a litre of alcohol.
@pytest.mark.parametrize(
    ("cut", "density", "charged"),
    [("1", "0.785", 119.826), ("2", "0.785", 239.653), ("3", "0.7855", 359.479)],
)
def test_a_litre_of_alcohol_makes_the_cut_of_the_reference(
    cut: str, density: str, charged: float
) -> None:
    alcohol = ALCOHOL._replace(density_kg_l=Decimal(density))
    line = line_by_rule(alcohol, "cut", cut, (SHELLAC, str(charged)))
    assert float(line.mass) == pytest.approx(1000 * float(density), rel=2e-4)
    assert line.notes == pound_cut(Decimal(cut), Decimal(density)).notes


@given(st.decimals(1, 500, places=1), st.decimals("0.3", 7, places=1))
def test_a_cut_made_by_the_rule_is_the_cut_wanted(shellac: Decimal, cut: Decimal) -> None:
    alcohol_ml = line_by_rule(ALCOHOL, "cut", cut, (SHELLAC, shellac)).mass / Fraction("0.785")
    made = cut_made(shellac, Decimal(str(float(alcohol_ml))))
    assert float(made.cut_lb_per_us_gal) == pytest.approx(float(cut), rel=NEAR)


# finish-science h, by OIML R 22: stock and water in g for a litre.
@pytest.mark.parametrize(
    ("stock", "target", "stock_g", "water_g"),
    [
        ("96", "70", "588.743", 296.818),
        ("96", "48", "403.710", 530.293),
        ("99.5", "95", "755.987", 55.393),
    ],
)
def test_water_brings_a_spirit_down_as_the_reference_has_it(
    stock: str, target: str, stock_g: str, water_g: float
) -> None:
    spirit = ALCOHOL._replace(ethanol_percent_vol=Decimal(stock))
    line = line_by_rule(WATER, "strength", target, (spirit, stock_g))
    assert float(line.mass) == pytest.approx(water_g, rel=2e-4)
    alone = dilution(Decimal(stock), Decimal(target), volume_ml=Decimal(1000))
    assert line.notes == alone.notes


@given(st.decimals(50, 99, places=1), st.decimals(5, 49, places=1))
def test_water_for_a_strength_is_that_of_the_single_sum(stock: Decimal, target: Decimal) -> None:
    alone = dilution(stock, target, volume_ml=Decimal(1000))
    spirit = ALCOHOL._replace(ethanol_percent_vol=stock)
    line = grams(WATER, "strength", target, (SHELLAC, 5), (spirit, alone.stock_g))
    assert line == pytest.approx(float(alone.water_g), rel=1e-8)


def test_two_spirits_are_brought_down_together_or_one_alone() -> None:
    pot = [(ALCOHOL, 100), (ALCOHOL, 50)]
    both, second = (line_by_rule(WATER, "strength", 48, *pot, of=of).mass for of in ((), (2,)))
    assert both == 3 * second


def test_every_rule_is_listed() -> None:
    assert set(line_rules()) == {
        "neutralise",
        "precipitate",
        "metal",
        "solids",
        "per-binder",
        "volume",
        "cut",
        "strength",
        "rest",
        "as-needed",
    }


@given(MASSES, st.fractions(Fraction(1, 100), 100))
def test_a_rule_knows_no_kettle(mass: Decimal, times: Fraction) -> None:
    for substance, name, amount, pot in (
        (reagent("ZnO"), "neutralise", 40, (ROSIN, mass)),
        (DRIER, "metal", "0.05", (OIL, mass)),
        (SPIRIT, "solids", 50, (OIL, mass)),
        (ALCOHOL, "cut", 2, (SHELLAC, mass)),
        (WATER, "strength", 40, (ALCOHOL, mass)),
    ):
        small = line_by_rule(substance, name, amount, pot).mass
        large = line_by_rule(substance, name, amount, (pot[0], Fraction(mass) * times)).mass
        assert large == small * times
