"""Bends over mandrels."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.mandrels import Bend, bend_result, mandrels

SIZES = [Decimal(each) for each in mandrels()]


@given(st.integers(0, len(SIZES)))
def test_a_film_that_cracks_on_all_smaller_mandrels_has_the_next_larger(cracking: int) -> None:
    bends = [Bend(size, place < cracking) for place, size in enumerate(SIZES)]
    found = bend_result(bends)
    assert found.smallest_mm == (SIZES[cracking] if cracking < len(SIZES) else None)
    assert found.cracked_at_mm == (SIZES[cracking - 1] if cracking else None)
    assert found.panels == len(SIZES)


@pytest.mark.parametrize(
    ("bends", "note"),
    [
        ([(5, False)], "1 of 3 panels at the smallest without a crack"),
        ([(4, False), (5, True), (6, False)], "it passed on 4 mm but cracked on 5 mm: repeat"),
        ([(5, False), (5, True)], "it passed on 5 mm but cracked on 5 mm: repeat"),
        ([(4, False), (5, True)], "the largest mandrel tried cracked it: go on to larger ones"),
        ([(32, True)], "every mandrel cracked it: go on to larger ones"),
        (
            [(2, False)],
            "no mandrel cracked it: go on to smaller ones, or report the smallest tried",
        ),
    ],
)
def test_what_the_bends_leave_open_is_said(bends: list[tuple[int, bool]], note: str) -> None:
    assert note in bend_result([Bend(Decimal(size), cracked) for size, cracked in bends]).notes


def test_three_whole_and_one_crack_below_leave_nothing_open() -> None:
    bends = [Bend(Decimal(5), False)] * 3 + [Bend(Decimal(4), True)]
    assert not bend_result(bends).notes


@pytest.mark.parametrize("size", [Decimal(7), Decimal("NaN"), Decimal("1e999999")])
def test_a_mandrel_that_is_not_in_the_set_is_named(size: Decimal) -> None:
    with pytest.raises(OutOfRange) as refused:
        bend_result([Bend(Decimal(5), False), Bend(size, True)])
    assert refused.value.field == "bends/1/mandrel_mm"


def test_without_bends_there_is_nothing_to_report() -> None:
    with pytest.raises(NotApplicable):
        bend_result([])
