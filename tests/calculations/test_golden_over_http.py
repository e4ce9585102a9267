"""The outside check values once more, as a spreadsheet cell and as a script would ask for them."""

from collections.abc import Sequence
from typing import Any, get_args, get_origin, get_type_hints

import pytest

from service.calculations.catalogue import Calculation, calculations
from tests.client import Client
from tests.science.golden_rows import (
    Row,
    check,
    every_row,
    function_of,
    name_of,
    texts_of,
    without_none,
)

BY_FUNCTION = {one.function: one for one in calculations()}
ASKED = [
    pytest.param(BY_FUNCTION[function_of(row)], row, id=name_of(row))
    for _, row in every_row()
    if function_of(row) in BY_FUNCTION
]


def query_of(one: Calculation, row: Row) -> list[tuple[str, str]]:
    """The inputs of a row as they stand in an address."""
    many = {each.name for each in one.inputs if each.many}
    asked: list[tuple[str, str]] = []
    for name, text in texts_of(row).items():
        parts = text.split("+") if name in many else [text]
        asked += [(name, part.replace("@", ":") if _record(one, name) else part) for part in parts]
    return [(name, text) for name, text in asked if text]


def _record(one: Calculation, name: str) -> bool:
    return next(each.record for each in one.inputs if each.name == name)


def body_of(one: Calculation, row: Row) -> dict[str, Any]:
    """The inputs of a row as a body."""
    hints = get_type_hints(one.function)
    named = texts_of(row).items()
    return {name: _json(text, hints[name]) for name, text in named if text}


def _json(text: str, kind: Any) -> Any:
    kind = without_none(kind)
    if get_origin(kind) is Sequence:
        return [_json(each, get_args(kind)[0]) for each in text.split("+") if each]
    if hasattr(kind, "_fields"):
        hints = get_type_hints(kind)
        pairs = zip(hints.items(), text.split("@"), strict=False)
        return {name: _json(part, hint) for (name, hint), part in pairs if part}
    if kind is bool:
        return text == "yes"
    return int(text) if kind is int else text


@pytest.mark.parametrize(("one", "row"), ASKED)
def test_a_cell_gets_the_published_value(visitor: Client, one: Calculation, row: Row) -> None:
    query = [*query_of(one, row), ("as", "value")]
    if row["field"] not in ("", "value"):
        query.append(("figure", row["field"]))
    answer = visitor.get(one.path, params=query)
    if row["expected"] == "refuse":
        assert answer.status_code == 422
        assert answer.json()["errors"][0]["parameter"] in {each.name for each in one.inputs}
        return
    if row["expected"] == "":
        assert answer.json()["type"] == "/problems/no-single-figure"
        return
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "text/plain; charset=utf-8"
    check(_typed(answer.text), row)


def _typed(text: str) -> Any:
    return {"true": True, "false": False}.get(text, text)


@pytest.mark.parametrize(("one", "row"), ASKED)
def test_a_body_gets_the_same(visitor: Client, one: Calculation, row: Row) -> None:
    answer = visitor.post(one.path, body_of(one, row))
    if row["expected"] == "refuse":
        assert answer.status_code == 422
        assert answer.json()["errors"][0]["pointer"].startswith("#/")
        assert answer.json()["errors"][0]["hint"]
        return
    assert answer.status_code == 200, answer.text
    found = answer.json()["figures"].get(row["field"]) or answer.json()
    check(_typed(found["value"]), row)
