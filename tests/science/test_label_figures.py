"""How large the net contents stand on a label."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.label_figures import eu_figure_height, us_display_panel, us_type_height
from service.science.net_contents import LOCAL_LAW
from service.science.tables import rows

SIDES = st.decimals("0.1", 40, places=2)


@given(SIDES, SIDES)
def test_a_flat_panel_is_the_same_either_way_round(one: Decimal, two: Decimal) -> None:
    panel = us_display_panel("flat side", one, width_in=two)
    assert panel == us_display_panel("flat side", two, width_in=one)
    assert panel.area_in2 == one * two
    assert panel.height_in == us_type_height(one * two).height_in


@given(SIDES, SIDES)
def test_a_curved_panel_is_two_fifths_of_what_goes_around(one: Decimal, two: Decimal) -> None:
    around = us_display_panel("cylinder", one, circumference_in=two).area_in2
    assert around == us_display_panel("other", surface_in2=one * two).area_in2
    assert 5 * around == 2 * one * two


@given(SIDES, SIDES)
def test_a_larger_panel_never_bears_smaller_type(one: Decimal, two: Decimal) -> None:
    small, large = (us_type_height(area) for area in sorted((one, two)))
    assert small.height_in <= large.height_in
    assert large.height_mm == large.height_in * Decimal("25.4")


@given(SIDES)
def test_moulded_type_is_a_sixteenth_higher(area: Decimal) -> None:
    extra = us_type_height(area, moulded=True).height_in - us_type_height(area).height_in
    assert extra == Decimal("0.0625")


def test_only_a_panel_above_five_square_inches_says_where_on_it() -> None:
    assert us_type_height(Decimal(5)).notes == (LOCAL_LAW,)
    assert "bottom 30 %" in us_type_height(Decimal("5.1")).notes[0]


@pytest.mark.parametrize(
    ("shape", "sent", "field"),
    [
        ("flat side", {"height_in": 3}, "width_in"),
        ("cylinder", {"circumference_in": 9}, "height_in"),
        ("other", {}, "surface_in2"),
        ("other", {"surface_in2": 9, "width_in": 2}, "width_in"),
    ],
)
def test_a_measure_too_few_or_too_many_is_named(
    shape: str, sent: dict[str, int], field: str
) -> None:
    measures: dict[str, Any] = {name: Decimal(value) for name, value in sent.items()}
    with pytest.raises(NotApplicable) as refused:
        us_display_panel(shape, **measures)
    assert refused.value.field == field


def test_a_height_left_out_is_said_to_be_missing() -> None:
    with pytest.raises(NotApplicable, match="the cylinder's height was not sent") as refused:
        us_display_panel("cylinder", circumference_in=Decimal(9))
    assert refused.value.hint == "send height_in"


def test_a_shape_of_its_own_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        us_display_panel("cone")
    assert refused.value.field == "shape"


@given(st.decimals(1, 20_000, places=1), st.decimals(1, 20_000, places=1))
def test_a_larger_quantity_never_stands_in_smaller_figures(one: Decimal, two: Decimal) -> None:
    small, large = (eu_figure_height(nominal) for nominal in sorted((one, two)))
    assert small.height_mm <= large.height_mm


def test_the_e_mark_is_a_choice() -> None:
    assert eu_figure_height(Decimal(250)).e_mark_height_mm is None
    assert eu_figure_height(Decimal(250), e_mark=True).e_mark_height_mm == 3


@pytest.mark.parametrize("nominal", ["4.9", "10000.1"])
def test_a_quantity_outside_the_directive_bears_no_e_mark(nominal: str) -> None:
    assert eu_figure_height(Decimal(nominal)).e_mark_height_mm is None
    with pytest.raises(NotApplicable) as refused:
        eu_figure_height(Decimal(nominal), e_mark=True)
    assert refused.value.field == "e_mark"


@pytest.mark.parametrize("table", ["us_type_heights.csv", "eu_figure_heights.csv"])
def test_only_the_last_row_of_a_table_of_heights_is_open(table: str) -> None:
    limits = [next(iter(row.values())) for row in rows(table)]
    assert [bool(limit) for limit in limits] == [True] * (len(limits) - 1) + [False]
    assert limits[:-1] == sorted(limits[:-1], key=Decimal)
