"""Reactions in the pot beside the sums for one rosin and one reagent, and beside two libraries."""

import warnings
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.pots import Component, Substance, total, weighed_in
from service.science.reactions import alkali_in, fused, precipitated, soaped
from service.science.resinate_reagents import fusion_reagents, salts
from service.science.resinates import fused_resinate, precipitated_resinate
from service.science.rosin_soap import KOH_MG_PER_MOL, alkali_charged, soap_base
from tests.science.pots_made import HARD, OIL, ROSIN, WATER, pot_of, reagent

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import periodictable
    from molmass import Formula as Molmass

NEAR = 1e-9
MASSES = st.decimals(1, 5000, places=1)
VALUES = st.decimals(10, 190, places=1)


def named(pot: Sequence[Component], family: str) -> list[Component]:
    return [one for one in pot if one.family == family]


def metal_g(pot: Sequence[Component]) -> Fraction:
    return sum((mass for one in pot for _, mass in one.metals), Fraction(0))


def acid_mol(pot: Sequence[Component]) -> Fraction:
    return sum((one.acid_mol for one in pot), Fraction(0))


@pytest.mark.parametrize("formula", fusion_reagents())
@given(mass=MASSES, acid=VALUES, part=st.decimals("0.01", "0.99", places=2))
def test_a_fusion_is_the_fusion_of_the_single_sum(
    formula: str, mass: Decimal, acid: Decimal, part: Decimal
) -> None:
    molar = periodictable.formula(formula.replace(".", "+")).mass
    grams = Decimal(str(float(mass * acid / KOH_MG_PER_MOL * part / 2) * molar))
    assay = Decimal(96)
    rosin = ROSIN._replace(acid_value=acid)
    found = fused(pot_of((rosin, mass), (reagent(formula, "96"), grams)))
    alone = fused_resinate(mass, acid, reagent=formula, reagent_g=grams, purity_percent=assay)
    made, after = total(found.pot), acid_mol(found.pot)
    assert float(made) == pytest.approx(float(alone.product_g), rel=NEAR)
    assert float(100 * metal_g(found.pot) / made) == pytest.approx(
        float(alone.metal_percent), rel=NEAR
    )
    assert float(after * Fraction(KOH_MG_PER_MOL) / made) == pytest.approx(
        float(alone.residual_acid_number), rel=1e-6
    )
    assert float(sum(mass for _, mass in found.left)) == pytest.approx(
        float(alone.driven_off_g), rel=NEAR
    )
    assert set(alone.notes[-1:]) <= set(found.notes)


@pytest.mark.parametrize("formula", salts())
@given(mass=MASSES, acid=VALUES, alkali=st.decimals("0.5", "1.5", places=2))
def test_a_precipitation_is_that_of_the_single_sum(
    formula: str, mass: Decimal, acid: Decimal, alkali: Decimal
) -> None:
    rosin, soda = ROSIN._replace(acid_value=acid), reagent("NaOH", family="base")
    lye = soap_base(mass, acid, base="NaOH", purity_percent=Decimal(100)).base_g * alkali
    charged = alkali_charged(lye, "NaOH", purity_percent=Decimal(100))
    alone = precipitated_resinate(mass, acid, salt=formula, alkali_mol=charged)
    plenty = (reagent(formula, "98", family="salt"), mass * 2)
    found = precipitated(pot_of((rosin, mass), (soda, lye), plenty))
    cake = [one for one in found.pot if one.family != "spent"]
    assert float(total(cake)) == pytest.approx(float(alone.product_g), rel=NEAR)
    assert float(metal_g(cake)) == pytest.approx(float(alone.metal_g), rel=NEAR)
    assert alone.why in found.notes
    left = float(alone.residual_acid_number) * float(alone.product_g)
    assert float(acid_mol(cake)) * float(KOH_MG_PER_MOL) == pytest.approx(
        left, rel=1e-6, abs=float(mass) * 1e-6
    )


# Check cases of finish-science c, computed there with molmass 2026.1.8 and periodictable 2.1.0.
@pytest.mark.parametrize(
    ("salt", "product_g", "metal_percent"),
    [
        ("ZnSO4.7H2O", 1093.17, 8.79434),
        ("FeSO4.7H2O", 1079.15, 7.60937),
        ("FeCl3.6H2O", 1051.78, 5.20494),
        ("CaCl2.2H2O", 1055.97, 5.58088),
        ("KAl(SO4)2.12H2O", 1023.49, 2.58429),
        ("MnSO4.H2O", 1077.82, 7.49505),
        ("CoCl2.6H2O", 1083.69, 7.99652),
    ],
)
def test_a_kilogram_of_rosin_gives_the_resinate_of_the_reference(
    salt: str, product_g: float, metal_percent: float
) -> None:
    lye = (reagent("NaOH", "98.5", family="base"), "119.418")
    found = precipitated(pot_of((ROSIN, "1000"), lye, (reagent(salt, family="salt"), "600")))
    cake = [one for one in found.pot if one.family != "spent"]
    assert float(total(cake)) == pytest.approx(product_g, rel=0.001)
    assert float(100 * metal_g(cake) / total(cake)) == pytest.approx(metal_percent, rel=0.001)


# Check cases of finish-science c, mass balances closed two ways there.
@pytest.mark.parametrize(
    ("rosin_g", "acid", "oxide", "grams", "assay", "expected"),
    [
        ("1000", "165", "ZnO", "60", "100", (13.2824, 1046.72, 4.60524, 78.5962)),
        ("1000", "165", "Ca(OH)2", "60", "96", (28.0103, 1031.99, 3.0191, 75.3558)),
        ("1000", "165", "Co(CH3COO)2.4H2O", "25", "100", (19.2873, 1005.71, 0.588143, 152.864)),
        ("1000", "168", "Mn(CH3COO)2.4H2O", "60", "99", (46.5737, 1013.43, 1.31385, 138.939)),
        ("500", "168", "CaO", "22", "95", (6.71428, 515.286, 2.89879, 81.8555)),
        ("500", "160", "Zn(CH3COO)2.2H2O", "100", "98", (69.7097, 530.29, 5.50459, 56.3858)),
    ],
)
def test_a_fusion_closes_its_balance_as_the_reference_has_it(
    rosin_g: str,
    acid: str,
    oxide: str,
    grams: str,
    assay: str,
    expected: tuple[float, float, float, float],
) -> None:
    rosin = ROSIN._replace(acid_value=Decimal(acid))
    found = fused(pot_of((rosin, rosin_g), (reagent(oxide, assay), grams)))
    made = total(found.pot)
    figures = (
        sum(mass for _, mass in found.left),
        made,
        100 * metal_g(found.pot) / made,
        acid_mol(found.pot) * Fraction(KOH_MG_PER_MOL) / made,
    )
    assert [float(each) for each in figures] == pytest.approx(expected, rel=0.001)


@pytest.mark.parametrize(
    ("oxide", "gas", "count"), [("ZnO", "H2O", 1), ("Ca(OH)2", "H2O", 2), ("CaO", "H2O", 1)]
)
def test_what_boils_off_agrees_with_two_libraries(oxide: str, gas: str, count: int) -> None:
    found = fused(pot_of((ROSIN, "1000"), (reagent(oxide), "20")))
    ((what, lost),) = found.left
    by_molmass = 20 / Molmass(oxide).mass * Molmass(gas).mass * count
    by_table = 20 / periodictable.formula(oxide).mass * periodictable.formula(gas).mass * count
    assert what == "water"
    assert float(lost) == pytest.approx(by_molmass, rel=5e-4)
    assert float(lost) == pytest.approx(by_table, rel=5e-4)


def test_the_gas_of_a_carbonate_agrees_with_two_libraries() -> None:
    found = soaped(pot_of((ROSIN, "1000"), (reagent("K2CO3", "99", family="base"), "205.276")))
    ((what, lost),) = found.left
    acid = 1000 * 165 / 56106
    assert what == "carbon dioxide"
    assert float(lost) == pytest.approx(acid / 2 * Molmass("CO2").mass, rel=5e-4)
    assert float(lost) == pytest.approx(acid / 2 * periodictable.formula("CO2").mass, rel=5e-4)


@given(MASSES, MASSES, VALUES, VALUES)
def test_two_resins_are_the_sum_of_their_acids(
    one: Decimal, two: Decimal, first: Decimal, second: Decimal
) -> None:
    rosin, hard = ROSIN._replace(acid_value=first), HARD._replace(acid_value=second)
    zinc, grams = reagent("ZnO"), (one + two) / 1000
    both = fused(pot_of((rosin, one), (hard, two), (zinc, grams)))
    mean = (one * first + two * second) / (one + two)
    alone = fused_resinate(one + two, mean, reagent="ZnO", reagent_g=grams)
    assert float(total(both.pot)) == pytest.approx(float(alone.product_g), rel=NEAR)
    assert float(acid_mol(both.pot)) == pytest.approx(
        float(alone.residual_acid_number * alone.product_g / KOH_MG_PER_MOL), rel=1e-6
    )


WEIGHED = st.tuples(
    st.sampled_from(
        [
            ROSIN,
            HARD,
            OIL,
            WATER,
            *(reagent(name, "95", family="base") for name in ("NaOH", "K2CO3", "Na2CO3.10H2O")),
            *(reagent(name, "98", family="salt") for name in ("ZnSO4.7H2O", "KAl(SO4)2.12H2O")),
            *(reagent(name, "97") for name in ("ZnO", "Ca(OH)2", "Mn(CH3COO)2.4H2O")),
        ]
    ),
    st.fractions(Fraction(1, 100), 100),
)


@given(st.lists(WEIGHED, max_size=6))
def test_no_reaction_makes_or_loses_mass(
    weighed: list[tuple[Substance, Fraction]],
) -> None:
    pot = pot_of(*weighed)
    for reaction in (fused, soaped, precipitated):
        try:
            found = reaction(pot)
        except OutOfRange:
            assert reaction is fused
            continue
        assert total(found.pot) + sum(mass for _, mass in found.left) == total(pot)
        assert all(one.mass > 0 for one in found.pot)
        assert all(one.acid_mol >= 0 for one in found.pot)


def test_two_oxides_share_the_acid_and_each_keeps_its_metal() -> None:
    found = fused(pot_of((ROSIN, "1000"), (reagent("ZnO", "99"), "30"), (reagent("CaO"), "10")))
    zinc, lime = named(found.pot, "resinate")
    assert (zinc.name, lime.name) == ("zinc resinate", "calcium resinate")
    assert zinc.lines == (1, 2)
    assert float(dict(zinc.metals)["Zn"]) == pytest.approx(
        29.7 * 65.38 / Molmass("ZnO").mass, rel=5e-4
    )
    assert [one.name for one in named(found.pot, "inert")] == ["inert matter of ZnO"]


@pytest.mark.parametrize(
    ("weighed", "warned"),
    [
        ([("ZnO", "80")], "zinc in an open kettle goes clear"),
        ([("CaO", "30"), ("Ca(OH)2", "40")], "lime usually stops at 4-7 %"),
        ([("Ca(OH)2", "40")], None),
    ],
)
def test_more_metal_than_an_open_kettle_holds_is_noted(
    weighed: list[tuple[str, str]], warned: str | None
) -> None:
    found = fused(pot_of((ROSIN, "1000"), *((reagent(name), mass) for name, mass in weighed)))
    assert any("open kettle" in note or "lime" in note for note in found.notes) == bool(warned)
    assert warned is None or any(note.startswith(warned) for note in found.notes)
    assert len(set(found.notes)) == len(found.notes)


@pytest.mark.parametrize(
    ("salt", "metal"), [("FeCl3.6H2O", "iron(III)"), ("KAl(SO4)2.12H2O", "aluminium")]
)
def test_a_basic_soap_is_said_to_be_theoretical(salt: str, metal: str) -> None:
    lye = (reagent("NaOH", family="base"), "117.6")
    found = precipitated(pot_of((ROSIN, "1000"), lye, (reagent(salt, family="salt"), "900")))
    assert any(note.startswith(f"{metal} falls as a basic soap") for note in found.notes)


def test_alkali_or_salt_that_is_too_little_is_noted() -> None:
    soda, zinc = reagent("NaOH", family="base"), reagent("ZnSO4.7H2O", family="salt")
    weak = precipitated(pot_of((ROSIN, "1000"), (soda, "58.8"), (zinc, "900"))).notes
    assert "50 % of the rosin acid meets no alkali and stays rosin" in weak
    short = precipitated(pot_of((ROSIN, "1000"), (soda, "117.63"), (zinc, "211.42"))).notes
    assert "50 % of the soap meets no salt: it stays soap and may wash out" in short


def test_a_carbonate_counts_as_it_was_charged_though_its_gas_has_left() -> None:
    pot = pot_of((ROSIN, "1000"), (reagent("K2CO3", "99", family="base"), "205.276"))
    after = soaped(pot).pot
    assert alkali_in(after, ()) == alkali_in(pot, ())
    zinc = weighed_in(3, reagent("ZnSO4.7H2O", "99", family="salt"), Fraction("427.095"))
    cake = [one for one in precipitated([*after, zinc]).pot if one.family != "spent"]
    # finish-science c: 1093.17 g of resinate from 1,000 g of rosin.
    assert float(total(cake)) == pytest.approx(1093.17, rel=0.001)


def test_a_caustic_alkali_gives_off_no_gas() -> None:
    pot = pot_of((ROSIN, "1000"), (reagent("NaOH", family="base"), "100"))
    assert soaped(pot).pot == tuple(pot)
    assert soaped(pot).left == ()


def test_more_metal_than_the_acid_can_take_is_refused_at_its_line() -> None:
    with pytest.raises(OutOfRange, match=r"ZnO brings 125.4 % of the metal") as refused:
        fused(pot_of((ROSIN, "1000"), (reagent("ZnO"), "150")))
    assert refused.value.field == "lines/2"


def test_all_of_the_acid_can_be_taken_to_the_last_digit() -> None:
    whole = Fraction(165000) / Fraction(KOH_MG_PER_MOL) / 2 * Fraction("81.379")
    found = fused(pot_of((ROSIN, "1000"), (reagent("ZnO"), whole)))
    assert acid_mol(found.pot) == 0
