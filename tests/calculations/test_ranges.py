"""The ranges that the docstrings state are the ranges that the functions hold."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest

from service.calculations.catalogue import Calculation, calculations
from service.calculations.docstrings import Range
from service.calculations.inputs import Input, record_inputs
from service.science.errors import ScienceError
from tests.science.golden_rows import arguments_of, every_row, function_of, name_of

GOOD = {
    function_of(row): arguments_of(row)
    for _, row in reversed(list(every_row()))
    if row["expected"] != "refuse"
}
_STEP = Decimal("1e-6")


def limits(one: Calculation) -> Iterator[Any]:
    """Each stated limit of each number of a calculation, with the value just outside and at it."""
    for each, part in _numbers(one):
        number = part or each
        if (allowed := number.said.range) is None:
            continue
        for side, outside, at in _around(allowed, number):
            name = f"{one.name} {each.name} {part.name + ' ' if part else ''}{side}"
            yield pytest.param(one, each, part, outside, at, id=name)


def _numbers(one: Calculation) -> Iterator[tuple[Input, Input | None]]:
    """Each input, and for a record each of its fields beside it, where good ones are known."""
    for each in one.inputs:
        if not each.record:
            yield each, None
        elif GOOD[one.function].get(each.name):
            yield from ((each, part) for part in record_inputs(each.kind))


def _around(allowed: Range, each: Input) -> Iterator[tuple[str, Decimal, Decimal | None]]:
    step = Decimal(1) if each.kind is int else _STEP
    if allowed.low is not None:
        outside = allowed.low if allowed.open_low else allowed.low - step
        yield "low", outside, None if allowed.open_low else allowed.low
    if allowed.high is not None:
        outside = allowed.high if allowed.open_high else allowed.high + step
        yield "high", outside, None if allowed.open_high else allowed.high


def called(
    one: Calculation, each: Input, part: Input | None, value: Decimal
) -> ScienceError | None:
    """What the function says when one good number is replaced by another."""
    number: Any = int(value) if (part or each).kind is int else value
    good = GOOD[one.function]
    if part:
        first = good[each.name][0] if each.many else good[each.name]
        number = first._replace(**{part.name: number})
    if each.many:
        number = [number, *good.get(each.name, ())[1:]]
    try:
        one.function(**{**good, each.name: number})
    except ScienceError as error:
        return error
    return None


@pytest.mark.parametrize(
    ("one", "each", "part", "outside", "at"),
    [case for one in calculations() for case in limits(one)],
)
def test_just_outside_a_limit_is_refused_and_the_limit_is_not(
    one: Calculation, each: Input, part: Input | None, outside: Decimal, at: Decimal | None
) -> None:
    refused = called(one, each, part, outside)
    assert refused is not None
    assert refused.field.split("/")[0] == each.name
    assert part is None or refused.field.split("/")[-1] == part.name
    assert refused.hint
    if at is not None:
        at_limit = called(one, each, part, at)
        said = f"{refused.message} {refused.hint}"
        assert at_limit is None or f"{at_limit.message} {at_limit.hint}" != said


@pytest.mark.parametrize("one", calculations(), ids=lambda one: one.name)
def test_every_calculation_has_a_check_value(one: Calculation) -> None:
    assert one.function in GOOD, name_of({"call": one.name, "inputs": "", "field": ""})
