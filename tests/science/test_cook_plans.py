"""Planned cooks and damp resinate."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cook_plans import cooked_materials, damp_addition, planned_cook
from service.science.errors import OutOfRange


def test_oil_and_copal_have_their_own_ceilings() -> None:
    ceilings = [planned_cook(each, Decimal(340)).ceiling_c for each in cooked_materials()]
    assert ceilings == [350, 370]


def test_a_plan_above_the_ceiling_is_refused_naming_the_ceiling() -> None:
    with pytest.raises(OutOfRange, match="plan 350 °C or less") as refused:
        planned_cook("oil", Decimal(360))
    assert refused.value.field == "hottest_c"


def test_a_plan_not_below_autoignition_is_refused() -> None:
    with pytest.raises(OutOfRange, match="plan 293 °C or less"):
        planned_cook("oil", Decimal(343), autoignition_c=Decimal(343))


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
    assert "dry" in damp_addition(water, oil, resinate_g=Decimal(500), dried_before=True).notes[0]


def test_damp_resinate_into_cool_oil_is_warned_of_the_foam() -> None:
    assert "foam" in damp_addition(Decimal(12), Decimal(100), resinate_g=Decimal(500)).notes[0]


def test_dry_resinate_goes_into_hot_oil_and_a_trace_of_water_is_warned_of() -> None:
    assert "spatters" in damp_addition(Decimal(1), Decimal(250), resinate_g=Decimal(500)).notes[0]
    assert damp_addition(Decimal(0), Decimal(250), resinate_g=Decimal(500)).notes == ()
    assert damp_addition(Decimal(1), Decimal(100), resinate_g=Decimal(500)).notes == ()
