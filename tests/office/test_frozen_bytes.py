"""Frozen bytes are those of RFC 8785, whichever way they were spelled."""

from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from service.office.documents.rules import freeze

NUMBERS = st.integers(-(2**53) + 1, 2**53 - 1) | st.floats(allow_nan=False, allow_infinity=False)
TEXTS = st.text() | st.text('\u2028\x7f\x00"\\/é€\ud7ff\ue000\uffff\U0001f600', max_size=6)
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)


@given(st.dictionaries(TEXTS, VALUES, max_size=5))
def test_they_are_the_canonical_form_for_any_content(content: dict[str, Any]) -> None:
    assert freeze(content).canonical == rfc8785.dumps(content)


@pytest.mark.parametrize(
    ("content", "canonical"),
    # RFC 8785, 3.2.2.3 (numbers) and 3.2.3 (names sort as UTF-16: the first of these two is
    # below the second only so).
    [
        ({"n": 333333333.3333333, "m": 1e30}, b'{"m":1e+30,"n":333333333.3333333}'),
        ({"\ue000": 1, "\U0001f600": 2}, '{"\U0001f600":2,"\ue000":1}'.encode()),
    ],
)
def test_what_the_standard_library_spells_otherwise_is_spelled_by_the_rule(
    content: dict[str, Any], canonical: bytes
) -> None:
    assert freeze(content).canonical == canonical
