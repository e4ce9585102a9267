"""The science imports the standard library and itself; pint stands in `units` alone."""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

MODULES = sorted(Path("service/science").rglob("*.py"))


def imports(path: Path) -> Iterator[str]:
    """The modules that a file imports."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


@pytest.mark.parametrize("path", MODULES, ids=str)
def test_a_module_of_the_science_imports_nothing_else(path: Path) -> None:
    for name in imports(path):
        root = name.split(".")[0]
        pint = root == "pint" and path.name == "units.py"
        assert root in sys.stdlib_module_names or name.startswith("service.science") or pint, name
