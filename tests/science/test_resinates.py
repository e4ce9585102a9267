"""Precipitated and fused resinates."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulas import atomic_weight, molar_mass
from service.science.resinates import (
    FusedResinate,
    fused_resinate,
    fusion_reagent,
    fusion_reagents,
    neutral_metal_percent,
    precipitated_resinate,
    precipitation_salt,
    salts,
)
from service.science.results import Standing
from service.science.rosin_soap import KOH_MG_PER_MOL, rosin_acid

THOUSAND = Decimal(1000)
ROSIN = Decimal(165)
PURE = Decimal(100)
EXACT = Decimal("1e-20")


def fused(reagent: str, grams: str) -> FusedResinate:
    return fused_resinate(THOUSAND, ROSIN, reagent=reagent, reagent_g=Decimal(grams))


def test_an_excess_of_salt_is_weighed_on_top() -> None:
    plain = precipitation_salt(Decimal(1), "ZnCl2", purity_percent=PURE)
    more = precipitation_salt(Decimal(1), "ZnCl2", purity_percent=PURE, excess_percent=Decimal(10))
    assert more.salt_g == plain.salt_g * Decimal("1.1")


@pytest.mark.parametrize("salt", salts())
@given(alkali=st.decimals("0.01", 50, places=3), purity=st.decimals(50, 100, places=1))
def test_a_salt_brings_one_equivalent_of_metal_to_each_of_alkali(
    salt: str, alkali: Decimal, purity: Decimal
) -> None:
    found = precipitation_salt(alkali, salt, purity_percent=purity)
    resinate = precipitated_resinate(THOUSAND, ROSIN, salt=salt)
    each = resinate.metal_g / resinate.bound_mol
    assert found.metal_g == pytest.approx(alkali * each, rel=EXACT)


def test_the_salt_is_sized_on_the_alkali_with_the_figure_on_the_acid_beside_it() -> None:
    acid = rosin_acid(THOUSAND, ROSIN).acid_mol
    alkali = acid * Decimal("1.1")
    found = precipitation_salt(alkali, "ZnSO4.7H2O", purity_percent=PURE, acid_mol=acid)
    assert found.on_rosin_acid_g is not None
    assert found.salt_g == pytest.approx(found.on_rosin_acid_g * Decimal("1.1"), rel=EXACT)
    assert found.notes[0].startswith("the alkali exceeds the rosin acid by 10 %")


def test_without_the_acid_no_figure_on_it_is_given() -> None:
    found = precipitation_salt(Decimal(1), "ZnSO4.7H2O", purity_percent=PURE)
    assert found.on_rosin_acid_g is None
    assert found.notes == ("wash until the water is free of chloride or sulfate",)


def test_too_little_alkali_leaves_rosin_in_the_resinate() -> None:
    acid = rosin_acid(THOUSAND, ROSIN).acid_mol
    found = precipitated_resinate(
        THOUSAND, ROSIN, salt="ZnSO4.7H2O", alkali_mol=acid * Decimal("0.9")
    )
    left = found.residual_acid_number * found.product_g / KOH_MG_PER_MOL
    assert left == pytest.approx(acid * Decimal("0.1"), rel=EXACT)
    assert found.notes == ("10 % of the rosin acid meets no alkali and stays rosin",)


def test_alkali_beyond_the_acid_binds_no_more_of_it() -> None:
    plain = precipitated_resinate(THOUSAND, ROSIN, salt="CaCl2.2H2O")
    more = precipitated_resinate(THOUSAND, ROSIN, salt="CaCl2.2H2O", alkali_mol=Decimal(300))
    assert more.product_g == plain.product_g
    assert plain.residual_acid_number == 0
    assert "stays in the cake" in more.notes[0]
    assert "10000 %" in more.notes[0]


@pytest.mark.parametrize(
    ("salt", "basic"),
    [
        ("ZnSO4.7H2O", False),
        ("FeSO4.7H2O", False),
        ("FeCl3.6H2O", True),
        ("Al2(SO4)3.18H2O", True),
    ],
)
def test_a_precipitated_resinate_says_how_its_metal_stands(salt: str, basic: bool) -> None:
    found = precipitated_resinate(THOUSAND, ROSIN, salt=salt)
    assert found.standing is Standing.THEORETICAL
    assert ("basic soap" in found.why) == basic


@pytest.mark.parametrize(
    ("metal", "start"),
    [("Fe", "iron(III) falls"), ("Al", "aluminium falls"), ("Ce", "Ce(III) may fall")],
)
def test_a_basic_soap_is_told_of_the_metal_at_hand_alone(metal: str, start: str) -> None:
    found = neutral_metal_percent(metal, 3, acid="C20H30O2")
    assert found.standing is Standing.THEORETICAL
    assert found.why.startswith(f"{start} as a basic soap")


def test_a_reagent_is_sized_with_the_warnings_of_its_fusion() -> None:
    lime = fusion_reagent(THOUSAND, ROSIN, reagent="Ca(OH)2", neutralised_percent=Decimal(100))
    assert any("foams" in note for note in lime.notes)
    assert any("gels" in note for note in lime.notes)


def test_a_purity_sent_as_a_share_is_refused_with_the_percent_it_must_be() -> None:
    with pytest.raises(OutOfRange) as refused:
        fusion_reagent(
            THOUSAND,
            ROSIN,
            reagent="ZnO",
            neutralised_percent=Decimal(50),
            purity_percent=Decimal("0.985"),
        )
    assert "98.5" in refused.value.hint


@pytest.mark.parametrize(
    ("salt", "words"),
    [
        ("FeSO4.7H2O", "turns to iron(III)"),
        ("FeCl3.6H2O", "darken"),
        ("CuSO4.5H2O", "darken"),
    ],
)
def test_a_metal_that_colours_is_noted(salt: str, words: str) -> None:
    assert words in precipitated_resinate(THOUSAND, ROSIN, salt=salt).notes[-1]


@given(acid_number=st.decimals(1, 200, places=1), mass=st.decimals(1, 5000, places=1))
def test_a_precipitate_is_rosin_less_hydrogen_plus_metal(
    acid_number: Decimal, mass: Decimal
) -> None:
    found = precipitated_resinate(mass, acid_number, salt="MnSO4.H2O")
    rosin = found.product_g - found.metal_g + found.bound_mol * atomic_weight("H")
    assert rosin == pytest.approx(mass, rel=EXACT)


@pytest.mark.parametrize(
    ("metal", "valence", "field"), [("Zn", 0, "valence"), ("Zn", 5, "valence"), ("Xx", 2, "metal")]
)
def test_a_metal_or_a_valence_no_soap_has_is_refused(metal: str, valence: int, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        neutral_metal_percent(metal, valence, acid="C20H30O2")
    assert refused.value.field == field


def test_a_neutral_soap_says_how_it_stands() -> None:
    zinc = neutral_metal_percent("Zn", 2, acid="C20H30O2")
    aluminium = neutral_metal_percent("Al", 3, acid="C20H30O2")
    assert zinc.standing is aluminium.standing is Standing.THEORETICAL


def test_what_has_no_hydrogen_makes_no_soap() -> None:
    with pytest.raises(NotApplicable) as refused:
        neutral_metal_percent("Zn", 2, acid="CO2")
    assert refused.value.field == "acid"


@given(grams=st.decimals("0.1", 119, places=1), acid_number=st.decimals(165, 200, places=1))
def test_a_fusion_closes_its_mass_balance_over_water(grams: Decimal, acid_number: Decimal) -> None:
    found = fused_resinate(THOUSAND, acid_number, reagent="ZnO", reagent_g=grams)
    assert found.product_g + found.driven_off_g == pytest.approx(THOUSAND + grams, rel=EXACT)
    bound = found.metal_percent * found.product_g / 100
    assert bound == pytest.approx(grams * Decimal("65.38") / molar_mass("ZnO"), rel=EXACT)
    assert found.residual_acid_number >= 0


def test_more_metal_than_acid_is_refused_naming_the_most() -> None:
    with pytest.raises(OutOfRange) as refused:
        fused("ZnO", "130")
    assert refused.value.hint == "send at most 119.6 g"
    assert refused.value.field == "reagent_g"
    assert fused("ZnO", "119.6").residual_acid_number < 1


@pytest.mark.parametrize("reagent", fusion_reagents())
@given(part=st.decimals(1, 100, places=2), purity=st.decimals(50, 100, places=1))
def test_the_reagent_that_was_sized_neutralises_the_part_it_was_sized_on(
    reagent: str, part: Decimal, purity: Decimal
) -> None:
    grams = fusion_reagent(
        THOUSAND, ROSIN, reagent=reagent, neutralised_percent=part, purity_percent=purity
    )
    found = fused_resinate(
        THOUSAND, ROSIN, reagent=reagent, reagent_g=grams.reagent_g, purity_percent=purity
    )
    assert found.neutralised_percent == pytest.approx(part, rel=EXACT)
    assert grams.standing is found.standing is Standing.THEORETICAL


@pytest.mark.parametrize("part", [0, 101])
def test_a_part_of_the_acid_out_of_range_is_refused(part: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        fusion_reagent(THOUSAND, ROSIN, reagent="ZnO", neutralised_percent=Decimal(part))
    assert refused.value.field == "neutralised_percent"


@pytest.mark.parametrize(
    ("reagent", "grams", "words"),
    [
        ("ZnO", "71", "more clouds"),
        ("Zn(CH3COO)2.2H2O", "190", "more clouds"),
        ("Ca(OH)2", "71", "more gels"),
        ("CaO", "54", "more gels"),
    ],
)
def test_more_metal_than_an_open_kettle_holds_is_noted(
    reagent: str, grams: str, words: str
) -> None:
    assert words in fused(reagent, grams).notes[-1]


@pytest.mark.parametrize(
    ("reagent", "grams", "leaves"),
    [
        ("ZnO", "70", "steam"),
        ("Ca(OH)2", "70", "steam"),
        ("CaO", "52", "steam"),
        ("Co(CH3COO)2.4H2O", "25", "acetic acid"),
    ],
)
def test_a_fusion_warns_of_what_foams_and_of_nothing_else(
    reagent: str, grams: str, leaves: str
) -> None:
    (note,) = fused(reagent, grams).notes
    assert note.startswith(f"{leaves} boils off and foams")
