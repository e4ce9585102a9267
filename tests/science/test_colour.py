"""Colours in CIELAB, beside what colour-science 0.4.7 says of them."""

import warnings
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.science.colour import LabColour, delta_e_76, lab_from_xyz, whites
from service.science.errors import NotApplicable, OutOfRange

with warnings.catch_warnings():
    # It tells of optional libraries that are not there.
    warnings.simplefilter("ignore")
    import colour as outside

AXES = st.decimals(-120, 120, places=2)
COLOURS = st.builds(LabColour, st.decimals(0, 100, places=2), AXES, AXES, st.just("D65/10"))
VALUES = st.decimals("0.5", "90", places=3)
OBSERVERS = {
    "2": "CIE 1931 2 Degree Standard Observer",
    "10": "CIE 1964 10 Degree Standard Observer",
}
NEAR = Decimal("1e-9")


def outside_white(white: str) -> list[float]:
    illuminant, observer = white.split("/")
    return list(outside.CCS_ILLUMINANTS[OBSERVERS[observer]][illuminant])


@given(VALUES, VALUES, VALUES, st.sampled_from(whites()))
def test_lab_is_what_colour_science_makes_of_it(
    x: Decimal, y: Decimal, z: Decimal, white: str
) -> None:
    # Over 90 on one axis and near nothing on another is no colour.
    there = outside.XYZ_to_Lab([float(each) / 100 for each in (x, y, z)], outside_white(white))
    assume(max(abs(each) for each in there) < 199)
    here = lab_from_xyz(x, y, tristimulus_z=z, white=white)
    assert [float(each) for each in (here.lightness, here.a_star, here.b_star)] == pytest.approx(
        list(there), abs=1e-9
    )


@pytest.mark.parametrize("white", whites())
def test_the_white_itself_is_100_without_colour(white: str) -> None:
    x, y = outside_white(white)
    seen = lab_from_xyz(
        Decimal(100 * x / y),
        Decimal(100),
        tristimulus_z=Decimal(100 * (1 - x - y) / y),
        white=white,
    )
    assert seen.lightness == 100
    assert seen.chroma == pytest.approx(0, abs=NEAR)


def test_a_grey_has_no_hue_and_black_is_nought() -> None:
    black = lab_from_xyz(Decimal(0), Decimal(0), tristimulus_z=Decimal(0), white="C/2")
    assert black.lightness == black.chroma == 0
    assert black.hue_degrees is None
    assert not black.notes


def test_a_white_given_by_its_chromaticity_is_named_by_it() -> None:
    given_ = lab_from_xyz(
        Decimal(20),
        Decimal(12),
        tristimulus_z=Decimal(5),
        white_x=Decimal("0.3127"),
        white_y=Decimal("0.329"),
    )
    named = lab_from_xyz(Decimal(20), Decimal(12), tristimulus_z=Decimal(5), white="D65/2")
    assert given_.white == "x 0.3127, y 0.329"
    assert (given_.lightness, given_.a_star) == (named.lightness, named.a_star)


def test_values_on_the_scale_of_one_are_pointed_at() -> None:
    small = lab_from_xyz(
        Decimal("0.206"), Decimal("0.122"), tristimulus_z=Decimal("0.051"), white="D65/2"
    )
    assert "times 100" in small.notes[0]


@pytest.mark.parametrize(
    ("white", "x", "y"),
    [
        (None, None, None),
        (None, "0.3", None),
        (None, None, "0.3"),
        ("C/2", "0.3", "0.3"),
        ("C/2", "0.3", None),
        ("C/2", None, "0.3"),
    ],
)
def test_the_white_is_stated_once(white: str | None, x: str | None, y: str | None) -> None:
    with pytest.raises(NotApplicable) as refused:
        lab_from_xyz(
            Decimal(20),
            Decimal(12),
            tristimulus_z=Decimal(5),
            white=white,
            white_x=Decimal(x) if x else None,
            white_y=Decimal(y) if y else None,
        )
    assert refused.value.field == "white"


def test_a_white_point_outside_the_diagram_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        lab_from_xyz(
            Decimal(20),
            Decimal(12),
            tristimulus_z=Decimal(5),
            white_x=Decimal("0.55"),
            white_y=Decimal("0.45"),
        )
    assert refused.value.field == "white_y"


@pytest.mark.parametrize(
    ("x", "z", "field"), [(150, 0, "tristimulus_x"), (0, 150, "tristimulus_z")]
)
def test_values_that_are_no_colour_are_refused(x: int, z: int, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        lab_from_xyz(Decimal(x), Decimal("0.01"), tristimulus_z=Decimal(z), white="A/10")
    assert refused.value.field == field


@given(COLOURS, COLOURS)
def test_the_distance_is_the_same_both_ways_and_as_colour_science_has_it(
    first: LabColour, second: LabColour
) -> None:
    distance = delta_e_76(first, second)
    assert distance.delta_e == delta_e_76(second, first).delta_e
    assert distance.delta_chroma == -delta_e_76(second, first).delta_chroma
    there = outside.delta_E(_triple(first), _triple(second), method="CIE 1976")
    assert float(distance.delta_e) == pytest.approx(float(there), abs=1e-9)


@given(COLOURS, COLOURS, COLOURS)
def test_no_way_round_is_shorter(one: LabColour, two: LabColour, three: LabColour) -> None:
    around = delta_e_76(one, two).delta_e + delta_e_76(two, three).delta_e
    assert delta_e_76(one, three).delta_e <= around + NEAR


def _triple(one: LabColour) -> list[float]:
    return [float(one.lightness), float(one.a_star), float(one.b_star)]


def test_a_difference_is_said_in_words() -> None:
    kept = LabColour(Decimal(60), Decimal(10), Decimal(40), "D65/10")
    batch = LabColour(Decimal(62), Decimal(8), Decimal(43), "D65/10")
    assert delta_e_76(kept, batch).direction == "lighter, greener, yellower"
    assert delta_e_76(kept, kept).direction == "the same"


@pytest.mark.parametrize(
    ("bad", "field"),
    [
        (LabColour(Decimal(101), Decimal(0), Decimal(0), "C/2"), "lightness"),
        (LabColour(Decimal(-1), Decimal(0), Decimal(0), "C/2"), "lightness"),
        (LabColour(Decimal(50), Decimal(201), Decimal(0), "C/2"), "a_star"),
        (LabColour(Decimal(50), Decimal(0), Decimal(-201), "C/2"), "b_star"),
        (LabColour(Decimal(50), Decimal(0), Decimal(0), "daylight"), "white"),
    ],
)
def test_the_colour_at_fault_is_named(bad: LabColour, field: str) -> None:
    good = LabColour(Decimal(50), Decimal(0), Decimal(0), "C/2")
    with pytest.raises(OutOfRange) as refused:
        delta_e_76(good, bad)
    assert refused.value.field == f"second/{field}"
