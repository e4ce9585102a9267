"""Planned cooks and damp resinate."""

import warnings
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cook_plans import cooked_materials, damp_addition, planned_cook
from service.science.errors import OutOfRange

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from chemicals import iapws


def test_oil_and_copal_have_their_own_ceilings() -> None:
    ceilings = [planned_cook(each, Decimal(340)).ceiling_c for each in cooked_materials()]
    assert ceilings == [350, 370]


def test_a_plan_above_the_ceiling_is_refused_naming_the_ceiling() -> None:
    with pytest.raises(OutOfRange, match="plan 350 °C or less") as refused:
        planned_cook("oil", Decimal(360))
    assert refused.value.field == "hottest_c"


def test_a_plan_not_below_autoignition_is_refused() -> None:
    ignites = Decimal(343)
    with pytest.raises(OutOfRange, match="plan below 343 °C; above 293 °C"):
        planned_cook("oil", ignites, autoignition_c=ignites)
    just_below = planned_cook("oil", ignites - Decimal("0.1"), autoignition_c=ignites)
    assert just_below.below_autoignition_k == Decimal("0.1")


def test_close_to_autoignition_it_is_warned() -> None:
    near = planned_cook("oil", Decimal(300), autoignition_c=Decimal(343))
    assert "50 K" in near.notes[-1]
    assert len(planned_cook("oil", Decimal(293), autoignition_c=Decimal(343)).notes) == 1


def test_copal_below_its_usual_run_is_noted() -> None:
    assert "330 to 370" in planned_cook("hard copal", Decimal(300)).notes[1]
    assert len(planned_cook("hard copal", Decimal(340)).notes) == 2


def test_what_was_not_sent_was_not_checked_and_says_so() -> None:
    assert "not checked" in planned_cook("oil", Decimal(280)).notes[-1]
    known = planned_cook("oil", Decimal(280), autoignition_c=Decimal(343))
    assert not any("not checked" in note for note in known.notes)


@given(st.decimals("1.01", 100, places=2), st.decimals("100.1", 350, places=1))
def test_damp_resinate_into_hot_oil_is_refused_unless_it_was_dried(
    water: Decimal, oil: Decimal
) -> None:
    with pytest.raises(OutOfRange, match="drying stage") as refused:
        damp_addition(water, oil, resinate_g=Decimal(500))
    assert refused.value.field == "water_percent"
    notes = damp_addition(water, oil, resinate_g=Decimal(500), dried_before=True).notes
    assert "foams and spatters" in notes[0]
    assert "dry" in notes[1]


@given(st.decimals("100.1", 350, places=1))
def test_no_real_steam_takes_more_room_than_the_bound(oil: Decimal) -> None:
    # IAPWS-95 as chemicals 1.5.2 holds it, at 101.325 kPa.
    bound = damp_addition(Decimal(1), oil, resinate_g=Decimal(100)).steam_l
    steam = 1 / iapws.iapws95_rho(float(oil) + 273.15, 101325)
    assert steam <= float(bound) < 1.02 * steam


def test_damp_resinate_into_cool_oil_is_warned_of_the_foam() -> None:
    assert "foam" in damp_addition(Decimal(12), Decimal(100), resinate_g=Decimal(500)).notes[0]


def test_dry_resinate_goes_into_hot_oil_and_a_trace_of_water_is_warned_of() -> None:
    assert "spatters" in damp_addition(Decimal(1), Decimal(250), resinate_g=Decimal(500)).notes[0]
    assert damp_addition(Decimal(0), Decimal(250), resinate_g=Decimal(500)).notes == ()
    assert damp_addition(Decimal(1), Decimal(100), resinate_g=Decimal(500)).notes == ()
