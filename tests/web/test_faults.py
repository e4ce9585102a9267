"""Where a payload error points: into what was sent, never at a branch that was only tried."""

from typing import Annotated, Any, Literal

import pytest
from pydantic import BeforeValidator, Field, TypeAdapter, ValidationError

from service.errors import Fault
from service.web.faults import faults_of
from service.web.fields import In, refusal


class WeighedIn(In):
    weighed: int


class PouredIn(In):
    poured: int


class Named(In):
    kind: Literal["named"]
    named: int


class Counted(In):
    kind: Literal["counted"]
    counted: int


def refuse(value: Any) -> Any:
    raise refusal("bad-thing", "{Braces} are words.", "Send none.", below=("deep", 0))


class Body(In):
    either: WeighedIn | PouredIn | int | None = None
    tagged: Annotated[Named | Counted, Field(discriminator="kind")] | None = None
    many: dict[str, int] = {}
    rows: list[WeighedIn] = []
    own: Annotated[Any, BeforeValidator(refuse)] = None


def faults(body: Any) -> list[Fault]:
    """The faults of a body, as the service finds them."""
    with pytest.raises(ValidationError) as found:
        TypeAdapter(Body).validate_python(body)
    errors = [{**e, "loc": ("body", *e["loc"])} for e in found.value.errors()]
    return list(faults_of(errors, body))


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({"either": {"weighed": "x"}}, {"#/either/weighed", "#/either/poured", "#/either"}),
        ({"tagged": {"kind": "named", "named": "x"}}, {"#/tagged/named"}),
        ({"tagged": {"kind": "counted"}}, {"#/tagged/counted"}),
        ({"many": {"str": "x", "int": "x", "In": "x"}}, {"#/many/str", "#/many/int", "#/many/In"}),
        ({"many": {"a/b~c": "x"}}, {"#/many/a~1b~0c"}),
        ({"rows": [{"weighed": 1}, {"weighed": "x"}]}, {"#/rows/1/weighed"}),
        ({"WeighedIn": 1}, {"#/WeighedIn"}),
        ({"own": 1}, {"#/own/deep/0"}),
        ([], {"#"}),
    ],
)
def test_a_fault_points_at_what_was_sent(body: Any, pointers: set[str]) -> None:
    assert {fault.pointer for fault in faults(body)} <= pointers
    assert {fault.pointer for fault in faults(body)} & pointers


def test_a_fault_tells_names_in_part_and_values_not_at_all() -> None:
    found = faults({"n" * 5_000: "secret", "many": {"k": "secret"}})
    assert all(len(fault.pointer or "") < 200 for fault in found)
    assert "secret" not in repr(found)


def test_at_most_fifty_faults_are_told() -> None:
    assert len(faults({"many": {str(n): "x" for n in range(500)}})) == 50


def test_braces_in_a_refusal_are_words() -> None:
    assert faults({"own": 1})[0].detail == "{Braces} are words."
