"""No number and no text makes a calculation hang, overflow, crash or answer what is no number."""

import json
import math
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.calculations.answers import figures_of
from service.calculations.catalogue import Calculation, calculations
from service.calculations.inputs import Input, record_inputs
from service.science.errors import ScienceError
from tests.client import Client
from tests.science.golden_rows import arguments_of, every_row, function_of

KNOWN: dict[Any, list[dict[str, Any]]] = {}
for _, _row in every_row():
    KNOWN.setdefault(function_of(_row), []).append(arguments_of(_row))

NUMBERS = st.one_of(
    st.floats().map(lambda value: Decimal(repr(value))),
    st.decimals(allow_nan=True, allow_infinity=True),
    st.integers(-(10**30), 10**30).map(Decimal),
    st.decimals(-400, 1000, places=3, allow_nan=False),
    st.sampled_from([Decimal("1e999999"), Decimal("-1e-999999"), Decimal("sNaN"), Decimal("-0")]),
)


def values(each: Input) -> st.SearchStrategy[Any]:
    """Anything that may be handed to an input, fit or not."""
    if each.record:
        one: st.SearchStrategy[Any] = st.builds(
            each.kind, **{inner.name: values(inner) for inner in record_inputs(each.kind)}
        )
    elif each.kind is Decimal:
        one = NUMBERS
    elif each.kind is int:
        one = st.integers(-(10**6), 10**6) | st.integers()
    elif each.kind is bool:
        one = st.booleans()
    else:
        one = st.text(max_size=40) | st.sampled_from([*each.choices, "H2O", "Zn(((", "A1" * 10])
    one = st.lists(one, max_size=6) if each.many else one
    return one | st.none() if each.default is None else one


def arguments(one: Calculation) -> st.SearchStrategy[dict[str, Any]]:
    """Wild arguments, or good ones with some replaced, which get further in."""
    wild = st.fixed_dictionaries({each.name: values(each) for each in one.inputs})
    good = st.sampled_from(KNOWN[one.function])
    bent = st.fixed_dictionaries({}, optional={each.name: values(each) for each in one.inputs})
    return wild | st.tuples(good, bent).map(lambda pair: {**pair[0], **pair[1]})


def numbers_in(shown: Any) -> Iterator[str]:
    """Every text in an answer that could be a number."""
    if isinstance(shown, list):
        for each in shown:
            yield from numbers_in(each)
    elif isinstance(shown, dict):
        for each in shown.values():
            yield from numbers_in(each)
    elif isinstance(shown, str):
        yield shown


def outcome(one: Calculation, given_: dict[str, Any]) -> Any:
    """What comes of it: a result or a refusal."""
    try:
        return one.function(**given_)
    except ScienceError as refusal:
        return refusal


def tried(one: Calculation, given_: dict[str, Any]) -> None:
    found = outcome(one, given_)
    if isinstance(found, ScienceError):
        assert found.message
        assert found.hint
        assert found.field.split("/")[0] in {each.name for each in one.inputs}
        return
    sent = json.loads(json.dumps(given_, default=_told))
    echoed = {text.strip().lower() for text in numbers_in(sent)}
    for name, finding in figures_of(found, one.words.unit).items():
        texts = {text.lower() for text in numbers_in(finding.value)} - echoed
        assert not texts & {"nan", "snan", "infinity", "-infinity", "inf"}, name


def _told(value: Any) -> Any:
    """A number as no text at all, so that only words that were sent count as echoed."""
    assert isinstance(value, Decimal), value
    return None


def run(one: Calculation, examples: int) -> None:
    @settings(
        max_examples=examples,
        deadline=5000,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(arguments(one))
    def attempt(given_: dict[str, Any]) -> None:
        tried(one, given_)

    attempt()


ALL = pytest.mark.parametrize("one", calculations(), ids=lambda one: one.name)


@ALL
def test_nothing_sent_breaks_it(one: Calculation) -> None:
    run(one, 40)


@ALL
@pytest.mark.long
def test_nothing_sent_breaks_it_ten_thousand_times(one: Calculation) -> None:
    run(one, 10_000)


HOSTILE = ["NaN", "Infinity", "1e999", "", " ", "-", "0x10", "١٢", "1,5", "1" * 400, "\u0000", "½"]


@ALL
def test_hostile_texts_over_http_are_refused_with_a_problem(
    visitor: Client, one: Calculation
) -> None:
    for text in HOSTILE:
        body = {each.name: [text] if each.many else text for each in one.inputs}
        answer = visitor.post(one.path, body)
        assert answer.status_code in (200, 400, 422), answer.text
        query = visitor.get(one.path, params={each.name: text for each in one.inputs})
        assert query.status_code in (200, 400, 422), query.text
    raw = json.dumps({one.inputs[0].name: math.inf}) if one.inputs else "[]"
    headers = {"Content-Type": "application/json"}
    assert visitor.request("POST", one.path, content=raw, headers=headers).status_code in (400, 422)
