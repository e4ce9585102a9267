"""The example in every docstring holds, and every public function has one with its source."""

import doctest
import importlib
import inspect
import pkgutil
from types import ModuleType

import pytest

import service.science

MODULES = [
    importlib.import_module(found.name)
    for found in pkgutil.walk_packages(service.science.__path__, "service.science.")
]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_the_examples_of_a_module_hold(module: ModuleType) -> None:
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_every_public_function_states_parameters_refusals_source_and_example(
    module: ModuleType,
) -> None:
    for name, function in inspect.getmembers(module, inspect.isfunction):
        if name.startswith("_") or function.__module__ != module.__name__:
            continue
        text = inspect.getdoc(function) or ""
        for part in ("Parameters:", "Raises:", "Source:", ">>> "):
            assert part in text, f"{module.__name__}.{name} lacks {part}"
