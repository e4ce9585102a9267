"""Oil lengths, and the shares of a recipe."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.ratios import (
    Oil,
    OilLength,
    balsam_resin,
    from_us_gal,
    length_bases,
    length_class,
    length_conventions,
    line_bases,
    oil_length,
    ratio_in_the_can,
    shares,
)

AMOUNTS = st.decimals("0.01", 1000, places=2, allow_nan=False)
LINSEED = Decimal("0.93")
TINY = Decimal("1e-20")


def charged(oil: Decimal, resin: Decimal) -> OilLength:
    """The length of one oil and one resin as charged."""
    return oil_length([Oil(oil, LINSEED)], [resin], basis="as charged")


def test_a_25_gallon_varnish_is_medium_by_gallons_and_long_by_percent() -> None:
    found = from_us_gal(Decimal(25), LINSEED, basis="as charged")
    assert {each.convention: each.length_class for each in found.classes} == {
        "alkyd_40_60": "long",
        "alkyd_45_55": "long",
        "us_gal_handbook": "medium",
        "mass_fat_lean": "fat",
    }
    assert tuple(each.convention for each in found.classes) == length_conventions()


@pytest.mark.parametrize("basis", length_bases())
def test_a_length_says_whether_it_is_as_charged_or_in_the_can(basis: str) -> None:
    assert oil_length([Oil(Decimal(2), LINSEED)], [Decimal(1)], basis=basis).basis == basis
    assert from_us_gal(Decimal(25), LINSEED, basis=basis).basis == basis


@pytest.mark.parametrize(("mass", "notes"), [("0.09", 1), ("2", 0), ("10.1", 1)])
def test_a_ratio_outside_a_tenth_to_ten_is_noted(mass: str, notes: int) -> None:
    assert len(charged(Decimal(mass), Decimal(1)).notes) == notes


@given(AMOUNTS, AMOUNTS)
def test_a_length_in_gallons_and_the_ratio_are_one_figure(oil: Decimal, resin: Decimal) -> None:
    by_mass = charged(oil, resin)
    again = from_us_gal(by_mass.us_gal_per_100_lb, LINSEED, basis="as charged")
    assert again.ratio == pytest.approx(by_mass.ratio, rel=TINY)


@given(AMOUNTS, AMOUNTS, st.integers(1, 1000))
def test_a_length_does_not_know_how_large_the_kettle_is(
    oil: Decimal, resin: Decimal, times: int
) -> None:
    small, large = charged(oil, resin), charged(oil * times, resin * times)
    assert large.ratio == pytest.approx(small.ratio, rel=TINY)
    assert large.us_gal_per_100_lb == pytest.approx(small.us_gal_per_100_lb, rel=TINY)


@given(st.lists(AMOUNTS, min_size=1, max_size=6), st.lists(AMOUNTS, min_size=1, max_size=6))
def test_a_mass_in_several_lines_counts_as_one(oils: list[Decimal], resins: list[Decimal]) -> None:
    many = oil_length([Oil(oil, LINSEED) for oil in oils], resins, basis="as charged")
    one = charged(sum(oils, Decimal(0)), sum(resins, Decimal(0)))
    assert many.ratio == one.ratio
    assert many.us_gal_per_100_lb == pytest.approx(one.us_gal_per_100_lb, rel=TINY)


@given(AMOUNTS, AMOUNTS, st.decimals(0, 99, places=1), st.decimals(0, 99, places=1))
def test_a_ratio_in_the_can_is_that_of_the_masses_left(
    oil: Decimal, resin: Decimal, of_resin: Decimal, of_oil: Decimal
) -> None:
    found = ratio_in_the_can(oil / resin, of_resin, oil_loss_percent=of_oil)
    left = charged(oil * (1 - of_oil / 100), resin * (1 - of_resin / 100))
    assert found.ratio == pytest.approx(left.ratio, rel=TINY)
    assert found.basis == "in the can"


@given(AMOUNTS, st.decimals(0, 99, places=1))
def test_a_balsam_is_its_resin_and_its_volatile_oil(balsam: Decimal, volatile: Decimal) -> None:
    assert balsam_resin(balsam, volatile) + balsam * volatile / 100 == balsam


@pytest.mark.parametrize(
    ("call", "refusal", "field"),
    [
        (lambda: oil_length([], [Decimal(1)], basis="as charged"), NotApplicable, "oils"),
        (
            lambda: oil_length([Oil(Decimal(1), LINSEED)], [], basis="as charged"),
            NotApplicable,
            "resins_g",
        ),
        (lambda: charged(Decimal(0), Decimal(1)), OutOfRange, "oils/0/mass_g"),
        (lambda: charged(Decimal(1), Decimal(-1)), OutOfRange, "resins_g/0"),
        (
            lambda: oil_length([Oil(Decimal(1), Decimal("0.8"))], [Decimal(1)], basis="as charged"),
            OutOfRange,
            "oils/0/density_kg_l",
        ),
        (lambda: from_us_gal(Decimal(25), LINSEED, basis=""), OutOfRange, "basis"),
        (lambda: ratio_in_the_can(Decimal(1), Decimal(100)), OutOfRange, "resin_loss_percent"),
        (lambda: length_class("guess", Decimal(50)), OutOfRange, "convention"),
        (lambda: length_class("alkyd_40_60", Decimal(-1)), OutOfRange, "value"),
        (lambda: length_class("alkyd_40_60", Decimal(101)), OutOfRange, "value"),
    ],
)
def test_what_has_no_oil_length_is_refused_at_its_input(
    call: Any, refusal: type[ScienceError], field: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.field == field


@given(st.lists(AMOUNTS, min_size=1, max_size=8), st.decimals("0.01", "99.99", places=2))
def test_the_shares_of_a_recipe_add_up_to_one(parts: list[Decimal], percent: Decimal) -> None:
    found = shares([("percent", percent), *(("parts", part) for part in parts)])
    assert sum(found) == 1
    assert found[0] == Fraction(percent) / 100


def test_percents_alone_of_exactly_100_are_shares() -> None:
    assert shares([("percent", Decimal(60)), ("percent", Decimal(40))]) == [
        Fraction(3, 5),
        Fraction(2, 5),
    ]


@pytest.mark.parametrize(
    "lines",
    [
        [("percent", "100"), ("parts", "1")],
        [("percent", "60"), ("percent", "39.9")],
        [("parts", "0")],
        [("parts", "-1")],
        [("parts", "NaN")],
        [("share", "1")],
    ],
)
def test_lines_that_cannot_share_a_total_are_refused(lines: list[tuple[str, str]]) -> None:
    with pytest.raises(OutOfRange):
        shares([(basis, Decimal(amount)) for basis, amount in lines])


def test_a_recipe_without_lines_has_no_shares() -> None:
    with pytest.raises(NotApplicable):
        shares([])


def test_the_bases_of_a_line_are_those_that_shares_take() -> None:
    assert [shares([(basis, Decimal(100))]) for basis in line_bases()] == [
        [Fraction(1)],
        [Fraction(1)],
    ]
