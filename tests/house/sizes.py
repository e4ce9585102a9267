"""Measures modules and functions: small ones can be read; prints those over the house's limits."""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
MODULE, SCIENCE, CONFTEST, MAKER = 300, 350, 120, 150
FUNCTION, ROUTE, TEST = 35, 15, 40
Function = ast.FunctionDef | ast.AsyncFunctionDef
_VERBS = {"get", "post", "put", "patch", "delete"}


def module_limit(path: Path) -> int:
    """How many lines a module may have."""
    if path.name == "conftest.py":
        return CONFTEST
    if "makers" in path.parts:
        return MAKER
    return SCIENCE if "science" in path.parts else MODULE


def lines_of(function: Function) -> int:
    """Lines from the signature to the end, without the docstring."""
    first = function.body[0]
    documented = ast.get_docstring(function) is not None
    docstring = (first.end_lineno or 0) - first.lineno + 1 if documented else 0
    return (function.end_lineno or 0) - function.lineno + 1 - docstring


def body_lines(function: Function) -> int:
    """Lines of what a function does, without signature and docstring."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def is_route(function: Function) -> bool:
    """Whether a function is mounted by `@router.get` or its like."""
    calls = [d.func for d in function.decorator_list if isinstance(d, ast.Call)]
    return any(isinstance(c, ast.Attribute) and c.attr in _VERBS for c in calls)


def too_large(path: Path) -> Iterator[str]:
    """What is over its limit in one module."""
    text, name = path.read_text("utf-8"), path.relative_to(ROOT)
    count, limit = len(text.splitlines()), module_limit(path)
    if count > limit:
        yield f"{name}: {count} lines, {limit} are allowed"
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, Function):
            continue
        wide = TEST if "tests" in name.parts else FUNCTION
        if (size := lines_of(node)) > wide:
            yield f"{name}:{node.lineno} {node.name}: {size} lines, {wide} are allowed"
        if "tests" not in name.parts and is_route(node) and (size := body_lines(node)) > ROUTE:
            yield f"{name}:{node.lineno} {node.name}: a route of {size} lines, {ROUTE} are allowed"


def modules() -> list[Path]:
    """Every module of the service and its tests; migrations are written by a tool."""
    found = [*ROOT.glob("service/**/*.py"), *ROOT.glob("tests/**/*.py")]
    return sorted(path for path in found if "versions" not in path.parts)


if __name__ == "__main__":
    faults = [fault for path in modules() for fault in too_large(path)]
    print("\n".join(faults))
    sys.exit(bool(faults))
