"""What went in beside what came out."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from service.science.errors import NotApplicable, OutOfRange
from service.science.mass_balance import (
    Weighed,
    batch_yield,
    loss_processes,
    mass_balance,
    usual_loss,
)
from service.science.results import Standing

MASSES = st.decimals(1, 9999, places=1)
ENTRIES = st.lists(
    st.builds(Weighed, MASSES, st.decimals("0.1", 9, places=1)), min_size=1, max_size=5
)


@given(ENTRIES, ENTRIES, ENTRIES, ENTRIES)
def test_difference_and_uncertainty_are_those_of_an_independent_package(
    charged: list[Weighed], taken_out: list[Weighed], losses: list[Weighed], gains: list[Weighed]
) -> None:
    def total(entries: list[Weighed]) -> Any:
        return sum(ufloat(float(one.mass_g), float(one.uncertainty_g)) for one in entries)

    known = total(charged) + total(gains) - total(taken_out) - total(losses)
    found = mass_balance(charged, taken_out, losses=losses, gains=gains)
    assert float(found.difference_g) == pytest.approx(known.nominal_value, abs=1e-6)
    assert float(found.standard_uncertainty_g) == pytest.approx(known.std_dev, abs=1e-9)


@given(ENTRIES, ENTRIES)
def test_declaring_all_that_is_missing_closes_the_balance(
    charged: list[Weighed], taken_out: list[Weighed]
) -> None:
    missing = mass_balance(charged, taken_out).difference_g
    declared = [Weighed(abs(missing))] if missing else None
    found = (
        mass_balance(charged, taken_out, losses=declared)
        if missing > 0
        else mass_balance(charged, taken_out, gains=declared)
    )
    assert found.difference_g == 0
    assert found.closed


def test_an_oil_that_took_up_oxygen_closes_only_with_its_gain_declared() -> None:
    oil, blown = [Weighed(Decimal(800), Decimal(1))], [Weighed(Decimal(868), Decimal(1))]
    alone = mass_balance(oil, blown)
    assert alone.verdict == "gain not explained"
    assert "oxygen" in alone.notes[0]
    assert mass_balance(oil, blown, gains=[Weighed(Decimal(67), Decimal(2))]).closed


def test_a_loss_of_more_than_a_twentieth_asks_for_its_reason() -> None:
    found = mass_balance([Weighed(Decimal(1000), Decimal(1))], [Weighed(Decimal(949), Decimal(1))])
    assert found.verdict == "loss not explained"
    assert found.notes == ("more than 5 % is missing: give the reason",)


def test_a_balance_without_uncertainties_says_that_only_an_exact_one_closes() -> None:
    found = mass_balance([Weighed(Decimal(100))], [Weighed(Decimal(99))])
    assert not found.closed
    assert "no uncertainty" in found.notes[0]


@pytest.mark.parametrize("empty", ["charged", "taken_out"])
def test_a_side_with_nothing_on_it_is_no_balance(empty: str) -> None:
    sides = {"charged": [Weighed(Decimal(1))], "taken_out": [Weighed(Decimal(1))], empty: []}
    with pytest.raises(NotApplicable) as refused:
        mass_balance(sides["charged"], sides["taken_out"])
    assert refused.value.field == empty


@pytest.mark.parametrize(
    ("entry", "field"),
    [
        (Weighed(Decimal(0)), "losses/1/mass_g"),
        (Weighed(Decimal(1), Decimal(-1)), "losses/1/uncertainty_g"),
    ],
)
def test_a_mass_that_is_none_is_blamed_at_its_place(entry: Weighed, field: str) -> None:
    some = [Weighed(Decimal(100))]
    with pytest.raises(OutOfRange) as refused:
        mass_balance(some, some, losses=[some[0], entry])
    assert refused.value.field == field


@given(MASSES, MASSES)
def test_yield_and_loss_make_up_the_charge(charged: Decimal, out: Decimal) -> None:
    found = batch_yield(charged, out)
    assert found.yield_percent + found.loss_percent == pytest.approx(100, rel=Decimal("1e-20"))
    assert found.loss_g + out == charged
    assert bool(found.notes) == (out > charged)


@pytest.mark.parametrize("process", loss_processes())
def test_a_usual_loss_is_a_range_that_is_called_a_convention(process: str) -> None:
    found = usual_loss(process)
    assert 0 < found.low_percent < found.high_percent < 100
    assert found.standing is Standing.CONVENTION


def test_a_process_of_another_trade_has_no_usual_loss() -> None:
    with pytest.raises(OutOfRange) as refused:
        usual_loss("frying")
    assert "straining" in refused.value.hint
