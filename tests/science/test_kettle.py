"""Headroom of a kettle."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.kettle import (
    FULLEST_PERCENT,
    Charge,
    hot_volume,
    kettle_fill,
    kettle_work,
    largest_charge,
)

OIL = Charge(Decimal(1860), Decimal("0.930"), Decimal("0.67"))
TURPENTINE = Charge(Decimal(865), Decimal("0.865"), Decimal("0.82"))
KETTLE, HOT, POUR = Decimal(5000), Decimal(280), Decimal(110)
masses = st.decimals(1, 5000, places=1)
densities = st.decimals("0.8", "1.2", places=3)
warmths = st.decimals(20, 350, places=0)


@given(st.decimals(1, 50000, places=1), densities, warmths, st.sampled_from(kettle_work()))
def test_the_largest_charge_fills_the_kettle_to_its_cap(
    kettle: Decimal, density: Decimal, hot: Decimal, work: str
) -> None:
    slope = Decimal("0.67")
    found = largest_charge(kettle, density, slope_kg_m3_k=slope, hottest_c=hot, work=work)
    charge = [Charge(found.charge_g, density, slope)]
    filled = kettle_fill(charge, kettle, hottest_c=hot, work=work)
    assert filled.fill_percent == pytest.approx(FULLEST_PERCENT[work], rel=Decimal("1e-20"))


@given(st.lists(masses, min_size=1, max_size=4), densities, warmths)
def test_hot_volumes_add_up(parts: list[Decimal], density: Decimal, hot: Decimal) -> None:
    slope = Decimal("0.67")
    apart = hot_volume([Charge(each, density, slope) for each in parts], hot)
    whole = hot_volume([Charge(sum(parts, Decimal(0)), density, slope)], hot)
    assert apart.hot_volume_ml == pytest.approx(whole.hot_volume_ml, rel=Decimal("1e-20"))
    assert apart.hot_volume_ml >= apart.cold_volume_ml


def test_at_20_degrees_a_charge_has_its_cold_volume() -> None:
    assert hot_volume([OIL], Decimal(20)).expansion_ratio == 1


def test_above_300_degrees_the_line_is_said_to_be_a_guess() -> None:
    assert "guess" in hot_volume([OIL], Decimal(301)).notes[0]
    assert hot_volume([OIL], Decimal(300)).notes == ()


def test_a_kettle_too_full_hot_or_thinned_is_noted() -> None:
    charges, thinners = [OIL, OIL], [TURPENTINE]
    found = kettle_fill(
        charges, Decimal(6000), hottest_c=HOT, work="bodying", thinners=thinners, pour_c=POUR
    )
    assert [note.split(":")[0] for note in found.notes] == [
        "82.0 % full when hot",
        "89.5 % full when thinned",
        "how hot the thinner may go in is judged by planned-pour, not here",
    ]
    assert not found.headroom_kept


def test_thinner_is_counted_at_the_warmth_of_the_pour() -> None:
    found = kettle_fill(
        [OIL], KETTLE, hottest_c=HOT, work="foaming", thinners=[TURPENTINE], pour_c=POUR
    )
    assert found.thinned_volume_ml == hot_volume([OIL, TURPENTINE], POUR).hot_volume_ml
    assert len(found.notes) == 2
    assert not found.headroom_kept


def test_thinner_is_poured_no_hotter_than_the_cook() -> None:
    with pytest.raises(OutOfRange) as refused:
        kettle_fill([OIL], KETTLE, hottest_c=Decimal(60), work="bodying", pour_c=Decimal(61))
    assert refused.value.field == "pour_c"


def test_without_thinner_nothing_is_said_of_it() -> None:
    found = kettle_fill([OIL], KETTLE, hottest_c=HOT, work="foaming")
    assert found.thinned_percent is None
    assert found.headroom_kept
    assert found.notes == ()


def test_thinner_without_the_warmth_of_the_pour_is_refused() -> None:
    with pytest.raises(NotApplicable) as refused:
        kettle_fill([OIL], KETTLE, hottest_c=HOT, work="foaming", thinners=[TURPENTINE])
    assert refused.value.field == "pour_c"


@pytest.mark.parametrize(("kettle", "blamed"), [("2400", "charges"), ("3000", "thinners")])
def test_what_runs_over_is_blamed(kettle: str, blamed: str) -> None:
    with pytest.raises(OutOfRange, match="larger kettle") as refused:
        kettle_fill(
            [OIL],
            Decimal(kettle),
            hottest_c=HOT,
            work="bodying",
            thinners=[TURPENTINE],
            pour_c=POUR,
        )
    assert refused.value.field == blamed


def test_an_empty_kettle_has_no_fill() -> None:
    with pytest.raises(NotApplicable):
        kettle_fill([], KETTLE, hottest_c=HOT, work="foaming")


@pytest.mark.parametrize(
    ("charge", "field"),
    [
        (Charge(Decimal(0), Decimal("0.93"), Decimal("0.67")), "charges/1/mass_g"),
        (Charge(Decimal(1), Decimal("0.59"), Decimal("0.67")), "charges/1/density_20_kg_l"),
        (Charge(Decimal(1), Decimal("0.93"), Decimal("1.01")), "charges/1/slope_kg_m3_k"),
    ],
)
def test_a_charge_that_cannot_be_is_blamed_by_its_place(charge: Charge, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        hot_volume([OIL, charge], HOT)
    assert refused.value.field == field
