"""The measuring of sizes itself, and that nothing in the house is over its limit."""

import ast
from pathlib import Path

import pytest

from tests.house.sizes import ROOT, body_lines, is_route, lines_of, modules, too_large

SAMPLE = '''
@router.get("/x", summary="x")
def show(a, b):
    """Says what it does,

    in four lines.
    """
    first = a
    return first
'''


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_nothing_is_larger_than_can_be_read(path: Path) -> None:
    assert list(too_large(path)) == []


def test_a_function_is_measured_without_its_docstring() -> None:
    function = ast.parse(SAMPLE).body[0]
    assert isinstance(function, ast.FunctionDef)
    assert lines_of(function) == 3
    assert body_lines(function) == 2
    assert is_route(function)
