"""The catalogue is whole, and what it says of each calculation is true of the function."""

import csv
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, get_type_hints

import pytest

import service.science
from service.calculations.catalogue import Calculation, calculations
from service.calculations.inputs import Input, record_inputs
from service.science.names import named_unit

ALL = calculations()
NAMES = [one.name for one in ALL]
EXEMPT = Path(__file__).parent / "exempt"


def public_functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    """Each public function of the science by the name that the catalogue uses."""
    for found in pkgutil.iter_modules(service.science.__path__):
        module = importlib.import_module(f"service.science.{found.name}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and function.__module__ == module.__name__:
                yield f"{found.name}.{name}", function


def exempt() -> dict[str, str]:
    """The functions that are no calculation, with the reason."""
    tables = [csv.DictReader(path.read_text("utf-8").splitlines()) for path in EXEMPT.iterdir()]
    return {row["function"]: row["reason"] for table in tables for row in table}


def test_every_public_function_is_a_calculation_or_stands_exempt_with_a_reason() -> None:
    offered = {one.function for one in ALL}
    missing = {name for name, function in public_functions() if function not in offered}
    assert missing == set(exempt())
    assert all(exempt().values())


def test_names_are_unique_and_fit_an_address() -> None:
    assert len(set(NAMES)) == len(NAMES)
    assert all(name.replace("-", "").isalnum() and name.islower() for name in NAMES)


@pytest.mark.parametrize("one", ALL, ids=NAMES)
def test_every_input_states_its_unit_and_range(one: Calculation) -> None:
    assert set(one.words.inputs) == {each.name for each in one.inputs}
    for each in _every_input(one.inputs):
        numeric = each.kind.__name__ in ("Decimal", "int")
        assert bool(each.said.range) == numeric, (each.name, each.said.bracket)
        if numeric:
            assert each.said.unit == named_unit(each.name).unit, each.name


def _every_input(inputs: tuple[Input, ...]) -> Iterator[Input]:
    for each in inputs:
        if each.record:
            yield from _every_input(record_inputs(each.kind))
        else:
            yield each


@pytest.mark.parametrize("one", ALL, ids=NAMES)
def test_it_says_what_it_does_gives_and_rests_on(one: Calculation) -> None:
    words = one.words
    assert words.purpose.endswith(".")
    assert one.purpose
    assert one.purpose[-1] != "."
    assert words.source
    assert not words.source.lower().startswith("as `"), "a source stands on its own"
    result = get_type_hints(one.function)["return"]
    if result.__name__ in ("Decimal", "int", "Estimate"):
        assert words.unit, f"{one.name} does not say the unit it gives"
