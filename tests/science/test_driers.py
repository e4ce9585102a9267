"""Doses and levels of metal driers."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.driers import (
    DrierAddition,
    DrierDose,
    drier_bases,
    drier_dose,
    drier_level,
    drier_levels,
    drier_metals,
    drier_volume,
    resinate_as_drier,
)
from service.science.errors import NotApplicable, OutOfRange, ScienceError

THOUSAND = Decimal(1000)
EXACT = Decimal("1e-20")
TARGETS = st.decimals("0.01", 2, places=3)
STRENGTHS = st.decimals(2, 65, places=1)


def dose(metal: str, target: str, strength: int = 12, basis: str = "oil") -> DrierDose:
    return drier_dose(
        THOUSAND,
        basis,
        metal=metal,
        target_percent=Decimal(target),
        drier_metal_percent=Decimal(strength),
    )


@pytest.mark.parametrize("basis", drier_bases())
@given(target=TARGETS, strength=STRENGTHS, basis_g=st.decimals(1, 9000, places=1))
def test_a_dose_gives_the_level_it_was_sized_for(
    basis: str, target: Decimal, strength: Decimal, basis_g: Decimal
) -> None:
    sized = drier_dose(
        basis_g, basis, metal="Ca", target_percent=target, drier_metal_percent=strength
    )
    found = drier_level(sized.drier_g, strength, metal="Ca", basis_g=basis_g, basis=basis)
    assert found.metal_percent == pytest.approx(target, rel=EXACT)
    assert found.metal_g == pytest.approx(sized.metal_g, rel=EXACT)


@pytest.mark.parametrize("basis", drier_bases())
@given(target=TARGETS, strength=STRENGTHS, resin=st.decimals(0, 2000, places=1))
def test_a_resinate_gives_its_level_with_its_own_mass_counted_as_resin(
    basis: str, target: Decimal, strength: Decimal, resin: Decimal
) -> None:
    if target >= strength:
        return
    found = resinate_as_drier(
        THOUSAND,
        resin,
        metal="Mn",
        target_percent=target,
        resinate_metal_percent=strength,
        basis=basis,
    )
    assert found.resin_with_resinate_g == resin + found.resinate_g
    carried = THOUSAND + (found.resin_with_resinate_g if basis == "oil and resin" else 0)
    assert 100 * found.metal_g / carried == pytest.approx(target, rel=EXACT)


@pytest.mark.parametrize(
    ("target", "strength", "basis"),
    [("6", "5", "oil"), ("5", "5", "oil and resin"), ("6", "5", "oil and resin")],
)
def test_a_resinate_too_weak_for_the_level_is_refused(
    target: str, strength: str, basis: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        resinate_as_drier(
            THOUSAND,
            THOUSAND,
            metal="Mn",
            target_percent=Decimal(target),
            resinate_metal_percent=Decimal(strength),
            basis=basis,
        )
    assert refused.value.field == "resinate_metal_percent"


def test_lead_is_refused_unless_the_product_is_not_sold_to_the_public() -> None:
    with pytest.raises(NotApplicable) as refused:
        dose("Pb", "0.4")
    assert refused.value.field == "metal"
    own = drier_dose(
        THOUSAND,
        "oil",
        metal="Pb",
        target_percent=Decimal("0.4"),
        drier_metal_percent=Decimal(24),
        sold_to_public=False,
    )
    assert "banned" in own.notes[0]


def test_a_lead_resinate_is_refused() -> None:
    with pytest.raises(NotApplicable):
        resinate_as_drier(
            THOUSAND,
            THOUSAND,
            metal="Pb",
            target_percent=Decimal("0.4"),
            resinate_metal_percent=Decimal(24),
            basis="oil",
        )


def test_lead_that_was_used_is_reckoned_and_noted() -> None:
    found = drier_level(Decimal(10), Decimal(24), metal="Pb", basis_g=THOUSAND, basis="oil")
    assert found.metal_percent == Decimal("0.24")
    assert "banned" in found.notes[0]


@pytest.mark.parametrize(
    ("metal", "above"), [("Co", "0.101"), ("Mn", "0.121"), ("Zr", "0.501"), ("Ca", "0.301")]
)
def test_more_metal_than_helps_is_noted(metal: str, above: str) -> None:
    assert any("harms the film" in note for note in dose(metal, above).notes)


@pytest.mark.parametrize(("metal", "at"), [("Co", "0.1"), ("Mn", "0.12")])
def test_the_most_active_level_itself_is_not_noted(metal: str, at: str) -> None:
    assert len(dose(metal, at).notes) == 1


@pytest.mark.parametrize(("metal", "target"), [("Zr", "0.45"), ("Zn", "0.31"), ("Fe", "0.11")])
def test_a_level_above_the_usual_is_noted(metal: str, target: str) -> None:
    assert dose(metal, target).notes[1].startswith(f"more {metal} than usual")


def test_a_level_below_the_usual_is_noted_on_oil_alone() -> None:
    assert dose("Co", "0.01").notes[1].startswith("less Co than usual")
    both = dose("Co", "0.01", basis="oil and resin").notes
    assert not any("less Co" in note for note in both)


def test_more_drier_than_boiled_oil_held_is_noted_on_oil_alone() -> None:
    assert "4 %" in dose("Co", "0.1", strength=1).notes[-1]
    both = dose("Co", "0.1", strength=1, basis="oil and resin").notes
    assert not any("4 %" in note for note in both)


def test_a_level_on_oil_and_resin_is_said_to_be_higher_on_the_oil() -> None:
    words = "on the oil alone the level is higher"
    assert words in dose("Co", "0.05", basis="oil and resin").notes[-1]
    assert not any(words in note for note in dose("Co", "0.05").notes)


def test_several_driers_on_oil_and_resin_say_so_once() -> None:
    additions = [DrierAddition(metal, Decimal(5), Decimal(6)) for metal in ("Co", "Mn")]
    notes = drier_levels(additions, THOUSAND, basis="oil and resin").notes
    assert sum("on the oil alone" in note for note in notes) == 1


@pytest.mark.parametrize("metal", drier_metals())
def test_every_metal_says_what_it_does(metal: str) -> None:
    found = drier_level(Decimal(1), Decimal(10), metal=metal, basis_g=THOUSAND, basis="oil")
    assert found.notes[0]


@given(parts=st.lists(st.decimals(1, 50, places=1), min_size=1, max_size=5))
def test_several_driers_of_one_metal_add_up(parts: list[Decimal]) -> None:
    additions = [DrierAddition("Co", grams, Decimal(6)) for grams in parts]
    found = drier_levels(additions, THOUSAND, basis="oil")
    alone = drier_level(
        sum(parts, Decimal(0)), Decimal(6), metal="Co", basis_g=THOUSAND, basis="oil"
    )
    assert found.levels[0].metal_percent == pytest.approx(alone.metal_percent, rel=EXACT)
    assert found.notes == alone.notes


def test_metals_stay_apart_in_the_order_first_named() -> None:
    additions = [
        DrierAddition("Mn", Decimal(8), Decimal(9)),
        DrierAddition("Co", Decimal(5), Decimal(6)),
        DrierAddition("Mn", Decimal(2), Decimal(9)),
    ]
    levels = drier_levels(additions, THOUSAND, basis="oil").levels
    assert [(each.metal, each.metal_percent) for each in levels] == [
        ("Mn", Decimal("0.09")),
        ("Co", Decimal("0.03")),
    ]


@pytest.mark.parametrize(
    ("addition", "field"),
    [
        (DrierAddition("Ti", Decimal(8), Decimal(9)), "additions/0/metal"),
        (DrierAddition("Co", Decimal(0), Decimal(9)), "additions/0/drier_g"),
        (DrierAddition("Co", Decimal(8), Decimal(66)), "additions/0/drier_metal_percent"),
    ],
)
def test_a_wrong_addition_is_refused_with_its_place(addition: DrierAddition, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        drier_levels([addition], THOUSAND, basis="oil")
    assert refused.value.field == field


def test_no_drier_has_no_level() -> None:
    with pytest.raises(ScienceError) as refused:
        drier_levels([], THOUSAND, basis="oil")
    assert refused.value.field == "additions"


@pytest.mark.parametrize("basis", ["", "binder", "Oil"])
def test_a_basis_that_is_not_declared_is_refused(basis: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        dose("Co", "0.05", basis=basis)
    assert refused.value.field == "basis"


@pytest.mark.parametrize(
    ("target", "strength", "field"),
    [
        ("7", "6", "drier_metal_percent"),
        ("0", "6", "target_percent"),
        ("0.05", "0", "drier_metal_percent"),
        ("0.05", "66", "drier_metal_percent"),
    ],
)
def test_a_strength_or_a_target_out_of_range_is_refused(
    target: str, strength: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        dose("Co", target, strength=int(strength))
    assert refused.value.field == field


@given(grams=st.decimals("0.1", 500, places=2), density=st.decimals("0.6", 2, places=3))
def test_a_volume_weighs_what_it_was_worked_out_from(grams: Decimal, density: Decimal) -> None:
    assert drier_volume(grams, density) * density == pytest.approx(grams, rel=EXACT)
