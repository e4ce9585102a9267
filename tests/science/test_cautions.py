"""The cautions are data, each with its source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cautions import Ingredient, caution, cautions, rag_caution
from service.science.errors import NotApplicable, OutOfRange
from service.science.results import Standing

ingredients = st.lists(
    st.builds(Ingredient, st.text(max_size=9), st.booleans(), st.booleans()), min_size=1, max_size=6
)


@pytest.mark.parametrize("rule", cautions())
def test_every_caution_says_where_its_wording_comes_from(rule: str) -> None:
    found = caution(rule)
    assert found.source
    assert found.text.endswith(".")


def test_a_limit_stands_in_the_wording() -> None:
    assert "no hotter than 120 °C" in caution("solvent-into-hot-varnish", "120 °C").text


@pytest.mark.parametrize(
    ("rule", "limit", "field"),
    [
        ("no-such-rule", None, "rule"),
        ("oily-rags", "5 g", "limit"),
        ("kettle-headroom", 41 * "9", "limit"),
    ],
)
def test_a_rule_or_a_limit_without_a_wording_is_refused(
    rule: str, limit: str | None, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        caution(rule, limit)
    assert refused.value.field == field


@given(ingredients)
def test_rags_are_spoken_of_for_any_autoxidising_ingredient_added_on_purpose(
    of: list[Ingredient],
) -> None:
    found = rag_caution(of)
    assert found.needed == any(each.autoxidising and each.on_purpose for each in of)
    assert found.needed == bool(found.because) == bool(found.text)
    assert found.needed != any("nothing was tested" in note for note in found.notes)
    assert found.standing is Standing.CONVENTION
    assert found.why


def test_the_caution_does_not_lapse_by_adding_something() -> None:
    oil, rosin = Ingredient("walnut oil", True), Ingredient("rosin", False)
    assert rag_caution([oil, rosin]).text == caution("oily-rags").text


def test_no_ingredients_have_no_answer() -> None:
    with pytest.raises(NotApplicable):
        rag_caution([])
