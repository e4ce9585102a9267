"""CIEDE2000, beside colour-science 0.4.7; the published pairs stand among the check values."""

import warnings
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.science.ciede2000 import delta_e_2000
from service.science.colour import LabColour
from service.science.errors import NotApplicable
from tests.science.golden_rows import arguments_of, rows

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour as outside

AXES = st.decimals(-120, 120, places=2)
COLOURS = st.builds(LabColour, st.decimals(0, 100, places=2), AXES, AXES, st.just("D65/10"))
PAIRS = [row for row in rows("ciede2000") if row["expected"] != "refuse"]


def triple(one: LabColour) -> list[float]:
    return [float(one.lightness), float(one.a_star), float(one.b_star)]


@given(COLOURS, COLOURS)
def test_it_is_the_same_both_ways_and_as_colour_science_has_it(
    first: LabColour, second: LabColour
) -> None:
    # Hues that are opposite to the last digit fall to either side by the noise of the machine.
    cross = first.a_star * second.b_star - first.b_star * second.a_star
    assume(abs(cross) > Decimal("0.1") or not (cross or triple(first)[1:] != triple(second)[1:]))
    here = delta_e_2000(first, second)
    assert here.delta_e == pytest.approx(delta_e_2000(second, first).delta_e, abs=Decimal("1e-9"))
    there = outside.delta_E(triple(first), triple(second), method="CIE 2000")
    assert float(here.delta_e) == pytest.approx(float(there), abs=1e-7)


@pytest.mark.parametrize("row", PAIRS, ids=lambda row: row["source"][-8:])
def test_the_published_pairs_hold_the_other_way_round(row: dict[str, str]) -> None:
    pair = arguments_of(row)
    turned = delta_e_2000(pair["second"], pair["first"])
    assert turned.delta_e == pytest.approx(Decimal(row["expected"]), abs=Decimal("5e-5"))


def test_all_34_pairs_are_there() -> None:
    assert len(PAIRS) == 34


@given(COLOURS)
def test_a_colour_is_no_way_from_itself(one: LabColour) -> None:
    assert delta_e_2000(one, one).delta_e == 0


@given(st.decimals(0, 100, places=2), st.decimals(0, 100, places=2))
def test_two_greys_differ_in_lightness_alone(one: Decimal, other: Decimal) -> None:
    grey, second = (LabColour(each, Decimal(0), Decimal(0), "C/2") for each in (one, other))
    found = delta_e_2000(grey, second)
    assert found.delta_lightness == other - one
    assert found.delta_chroma == found.delta_hue == 0
    assert found.delta_e == pytest.approx(
        abs(other - one) / found.lightness_weight, abs=Decimal("1e-9")
    )


def test_a_large_difference_only_ranks() -> None:
    black = LabColour(Decimal(0), Decimal(0), Decimal(0), "D65/10")
    white = LabColour(Decimal(100), Decimal(0), Decimal(0), "D65/10")
    assert delta_e_2000(black, white).delta_e == 100
    assert "ranks" in delta_e_2000(black, white).notes[0]
    assert not delta_e_2000(black, black).notes


def test_colours_under_two_whites_are_not_compared() -> None:
    one = LabColour(Decimal(50), Decimal(0), Decimal(0), "D65/10")
    other = LabColour(Decimal(50), Decimal(0), Decimal(0), "A/10")
    with pytest.raises(NotApplicable) as refused:
        delta_e_2000(one, other)
    assert refused.value.field == "second/white"
