"""What stands at a line of a page, read as what the line asks for."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from pydantic import TypeAdapter, ValidationError

from service.errors import Invalid, Remedy, at
from service.science.rounding import plain
from service.science.units import Quantity
from service.web.faults import faults_of
from service.workshop.batches.actions.entries.desk import Place
from service.workshop.batches.actions.entries.weighings import Portion
from service.workshop.batches.bodies.balance import Grams, Weight
from service.workshop.batches.bodies.pages import WeighedIn
from service.workshop.batches.rules.clocks import TimeUnclear
from service.workshop.batches.rules.netting import Read
from service.workshop.batches.rules.resending import written

_GRAMS: TypeAdapter[Quantity] = TypeAdapter(Grams)
_MASS: TypeAdapter[Quantity] = TypeAdapter(Weight)


def portions(
    line: int, entry: str | WeighedIn | list[WeighedIn], checked_by: str | None
) -> Iterator[tuple[Portion, Place, str | None]]:
    """Each weighing at a line with its place in the body and its time as written."""
    pointer = f"#/lines/{line}"
    if isinstance(entry, str):
        amount = _read(entry, _GRAMS, pointer)

        def long_form(patch: dict[str, Any]) -> Any:
            # A patch on a shorthand would lose the figure.
            return {"lines": {str(line): {"weighed": str(amount), **patch}}}

        yield (
            Portion(Read(amount), line=line, checked_by=checked_by),
            _short(pointer, long_form),
            None,
        )
        return
    several = entry if isinstance(entry, list) else [entry]
    for number, one in enumerate(several):
        if isinstance(entry, list):
            place = Place(f"{pointer}/{number}", _in_list(line, several, number))
        else:
            place = Place(pointer, _in_object(line))
        portion = Portion(
            one.read(one.weighed),
            line=line,
            lot=one.lot,
            balance=one.balance,
            substitute=one.substitute,
            part=number < len(several) - 1,
            checked_by=one.checked_by or checked_by,
        )
        yield portion, place, one.at


def _short(pointer: str, wrap: Callable[[dict[str, Any]], Any]) -> Place:
    return Place(pointer, wrap, spelled_out=False)


def _in_object(line: int) -> Callable[[dict[str, Any]], Any]:
    return lambda patch: {"lines": {str(line): patch}}


def _in_list(
    line: int, several: Sequence[WeighedIn], number: int
) -> Callable[[dict[str, Any]], Any]:
    """A merge patch replaces an array as a whole, so it is written out."""

    def wrap(patch: dict[str, Any]) -> Any:
        sent = [written(one) for one in several]
        sent[number] = {**sent[number], **patch}
        return {"lines": {str(line): sent}}

    return wrap


def as_yield(line: int, entry: Any) -> Quantity:
    """Raises Invalid for anything but a mass with its unit."""
    return _read(_text(line, entry, "the yield"), _MASS, f"#/lines/{line}")


def as_saw(line: int, entry: Any) -> str:
    """Raises Invalid for a weighing."""
    return _text(line, entry, "not weighed")


def _text(line: int, entry: Any, what: str) -> str:
    if isinstance(entry, str):
        return entry
    wrong = f"Line {line} is {what}: a text belongs there."
    raise Invalid(wrong, at(f"#/lines/{line}", wrong, "wrong-type"))


def _read(text: str, kind: TypeAdapter[Quantity], pointer: str) -> Quantity:
    try:
        return kind.validate_python(text)
    except ValidationError as error:
        faults = tuple(
            replace(fault, pointer=pointer) for fault in faults_of(error.errors(include_url=False))
        )
        raise Invalid(f"{pointer}: {faults[0].detail}", faults) from None


def refused_time(unclear: TimeUnclear, place: Place, ways: Callable[[str], Any]) -> Invalid:
    """A time that cannot be taken, each reading of it with the patch that chooses it."""
    remedies = tuple(Remedy(f"it was {text}", ways(text)) for text in unclear.readings)
    faults = at(place.pointer, unclear.detail, unclear.code, hint=unclear.hint, remedies=remedies)
    return Invalid(unclear.detail, faults)


def spelled(cook: Sequence[tuple[Any, ...]]) -> Iterator[tuple[Any, ...]]:
    """The entries of a cook log as they can be sent again."""
    for text, temperature, *remark in cook:
        value: Quantity = temperature
        yield (text, f"{plain(Decimal(value.value))} {value.unit}", *remark)
