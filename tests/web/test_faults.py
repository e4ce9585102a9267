"""Where a payload error points: into what was sent, never at a branch that was only tried."""

from typing import Annotated, Any, Literal

import pytest
from pydantic import BeforeValidator, Field, TypeAdapter, ValidationError

from service.errors import Fault
from service.web.faults import faults_of
from service.web.fields import In, amount, refusal


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


@pytest.mark.parametrize(
    ("kind", "sent", "told"),
    [
        (Annotated[int, Field(ge=0)], -1, "0 is the least that is taken here."),
        (Annotated[int, Field(le=9)], 10, "9 is the most that is taken here."),
        (Annotated[list[int], Field(min_length=1)], [], "0 are too few here: 1 at least."),
        (Annotated[list[int], Field(max_length=1)], [1, 2], "2 are too many here: 1 at most."),
    ],
)
def test_a_bound_is_told_as_a_maker_would(kind: Any, sent: Any, told: str) -> None:
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(kind).validate_python(sent)
    (fault,) = faults_of(caught.value.errors(include_url=False))
    assert fault.detail == told


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ("0 g", "more than 0 and at most 1000000 g is taken."),
        ("2000 kg", "more than 0 and at most 1000 kg is taken."),
        ("9000 lb", "more than 0 and at most 1000000000 mg is taken."),
    ],
)
def test_what_is_taken_is_told_in_the_unit_that_was_sent(sent: str, told: str) -> None:
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(amount("mass", low="0", high="1000000000")).validate_python(sent)
    assert caught.value.errors()[0]["msg"].endswith(told)
