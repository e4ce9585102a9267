"""The viscosity of mixtures, by two rough rules."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.cup_equations import viscosity_in_cup
from service.science.errors import NotApplicable, OutOfRange
from service.science.results import Standing
from service.science.viscosity_mixing import (
    CupPortion,
    Liquid,
    cup_time_of_blend,
    mixture_viscosity,
    thinner_to_cup_time,
    viscosity_rules,
)

LIQUIDS = st.lists(
    st.builds(Liquid, st.decimals("0.1", 9999, places=1), st.decimals("0.3", 100_000, places=2)),
    min_size=2,
    max_size=5,
)
RULES = st.sampled_from(viscosity_rules())
CLOSE = Decimal("1e-9")


@given(LIQUIDS, RULES)
def test_a_mixture_lies_among_its_liquids(liquids: list[Liquid], rule: str) -> None:
    found = mixture_viscosity(liquids, rule).viscosity_mm2_s
    all_of_them = [each.viscosity_mm2_s for each in liquids]
    assert min(all_of_them) * (1 - CLOSE) <= found <= max(all_of_them) * (1 + CLOSE)


@given(LIQUIDS)
def test_the_log_rule_is_never_below_that_of_refutas(liquids: list[Liquid]) -> None:
    found = mixture_viscosity(liquids)
    assert found.by_refutas_mm2_s <= found.by_log_mm2_s * (1 + CLOSE)


@given(LIQUIDS, RULES)
def test_the_order_does_not_matter_nor_the_size_of_the_batch(
    liquids: list[Liquid], rule: str
) -> None:
    found = mixture_viscosity(liquids, rule).viscosity_mm2_s
    larger = [Liquid(7 * each.mass_g, each.viscosity_mm2_s) for each in liquids[::-1]]
    assert mixture_viscosity(larger, rule).viscosity_mm2_s == pytest.approx(found, rel=CLOSE)


def test_the_answer_is_rough_and_says_so() -> None:
    liquids = [Liquid(Decimal(1), Decimal(100)), Liquid(Decimal(1), Decimal(10))]
    found = mixture_viscosity(liquids, "refutas")
    assert found.viscosity_mm2_s == found.by_refutas_mm2_s
    assert found.standing is Standing.APPROXIMATE
    assert "30 %" in found.why
    assert "measure" in found.notes[0]


def test_what_no_rule_holds_for_is_refused_at_its_place() -> None:
    water = Liquid(Decimal(1), Decimal(1))
    with pytest.raises(NotApplicable):
        mixture_viscosity([water])
    with pytest.raises(OutOfRange) as thin:
        mixture_viscosity([water, Liquid(Decimal(1), Decimal("0.2"))])
    assert thin.value.field == "liquids/1/viscosity_mm2_s"
    with pytest.raises(OutOfRange) as rule:
        mixture_viscosity([water, water], "mean")
    assert rule.value.field == "rule"


TIMES = st.decimals(30, 100, places=1)
CUP = "ISO2431-4"


@given(st.lists(st.builds(CupPortion, st.decimals(1, 999), TIMES), min_size=2, max_size=4), RULES)
def test_a_blend_runs_no_slower_or_faster_than_its_portions(
    portions: list[CupPortion], rule: str
) -> None:
    found = cup_time_of_blend(CUP, portions, rule=rule).seconds
    times = [each.seconds for each in portions]
    assert min(times) * (1 - CLOSE) <= found <= max(times) * (1 + CLOSE)


@given(
    st.decimals(1, 9999, places=1),
    st.lists(TIMES, min_size=2, max_size=2, unique=True).map(sorted),
    st.decimals("0.4", 20, places=1),
    RULES,
)
def test_the_thinner_brings_the_mixture_to_the_viscosity_of_the_target(
    mass: Decimal, times: list[Decimal], thinner: Decimal, rule: str
) -> None:
    target, now = times
    found = thinner_to_cup_time(
        CUP, mass, now_s=now, target_s=target, thinner_viscosity_mm2_s=thinner, rule=rule
    )
    parts = [Liquid(mass, found.viscosity_now_mm2_s), Liquid(found.add_g, thinner)]
    mixed = mixture_viscosity(parts, rule).viscosity_mm2_s
    assert mixed == pytest.approx(viscosity_in_cup(CUP, target), rel=CLOSE)
    assert found.add_g * Decimal("0.6") == found.first_from_g < found.first_to_g < found.add_g


def test_thinning_by_cup_is_a_trial_and_says_so() -> None:
    found = thinner_to_cup_time(
        CUP,
        Decimal(1000),
        now_s=Decimal(90),
        target_s=Decimal(40),
        thinner_viscosity_mm2_s=Decimal("1.5"),
    )
    assert found.standing is Standing.APPROXIMATE
    assert "time it again" in found.notes[0]


@pytest.mark.parametrize(
    ("now", "target", "thinner", "field"),
    [
        ("40", "90", "1.5", "target_s"),
        ("40", "40", "1.5", "target_s"),
        ("90", "40", "60", "thinner_viscosity_mm2_s"),
        ("101", "40", "1.5", "now_s"),
        ("90", "29", "1.5", "target_s"),
    ],
)
def test_a_time_or_thinner_that_leads_nowhere_is_refused(
    now: str, target: str, thinner: str, field: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        thinner_to_cup_time(
            CUP,
            Decimal(1000),
            now_s=Decimal(now),
            target_s=Decimal(target),
            thinner_viscosity_mm2_s=Decimal(thinner),
        )
    assert refused.value.field == field


def test_a_portion_the_cup_does_not_measure_is_named_by_its_place() -> None:
    good = CupPortion(Decimal(1), Decimal(50))
    with pytest.raises(OutOfRange) as slow:
        cup_time_of_blend(CUP, [good, CupPortion(Decimal(1), Decimal(120))])
    assert slow.value.field == "portions/1/seconds"
    with pytest.raises(NotApplicable):
        cup_time_of_blend(CUP, [good])
