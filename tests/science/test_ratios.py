"""Oil lengths, and the shares of a recipe."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.ratios import (
    Oil,
    from_us_gal,
    length_class,
    length_classes,
    length_conventions,
    oil_length,
    scale,
    shares,
)

AMOUNTS = st.decimals("0.01", 1000, places=2, allow_nan=False)


def test_a_25_gallon_varnish_is_medium_by_gallons_and_long_by_percent() -> None:
    classes = length_classes(from_us_gal(Decimal(25), Decimal("0.93")))
    assert classes == {
        "alkyd_40_60": "long",
        "alkyd_45_55": "long",
        "us_gal_handbook": "medium",
        "mass_fat_lean": "fat",
    }
    assert tuple(classes) == length_conventions()


def test_without_oil_there_is_no_oil_length() -> None:
    with pytest.raises(NotApplicable, match="no drying oil"):
        oil_length([], [Decimal(500)])


@pytest.mark.parametrize(("mass", "unusual"), [("0.09", True), ("2", False), ("10.1", True)])
def test_a_ratio_outside_a_tenth_to_ten_is_unusual(mass: str, unusual: bool) -> None:
    length = oil_length([Oil(Decimal(mass), Decimal("0.93"))], [Decimal(1)])
    assert length.unusual is unusual


@given(AMOUNTS, AMOUNTS)
def test_a_length_in_gallons_and_the_ratio_are_one_figure(oil: Decimal, resin: Decimal) -> None:
    by_mass = oil_length([Oil(oil, Decimal("0.93"))], [resin])
    again = from_us_gal(by_mass.us_gal_per_100_lb, Decimal("0.93"))
    assert again.ratio == pytest.approx(by_mass.ratio, rel=Decimal("1e-20"))


@pytest.mark.parametrize(("convention", "value"), [("guess", "50"), ("alkyd_40_60", "-1")])
def test_an_unknown_convention_or_a_negative_length_has_no_class(
    convention: str, value: str
) -> None:
    with pytest.raises(OutOfRange):
        length_class(convention, Decimal(value))


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


@given(st.lists(AMOUNTS, min_size=1, max_size=8), AMOUNTS)
def test_each_scaled_line_is_at_most_half_a_step_from_its_exact_figure(
    parts: list[Decimal], total: Decimal
) -> None:
    step = Decimal("0.5")
    for line in scale(shares([("parts", part) for part in parts]), total, step=step):
        assert abs(line.rounded - line.exact) <= step / 2 + Decimal("1e-20")
        assert line.rounded % step == 0


def test_nothing_is_not_a_total() -> None:
    with pytest.raises(OutOfRange):
        scale([Fraction(1)], Decimal(0), step=Decimal(1))
