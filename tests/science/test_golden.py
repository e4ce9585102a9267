"""Every calculation answers as the outside sources in `golden/` do, one runner for each table."""

import csv
import inspect
from collections.abc import Callable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from service.science import (
    check_characters,
    densities,
    film,
    formulas,
    heat,
    net_contents,
    ratios,
    rounding,
    solids,
    statistics,
    stoichiometry,
)
from service.science.errors import ScienceError
from service.science.units import convert, parse

Row = dict[str, str]


class Conversions:
    @staticmethod
    def converted(text: str, dimension: str, to: str) -> Decimal:
        return convert(parse(text, dimension), to)


def _oils(text: str) -> list[ratios.Oil]:
    pairs = (pair.split("@") for pair in text.split("+"))
    return [ratios.Oil(Decimal(mass), Decimal(density)) for mass, density in pairs]


def _read(text: str, kind: object) -> Any:
    if kind == Sequence[ratios.Oil]:
        return _oils(text)
    if kind == Sequence[Decimal]:
        return [Decimal(each) for each in text.split("+") if each]
    if kind is bool:
        return text == "yes"
    return text if kind is str else int(text) if kind is int else Decimal(text)


def _call(row: Row, *modules: object) -> Any:
    function: Callable[..., Any] = next(
        getattr(module, row["call"]) for module in modules if hasattr(module, row["call"])
    )
    named = dict(pair.split("=", 1) for pair in row["inputs"].split("; "))
    kinds = inspect.signature(function).parameters
    return function(**{name: _read(text, kinds[name].annotation) for name, text in named.items()})


def _check(row: Row, *modules: object) -> None:
    assert row["source"]
    if row["expected"] == "refuse":
        with pytest.raises(ScienceError):
            _call(row, *modules)
        return
    found = _call(row, *modules)
    found = getattr(found, row["field"]) if row["field"] else found
    rule, _, allowed = row["tolerance"].partition(" ")
    if rule in ("abs", "rel"):
        expected = Decimal(row["expected"])
        margin = Decimal(allowed) * (abs(expected) if rule == "rel" else 1)
        assert abs(found - expected) <= margin, found
    elif rule == "exact" and isinstance(found, Decimal):
        assert found == Decimal(row["expected"])
    else:
        assert str(found) == row["expected"]


def _rows(table: str) -> list[Any]:
    with (Path(__file__).parent / "golden" / f"{table}.csv").open(encoding="utf-8") as lines:
        return [
            pytest.param(row, id=f"{row['call']} {row['inputs']} {row['field']}".strip())
            for row in csv.DictReader(lines)
        ]


@pytest.mark.parametrize("row", _rows("units"))
def test_a_conversion_agrees_with_the_standards_of_measures(row: Row) -> None:
    _check(row, Conversions)


@pytest.mark.parametrize("row", _rows("check_characters"))
def test_a_check_character_agrees_with_an_independent_library(row: Row) -> None:
    _check(row, check_characters)


@pytest.mark.parametrize("row", _rows("rounding"))
def test_rounding_agrees_with_the_stated_rule(row: Row) -> None:
    _check(row, rounding)


@pytest.mark.parametrize("row", _rows("ratios"))
def test_an_oil_length_agrees_with_the_worked_examples(row: Row) -> None:
    _check(row, ratios)


@pytest.mark.parametrize("row", _rows("stoichiometry"))
def test_rosin_chemistry_agrees_with_independent_molar_masses(row: Row) -> None:
    _check(row, stoichiometry, formulas)


@pytest.mark.parametrize("row", _rows("densities"))
def test_a_density_agrees_with_the_worked_examples(row: Row) -> None:
    _check(row, densities)


@pytest.mark.parametrize("row", _rows("solids"))
def test_non_volatile_matter_agrees_with_the_worked_examples(row: Row) -> None:
    _check(row, solids)


@pytest.mark.parametrize("row", _rows("film"))
def test_a_film_agrees_with_data_sheets_and_balances(row: Row) -> None:
    _check(row, film)


@pytest.mark.parametrize("row", _rows("heat"))
def test_a_cook_limit_agrees_with_the_published_temperatures(row: Row) -> None:
    _check(row, heat)


@pytest.mark.parametrize("row", _rows("net_contents"))
def test_net_contents_agree_with_the_directive(row: Row) -> None:
    _check(row, net_contents)


@pytest.mark.parametrize("row", _rows("statistics"))
def test_statistics_agree_with_the_textbook(row: Row) -> None:
    _check(row, statistics)
