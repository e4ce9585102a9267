"""From the arguments of a calculation to its answer; rounding happens here and nowhere before."""

import functools
import re
from collections.abc import Callable, Iterable
from decimal import ROUND_HALF_EVEN, Context, Decimal
from types import NoneType
from typing import Any

from service.calculations.bodies import CalculationOut, Finding
from service.calculations.catalogue import Calculation
from service.calculations.inputs import given_to, is_record
from service.science.names import named_unit
from service.science.results import Estimate, Standing
from service.science.rounding import plain
from service.web.fields import In

DIGITS = 12
ROUNDING = f"numbers to at most {DIGITS} significant digits, ties to the even digit"
_SHOWN = Context(prec=DIGITS, rounding=ROUND_HALF_EVEN)
_SOURCED = re.compile(r"tables/|memory|practice|OIML|Directive|CFR|ISO|ASTM|CIE|WELMEC|Regulation")
# What a result says of itself beside its figures.
_ASIDE = {"standing", "why", "notes"}


def answer(one: Calculation, sent: In) -> CalculationOut:
    """Work it out. Raises ScienceError."""
    given = given_to(one.inputs, sent)
    result = one.function(**given)
    figures = figures_of(result, one.words.unit)
    first = next(iter(figures.values()))
    assumed = [name for name in given if name not in sent.model_fields_set]
    return CalculationOut(
        calculation=one.name,
        value=first.value,
        unit=first.unit,
        basis="calculated",
        standing=_standing(one, result).value,
        why=getattr(result, "why", None) or None,
        figures=figures,
        notes=list(getattr(result, "notes", ())),
        given={name: _echo(name, given[name]) for name in given if name not in assumed},
        assumed={
            name: _echo(name, given[name]) for name in assumed if given[name] not in (None, "", ())
        },
        source=one.words.source,
        validity=_validity(one),
        rounding=ROUNDING,
    )


def _standing(one: Calculation, result: Any) -> Standing:
    """What the result says of itself; what rests on a table or a rule is as good as its source."""
    stated: Standing | None = getattr(result, "standing", None)
    if stated is not None:
        return stated
    return Standing.AS_SOURCED if _rests_on_a_source(one) else Standing.EXACT


@functools.cache
def _validity(one: Calculation) -> dict[str, str]:
    return {each.name: each.allowed for each in one.inputs}


@functools.cache
def _rests_on_a_source(one: Calculation) -> bool:
    return _SOURCED.search(one.words.source) is not None


def figures_of(result: Any, unit: str | None) -> dict[str, Finding]:
    """The figures of a result by name, the answer itself first."""
    if isinstance(result, Estimate):
        result = result.value
    if is_record(result):
        found = {
            name: _finding(name, value)
            for name, value in result._asdict().items()
            if name not in _ASIDE
        }
        # A conversion has no unit in its names: it answers in whatever unit was asked for.
        if isinstance(own := getattr(result, "unit", None), str):
            first = next(iter(found))
            found[first] = found[first].model_copy(update={"unit": own})
        return found
    return {"value": Finding(value=shown(result), unit=unit if _is_number(result) else None)}


def _finding(name: str, value: Any) -> Finding:
    unit = named_unit(name).unit
    return Finding(value=shown(value), unit=unit if _is_number(value) else None)


def _is_number(value: Any) -> bool:
    if isinstance(value, tuple):
        return bool(value) and not is_record(value) and all(_is_number(each) for each in value)
    return isinstance(value, Decimal | int) and not isinstance(value, bool)


def shown(value: Any) -> Any:
    """A value as it leaves: numbers as rounded decimal text, records as objects."""
    return _WRITERS[type(value)](value)


class _Writers(dict[type, Callable[[Any], Any]]):
    """How a value of each type is written; found once for a type, as an answer holds hundreds."""

    def __missing__(self, kind: type) -> Callable[[Any], Any]:
        if issubclass(kind, str):
            self[kind] = _as_it_is
        else:
            self[kind] = _record(kind) if is_record(kind) else _list
        return self[kind]


def _as_it_is(value: Any) -> Any:
    return value


def _list(values: Iterable[Any]) -> list[Any]:
    return [_WRITERS[type(each)](each) for each in values]


def _record(kind: Any) -> Callable[[Any], dict[str, Any]]:
    names: tuple[str, ...] = kind._fields

    def write(values: Iterable[Any]) -> dict[str, Any]:
        return {name: _WRITERS[type(each)](each) for name, each in zip(names, values, strict=True)}

    return write


def _rounded(value: Decimal) -> str:
    text = str(value)
    # So few characters are so few digits, and where the last is one it is a number.
    if len(text) <= DIGITS and value and "E" not in text and text[-1].isdigit():
        return text
    rounded = _SHOWN.plus(value)
    # With as many digits as may be shown it is left as it is, its zeros kept.
    if not rounded.same_quantum(value):
        rounded = rounded.normalize(_SHOWN)
    text = str(rounded)
    # Most numbers are plain as they are; the others are made so, or refused.
    return text if rounded and rounded.is_finite() and "E" not in text else plain(rounded)


_WRITERS = _Writers(
    {Decimal: _rounded, str: _as_it_is, bool: _as_it_is, NoneType: _as_it_is, int: str}
)


def _echo(name: str, value: Any) -> Any:
    unit = named_unit(name).unit
    if isinstance(value, Decimal) and unit != "1":
        return {"value": shown(value), "unit": unit}
    return shown(value)


def bare(found: Finding | CalculationOut) -> str | None:
    """A figure as the text of one spreadsheet cell; None where it is no single figure."""
    if isinstance(found.value, bool):
        return "true" if found.value else "false"
    if isinstance(found.value, list):
        words = [each for each in found.value if isinstance(each, str)]
        return "; ".join(words) if len(words) == len(found.value) else None
    return found.value
