"""VOC content of liquids put together, and thinner up to a limit."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.voc_mixing import (
    MeasuredOut,
    definitions,
    thinner_to_voc_limit,
    voc_of_mixture,
)

CONTENTS = st.decimals(0, 900, places=1)
LITRES = st.decimals("0.1", 50, places=2)
NARROW = Decimal("1e-18")


@given(LITRES, CONTENTS, CONTENTS, st.decimals(1, 900, places=1))
def test_the_thinner_brings_the_mixture_to_the_limit(
    volume: Decimal, now: Decimal, thinner: Decimal, limit: Decimal
) -> None:
    assume(min(now, thinner) < limit < max(now, thinner))
    found = thinner_to_voc_limit(
        volume, now, thinner_content_g_l=thinner, limit_g_l=limit, definition="of material"
    )
    parts = [MeasuredOut(volume, now), MeasuredOut(found.thinner_l, thinner)]
    mixed = voc_of_mixture(parts, "of material")
    assert mixed.content_g_l == pytest.approx(limit, rel=NARROW)
    assert mixed.volume_l == found.total_l
    assert found.at_most is (now < limit)
    assert "stay well below" in found.notes[0]


@given(st.lists(st.builds(MeasuredOut, LITRES, CONTENTS), min_size=2, max_size=5))
def test_a_mixture_lies_among_its_liquids_and_keeps_their_voc(liquids: list[MeasuredOut]) -> None:
    found = voc_of_mixture(liquids, definitions()[0])
    contents = [each.content_g_l for each in liquids]
    assert min(contents) - NARROW <= found.content_g_l <= max(contents) + NARROW
    assert found.voc_g == sum(each.volume_l * each.content_g_l for each in liquids)
    assert found.definition == "ready to use"


@pytest.mark.parametrize(
    ("now", "thinner", "definition", "why"),
    [
        ("300", "350", "of material", "any amount"),
        ("500", "450", "of material", "no amount"),
        ("300", "0", "less water and exempt", "do not change"),
    ],
)
def test_a_thinner_that_has_no_answer_says_why(
    now: str, thinner: str, definition: str, why: str
) -> None:
    with pytest.raises(NotApplicable, match=why) as refused:
        thinner_to_voc_limit(
            Decimal(1),
            Decimal(now),
            thinner_content_g_l=Decimal(thinner),
            limit_g_l=Decimal(400),
            definition=definition,
        )
    assert refused.value.field == "thinner_content_g_l"


def test_a_content_without_its_definition_is_refused() -> None:
    parts = [MeasuredOut(Decimal(1), Decimal(300)), MeasuredOut(Decimal(1), Decimal(3000))]
    with pytest.raises(OutOfRange) as unnamed:
        voc_of_mixture(parts, "VOC")
    assert unnamed.value.field == "definition"
    with pytest.raises(OutOfRange) as impossible:
        voc_of_mixture(parts, "of material")
    assert impossible.value.field == "liquids/1/content_g_l"
    with pytest.raises(NotApplicable):
        voc_of_mixture(parts[:1], "of material")
