"""Net contents and the check of a fill."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.net_contents import (
    LOCAL_LAW,
    fill_check,
    mass_of_nominal,
    negative_error,
    ullage,
    volume_of_mass,
)
from service.science.tables import rows


def test_the_rows_of_the_table_meet_without_a_gap() -> None:
    table = rows("tolerable_negative_error.csv")
    assert [row["up_to"] for row in table[:-1]] == [row["above"] for row in table[1:]]


@given(st.decimals(5, 10000, places=1), st.decimals(5, 10000, places=1))
def test_a_larger_pack_never_has_a_smaller_tolerable_error(one: Decimal, two: Decimal) -> None:
    small, large = sorted((one, two))
    assert negative_error(small).tolerable <= negative_error(large).tolerable


def test_a_fill_below_five_millilitres_is_judged_by_its_mean_alone() -> None:
    verdict = fill_check(Decimal(4), [Decimal("4.1"), Decimal("3.9")], packs=2)
    assert verdict.mean_holds
    assert verdict.holds
    assert "no table value" in verdict.notes[0]
    assert (verdict.tolerable, verdict.below_first, verdict.below_second) == (None,) * 3


@pytest.mark.parametrize("packs", [3, 1])
def test_a_fill_with_a_pack_not_weighed_is_not_judged(packs: int) -> None:
    with pytest.raises(NotApplicable, match=f"2 of {packs} packs") as refused:
        fill_check(Decimal(250), [Decimal(250)] * 2, packs=packs)
    assert refused.value.field == "fills"


def test_a_hundred_packs_are_judged_by_sampling() -> None:
    with pytest.raises(NotApplicable, match="sampling") as refused:
        fill_check(Decimal(250), [Decimal(250)] * 100, packs=100)
    assert "mean test" in refused.value.hint
    assert fill_check(Decimal(250), [Decimal(250)] * 99, packs=99).mean_holds


@pytest.mark.parametrize(
    ("nominal", "fill", "field"),
    [("0", "1", "nominal"), ("250", "0", "fills/0"), ("250", "NaN", "fills/0")],
)
def test_a_fill_of_nothing_is_refused(nominal: str, fill: str, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        fill_check(Decimal(nominal), [Decimal(fill)], packs=1)
    assert refused.value.field == field


@pytest.mark.parametrize("packs", [0, -1, 10**400])
def test_no_packs_and_packs_without_number_are_no_fill(packs: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        fill_check(Decimal(250), [], packs=packs)
    assert refused.value.field == "packs"


def test_a_pack_below_the_second_limit_is_counted_twice() -> None:
    verdict = fill_check(Decimal(250), [Decimal("231.9"), Decimal(270)], packs=2)
    assert (verdict.below_first, verdict.below_second) == (1, 1)
    assert not verdict.holds


def test_one_pack_in_forty_may_lie_below_the_first_limit() -> None:
    fills = [Decimal(255)] * 39
    verdict = fill_check(Decimal(250), [*fills, Decimal(240)], packs=40)
    assert (verdict.allowed_below_first, verdict.below_first, verdict.holds) == (1, 1, True)
    assert not fill_check(Decimal(250), [*fills[1:], Decimal(240)], packs=39).holds


def test_a_verdict_states_the_rule_and_that_local_law_prevails() -> None:
    verdict = fill_check(Decimal(250), [Decimal(251)], packs=1)
    assert verdict.notes == negative_error(Decimal(250)).notes
    assert verdict.notes[-1] == LOCAL_LAW
    assert not any("compliant" in note for note in verdict.notes)


@given(st.decimals(1, 10000, places=1), st.decimals("0.7", "1.2", places=3))
def test_the_mass_of_a_volume_has_that_volume(volume: Decimal, density: Decimal) -> None:
    again = volume_of_mass(mass_of_nominal(volume, density), density)
    assert again == pytest.approx(volume, rel=Decimal("1e-20"))


@given(st.decimals(1, 5000, places=1), st.decimals("1.001", 2, places=3), st.integers(20, 60))
def test_room_above_a_fill_only_shrinks_as_it_gets_warm(
    fill: Decimal, larger: Decimal, warmest: int
) -> None:
    found = ullage(fill, larger * fill, warmest_c=Decimal(warmest))
    assert found.warm_volume_ml >= fill
    assert found.warm_ullage_percent <= found.ullage_percent
    assert found.ullage_ml + fill == larger * fill


@given(st.decimals(1, 5000, places=1))
def test_the_largest_fill_leaves_just_the_room_that_is_asked_for(brimful: Decimal) -> None:
    largest = ullage(brimful, brimful).largest_fill_ml
    found = ullage(largest, brimful)
    assert found.ullage_percent == pytest.approx(3, rel=Decimal("1e-20"))


def test_a_brimful_can_is_warned_of_twice_and_a_roomy_one_not_at_all() -> None:
    assert len(ullage(Decimal(250), Decimal(250)).notes) == 2
    assert ullage(Decimal(250), Decimal(263)).notes == ()


def test_more_than_the_container_holds_is_refused() -> None:
    with pytest.raises(NotApplicable) as refused:
        ullage(Decimal(251), Decimal(250))
    assert refused.value.field == "brimful_ml"
