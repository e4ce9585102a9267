"""Refusals carry a slug, what was wrong and what to send."""

import re

import pytest

from service.science.errors import ScienceError


def _kinds() -> list[type[ScienceError]]:
    return [ScienceError, *ScienceError.__subclasses__()]


def _plain() -> list[type[ScienceError]]:
    """Those that are told in words; `Lacking` is told by what is missing."""
    return [kind for kind in _kinds() if kind.__init__ is ScienceError.__init__]


@pytest.mark.parametrize("kind", _plain())
def test_a_refusal_shows_what_was_wrong_and_what_to_send(kind: type[ScienceError]) -> None:
    refused = kind("the unit is missing", "write kg")
    assert str(refused) == "the unit is missing; write kg"
    assert (refused.message, refused.hint) == ("the unit is missing", "write kg")
    assert re.fullmatch("[a-z]+(-[a-z]+)*", refused.code)


def test_every_kind_of_refusal_has_a_slug_of_its_own() -> None:
    assert len({kind.code for kind in _kinds()}) == len(_kinds())


def test_one_refusal_can_carry_a_narrower_slug() -> None:
    assert ScienceError("x", "y", code="formula-malformed").code == "formula-malformed"
    assert ScienceError.code == "science-refused"
