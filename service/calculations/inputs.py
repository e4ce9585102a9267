"""The types of what a calculation takes, made from the signature of its function."""

import functools
import re
import sys
import typing
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from inspect import Parameter, signature
from operator import attrgetter
from types import NoneType, UnionType
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from pydantic import BeforeValidator, Field, WithJsonSchema, create_model

from service.calculations.docstrings import Range, Said, read
from service.science import units
from service.science.names import named_unit, words
from service.web.fields import In, read_number, read_quantity, refusal, text

MOST = 500  # in one list: a sum is done while others wait
_FOLLOWED = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)\s*[^0-9.,\s].*")
_NOT_SENT: tuple[Any, ...] = (None, "", ())  # what stands for an input that is left out
_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class Input:
    """One input: its name, the kind of one value of it, and what is said of it."""

    name: str
    kind: Any
    said: Said
    many: bool
    default: Any
    choices: tuple[str, ...] = ()

    @property
    def required(self) -> bool:
        return self.default is Parameter.empty

    @property
    def record(self) -> bool:
        """Whether one value of it is a record of several."""
        return is_record(self.kind)

    @property
    def allowed(self) -> str:
        """Unit and range of a number, or the words to choose from."""
        if self.record:
            parts = ", ".join(f"{each.name} [{each.allowed}]" for each in record_inputs(self.kind))
            return f"{'a list, each with ' if self.many else ''}{parts}"
        return f"one of: {', '.join(self.choices)}" if self.choices else self.said.bracket

    @property
    def described(self) -> str:
        """What it is, in which unit, in which range."""
        unit = named_unit(self.name)
        dimension = f"; other units of {unit.dimension} with their unit" if unit.dimension else ""
        more = f"; {self.said.meaning}" if self.said.meaning else ""
        return f"{words(self.name)} [{self.allowed}]{more}{dimension}"


def inputs_of(function: Callable[..., Any]) -> tuple[Input, ...]:
    """The inputs of a function of the science, in the order of its signature."""
    said, hints = read(function).inputs, get_type_hints(function)
    return tuple(
        _input(name, hints[name], said[name], parameter.default, function.__globals__)
        for name, parameter in signature(function).parameters.items()
    )


def _input(name: str, hint: Any, said: Said, default: Any, known: dict[str, Any]) -> Input:
    kind = _without_none(hint)
    many = get_origin(kind) is Sequence
    choices = known[said.choices]() if said.choices else ()
    return Input(name, get_args(kind)[0] if many else kind, said, many, default, choices)


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in (UnionType, typing.Union):
        return next(part for part in get_args(hint) if part is not NoneType)
    return hint


def model_of(title: str, inputs: Sequence[Input]) -> type[In]:
    """The body of a calculation: one field an input, unknown fields refused."""
    made: Any = create_model(title, __base__=In, **{one.name: _field(one) for one in inputs})
    return typing.cast(type[In], made)


def _field(one: Input) -> Any:
    kind = annotation(one)
    if one.many:
        # A type that is known only at run time, from the science's signature.
        several: Any = list[kind]  # type: ignore[valid-type]
        kind = Annotated[several, BeforeValidator(_not_too_many), Field(max_length=MOST)]
    if one.required:
        return (kind, Field(description=one.described))
    if one.default in _NOT_SENT:
        return (kind | None, Field(default=None, description=one.described))
    taken = f"{one.described}; taken as {one.default} where it is not sent"
    return (kind, Field(default=one.default, description=taken))


def annotation(one: Input) -> Any:
    """The type of one value of an input."""
    if one.record:
        return record_model(one.kind)
    if one.kind is Decimal:
        return Annotated[
            Decimal, BeforeValidator(_reader(one.name)), WithJsonSchema(number_schema(one))
        ]
    if one.kind is bool:
        return Annotated[bool, BeforeValidator(_yes_no), WithJsonSchema({"type": "boolean"})]
    if one.kind is int:
        return Annotated[int, BeforeValidator(_whole), WithJsonSchema(number_schema(one))]
    shape: Any = text(200)
    if not one.choices:
        return shape
    spelled = BeforeValidator(_choice(one.choices))
    return Annotated[shape, spelled, WithJsonSchema({"enum": list(one.choices)})]


def number_schema(one: Input) -> dict[str, Any]:
    """The JSON schema of a number with its limits, and of a text where a unit may stand in it."""
    limits = _limits(one.said.range) if one.said.range else {}
    number = {"type": "integer" if one.kind is int else "number", **limits}
    if one.kind is int:
        return number
    unit = named_unit(one.name)
    example = f"1.5 {unit.unit}" if unit.dimension else "1.5"
    return {"anyOf": [number, {"type": "string", "maxLength": 64, "examples": [example]}]}


def _limits(allowed: Range) -> dict[str, float]:
    low = "exclusiveMinimum" if allowed.open_low else "minimum"
    high = "exclusiveMaximum" if allowed.open_high else "maximum"
    found = {low: allowed.low, high: allowed.high}
    return {name: float(limit) for name, limit in found.items() if limit is not None}


def _reader(name: str) -> Callable[[Any], Decimal]:
    unit = named_unit(name)

    def take(value: Any) -> Decimal:
        if unit.dimension is None:
            return read_number(_bare(value, unit.unit))
        return units.convert(read_quantity(value, unit.dimension, unit.unit), unit.unit)

    return take


def _bare(value: Any, unit: str) -> Any:
    """A number whose unit is not convertible may still be written with it: "52 %"."""
    if not isinstance(value, str):
        return value
    bare = value.strip()
    if unit != "1" and bare.endswith(unit):
        return bare.removesuffix(unit).strip()
    if followed := _FOLLOWED.fullmatch(bare):
        where = "a number without a unit" if unit == "1" else f"a number in {unit}"
        raise refusal("unit-not-taken", f"This is {where}.", f"Send {followed[1]} alone.")
    return value


def _choice(choices: Sequence[str]) -> Callable[[Any], Any]:
    """Reads a word of a list however its letters and spaces were typed."""
    known = {_folded(word): word for word in choices}
    return lambda value: known.get(_folded(value), value) if isinstance(value, str) else value


def _folded(word: str) -> str:
    return " ".join(word.casefold().split())


def _not_too_many(value: Any) -> Any:
    if isinstance(value, list) and len(value) > MOST:
        raise refusal("too-many", f"The list has {len(value)}; {MOST} fit.", "Send fewer at once.")
    return value


def _yes_no(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.strip().lower() in _YES_NO:
        return _YES_NO[value.strip().lower()]
    raise refusal("wrong-type", "yes or no is needed here.", "Send true or false.")


def _whole(value: Any) -> int:
    found = read_number(value)
    if found != found.to_integral_value():
        raise refusal("wrong-type", "A whole number is needed here.", "Send 3.")
    return int(found)


def is_record(one: Any) -> bool:
    """Whether it is one of the science's records, or the kind of one: a tuple with named fields."""
    return hasattr(one, "_fields")


@functools.cache
def record_inputs(kind: type) -> tuple[Input, ...]:
    """The fields of a record that a calculation takes many of."""
    said, hints = read(kind).inputs, get_type_hints(kind)
    defaults: dict[str, Any] = getattr(kind, "_field_defaults", {})
    known = vars(sys.modules[kind.__module__])
    return tuple(
        _input(name, hints[name], said[name], defaults.get(name, Parameter.empty), known)
        for name in hints
    )


@functools.cache
def record_model(kind: type) -> type[In]:
    """The body of such a record."""
    return model_of(kind.__name__ + "In", record_inputs(kind))


def given_to(inputs: Sequence[Input], body: In) -> dict[str, Any]:
    """The arguments of the function, records as the science knows them."""
    return {one.name: _argument(one, getattr(body, one.name)) for one in inputs}


def _argument(one: Input, value: Any) -> Any:
    if value is None:
        return one.default
    if not one.record:
        return value
    make = _maker(one.kind)
    return [make(member) for member in value] if one.many else make(value)


@functools.cache
def _maker(kind: Any) -> Callable[[In], Any]:
    """What turns a body into the record that the science knows."""
    fields = record_inputs(kind)
    if len(fields) == 1 or any(field.record or field.default in _NOT_SENT for field in fields):
        return lambda member: kind(**given_to(fields, member))
    # Every field is there: taken in one go, since a body may hold hundreds of records.
    values = attrgetter(*(field.name for field in fields))
    return lambda member: kind._make(values(member))
