"""Habits that can be read off the source."""

import ast
import re
from inspect import iscoroutinefunction
from pathlib import Path

import pytest

from service.app import ROUTERS
from service.web.recordless import RecordlessRoute
from service.web.route import Route
from tests.house.sizes import ROOT, modules

SERVICE = [path for path in modules() if "service" in path.relative_to(ROOT).parts]
COMMITS = {"service/store/session.py", "service/store/migrations/env.py"}
ANYWHERE = (r"import.*BaseHTTPMiddleware", r"pragma: no cover", r"\bTODO\b", r"\bFIXME\b")


def text_of(path: Path) -> str:
    return path.read_text("utf-8")


def test_only_the_session_commits() -> None:
    found = {str(p.relative_to(ROOT)) for p in SERVICE if re.search(r"\.commit\(", text_of(p))}
    assert found <= COMMITS
    assert "service/store/session.py" in found


@pytest.mark.parametrize("pattern", ANYWHERE)
def test_what_the_house_does_without_stands_nowhere_in_the_service(pattern: str) -> None:
    assert [path for path in SERVICE if re.search(pattern, text_of(path))] == []


@pytest.mark.parametrize("path", SERVICE, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_module_says_what_it_is_for(path: Path) -> None:
    assert ast.get_docstring(ast.parse(text_of(path)))


def test_every_route_is_the_houses_own_and_says_what_it_answers() -> None:
    for route in (route for router in ROUTERS for route in router.routes):
        assert isinstance(route, Route), route
        answers = route.endpoint.__annotations__.get("return")
        assert answers is not None or route.response_model is not None, route.name
        # A sum takes microseconds and waits for nothing, so a thread would cost more than it.
        reckons = isinstance(route, RecordlessRoute)
        assert iscoroutinefunction(route.endpoint) == reckons, f"{route.name} would block the loop"
