"""Measured values beside those usual for a material."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.typical_values import compare_with_typical, typical_materials


@pytest.mark.parametrize(
    ("iodine", "plausible", "words"),
    [
        ("160", True, ()),
        ("200", True, ()),
        ("145", True, ("by less than 10 %",)),
        ("144", True, ("by less than 10 %",)),
        ("143.9", False, ("by more than 10 %",)),
        ("220", True, ("by less than 10 %",)),
        ("220.1", False, ("by more than 10 %",)),
    ],
)
def test_an_iodine_value_is_judged_by_ten_percent_of_the_nearer_limit(
    iodine: str, plausible: bool, words: tuple[str, ...]
) -> None:
    found = compare_with_typical("linseed BP", iodine_value=Decimal(iodine))
    assert found.plausible is plausible
    assert len(found.notes) == len(words)
    assert all(word in note for word, note in zip(words, found.notes, strict=True))


@pytest.mark.parametrize(
    ("material", "usual"),
    [
        ("linseed BP", ("up to 4", "188-195", "160-200")),
        ("linseed boiled", ("up to 10", "186 or more", "160 or more")),
        ("walnut", ("195", "140-150")),
        ("gum rosin", ("150-175", "165-185")),
    ],
)
def test_the_usual_ranges_are_shown_as_far_as_they_are_known(
    material: str, usual: tuple[str, ...]
) -> None:
    found = compare_with_typical(material, saponification_value=Decimal(190))
    assert len(found.usual) == len(usual)
    assert all(
        each.endswith(f"value {said}") for each, said in zip(found.usual, usual, strict=True)
    )


def test_where_a_figure_comes_from_is_told() -> None:
    value = Decimal(190)
    assert compare_with_typical("walnut", saponification_value=value).origin == "read"
    assert compare_with_typical("tung", saponification_value=value).origin == "from memory"


def test_a_value_without_a_usual_range_is_told_so() -> None:
    found = compare_with_typical("shellac", iodine_value=Decimal(20))
    assert found.plausible
    assert found.notes == ("no usual iodine value of shellac is known here",)


@pytest.mark.parametrize("material", typical_materials())
@given(acid=st.decimals(0, 250, places=1), iodine=st.decimals(0, 300, places=1))
def test_what_is_not_plausible_is_noted(material: str, acid: Decimal, iodine: Decimal) -> None:
    found = compare_with_typical(material, acid, iodine_value=iodine)
    assert found.plausible != any("more than 10 %" in note for note in found.notes)


def test_nothing_to_compare_is_refused() -> None:
    with pytest.raises(NotApplicable):
        compare_with_typical("tung")


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"acid_value": Decimal(251)}, "acid_value"),
        ({"saponification_value": Decimal(49)}, "saponification_value"),
        ({"iodine_value": Decimal(301)}, "iodine_value"),
    ],
)
def test_a_value_out_of_range_is_refused(values: dict[str, Decimal], field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        compare_with_typical("tung", **values)
    assert refused.value.field == field


def test_an_unknown_material_is_refused_with_the_list() -> None:
    with pytest.raises(OutOfRange) as refused:
        compare_with_typical("whale", Decimal(1))
    assert refused.value.field == "material"
    assert "tung" in refused.value.hint
