"""Non-volatile matter and the density of mixtures."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.solids import (
    Portion,
    families,
    mixture_density,
    range_flags,
    replicates_agree,
    theoretical_non_volatile,
)

MASSES = st.decimals("0.1", 9999, places=1)
PORTIONS = st.lists(
    st.builds(
        Portion,
        st.just("part"),
        MASSES,
        st.decimals(0, 100, places=1),
        st.decimals("0.7", "1.2", places=3),
    ),
    min_size=1,
    max_size=6,
)


@given(PORTIONS)
def test_a_mixture_lies_between_its_portions(portions: list[Portion]) -> None:
    solid = theoretical_non_volatile(portions)
    percents = [each.non_volatile_percent or Decimal(0) for each in portions]
    assert min(percents) - Decimal("1e-20") <= solid <= max(percents) + Decimal("1e-20")
    densities = [each.density_kg_l or Decimal(0) for each in portions]
    slack = Decimal("1e-20")
    assert min(densities) - slack <= mixture_density(portions) <= max(densities) + slack


def test_the_portions_whose_figure_is_missing_are_named() -> None:
    portions = [Portion("oil", Decimal(1), Decimal(100)), Portion("drier", Decimal(1))]
    with pytest.raises(NotApplicable, match="non-volatile is not known of: drier"):
        theoretical_non_volatile(portions)
    with pytest.raises(NotApplicable, match="density is not known of: oil, drier"):
        mixture_density(portions)


def test_a_portion_of_no_mass_or_too_much_solid_is_refused() -> None:
    with pytest.raises(OutOfRange, match="mass of oil"):
        theoretical_non_volatile([Portion("oil", Decimal(0), Decimal(100))])
    with pytest.raises(OutOfRange):
        theoretical_non_volatile([Portion("oil", Decimal(1), Decimal(101))])


def test_nothing_is_no_mixture() -> None:
    with pytest.raises(NotApplicable):
        theoretical_non_volatile([])
    with pytest.raises(NotApplicable):
        mixture_density([])


def test_one_dish_agrees_with_nothing() -> None:
    with pytest.raises(NotApplicable):
        replicates_agree([Decimal(55)])


def test_a_product_within_its_family_has_no_flags() -> None:
    assert range_flags("thinned oil varnish", Decimal(35), density_kg_l=Decimal("0.96")) == ()
    assert range_flags("shellac solution") == ()


def test_both_figures_outside_the_family_are_flagged() -> None:
    flags = range_flags(families()[0], Decimal(34), density_kg_l=Decimal("0.97"))
    assert [flag.split(" ")[0] for flag in flags] == ["non-volatile", "density"]


def test_an_unknown_family_is_refused() -> None:
    with pytest.raises(OutOfRange):
        range_flags("emulsion")
