"""Net contents and the check of a fill."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.net_contents import (
    fill_check,
    mass_of_nominal,
    negative_error,
    us_fluid_ounces,
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
    assert verdict.note == "no table value"
    assert (verdict.negative_error, verdict.below_first, verdict.below_second) == (None,) * 3


@pytest.mark.parametrize("packs", [3, 1])
def test_a_fill_with_a_pack_not_weighed_is_not_judged(packs: int) -> None:
    with pytest.raises(NotApplicable, match=f"2 of {packs} packs"):
        fill_check(Decimal(250), [Decimal(250)] * 2, packs=packs)


def test_a_hundred_packs_are_judged_by_sampling() -> None:
    with pytest.raises(NotApplicable, match="sampling"):
        fill_check(Decimal(250), [Decimal(250)] * 100, packs=100)
    assert fill_check(Decimal(250), [Decimal(250)] * 99, packs=99).mean_holds


@pytest.mark.parametrize(("nominal", "fill"), [("0", "1"), ("250", "0"), ("250", "NaN")])
def test_a_fill_of_nothing_is_refused(nominal: str, fill: str) -> None:
    with pytest.raises(OutOfRange):
        fill_check(Decimal(nominal), [Decimal(fill)], packs=1)


def test_no_packs_are_no_fill() -> None:
    with pytest.raises(OutOfRange):
        fill_check(Decimal(250), [], packs=0)


def test_a_pack_below_the_second_limit_is_counted_twice() -> None:
    verdict = fill_check(Decimal(250), [Decimal("231.9"), Decimal(270)], packs=2)
    assert (verdict.below_first, verdict.below_second) == (1, 1)


@given(st.decimals(1, 10000, places=1), st.decimals("0.7", "1.2", places=3))
def test_the_mass_of_a_volume_has_that_volume(volume: Decimal, density: Decimal) -> None:
    again = volume_of_mass(mass_of_nominal(volume, density), density)
    assert again == pytest.approx(volume, rel=Decimal("1e-20"))


@given(st.decimals(1, 99999, places=1))
def test_fluid_ounces_never_declare_more_than_the_millilitres(volume: Decimal) -> None:
    ounces = us_fluid_ounces(volume)
    assert ounces * Decimal("29.5735295625") <= volume
    assert "E" not in str(ounces)
