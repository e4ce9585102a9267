"""From the arguments of a calculation to its answer; rounding happens here and nowhere before."""

import functools
import re
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
_AS_IT_IS = frozenset({str, bool, NoneType})


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
    if isinstance(value, Decimal):
        return _rounded(value)
    if value is None or isinstance(value, str | bool):
        return value
    if isinstance(value, int):
        return str(value)
    members = [each if type(each) in _AS_IT_IS else shown(each) for each in value]
    return dict(zip(value._fields, members, strict=True)) if is_record(value) else members


def _rounded(value: Decimal) -> str:
    rounded = _SHOWN.plus(value)
    # With as many digits as may be shown it is left as it is, its zeros kept.
    if not rounded.same_quantum(value):
        rounded = rounded.normalize(_SHOWN)
    text = str(rounded)
    # Most numbers are plain as they are; the others are made so, or refused.
    return text if rounded and rounded.is_finite() and "E" not in text else plain(rounded)


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
