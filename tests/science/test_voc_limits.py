"""Legal limits of VOC content, and comparisons that judge nothing."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.voc_limits import (
    EuComparison,
    UsComparison,
    eu_carriers,
    eu_subcategories,
    eu_voc_comparison,
    eu_voc_limit,
    us_categories,
    us_voc_comparison,
    us_voc_limit,
)

JUDGING = ("compl", "approv", "permitted", "legal to", "allowed", "certif", "pass")
US_GALLON = Decimal("3.785")


def eu(solid: str) -> EuComparison:
    percent = Decimal(solid)
    return eu_voc_comparison("e", density_kg_l=Decimal("0.905"), non_volatile_percent=percent)


def us(less_water: Decimal, container: Decimal = US_GALLON) -> UsComparison:
    return us_voc_comparison(["varnish"], container, voc_less_water_exempt_g_l=less_water)


@pytest.mark.parametrize("compared", [eu("52"), eu("58"), us(Decimal(440)), us(Decimal(460))])
def test_a_comparison_judges_nothing_and_says_what_it_left_open(
    compared: EuComparison | UsComparison,
) -> None:
    said = " ".join((compared.finding, *compared.not_decided, *compared.notes)).lower()
    assert not [word for word in JUDGING if word in said]
    assert compared.finding.split(" ")[0] in ("within", "above")
    assert compared.limit_named
    assert "a competent person must check" in said
    assert "local law prevails" in said
    assert len(compared.not_decided) == 3


def test_instruments_and_furniture_are_not_decided() -> None:
    assert "instruments and furniture are not decided" in eu("52").not_decided[0]


@given(st.sampled_from(eu_subcategories()), st.sampled_from(eu_carriers()))
def test_the_second_phase_is_never_the_looser_one(subcategory: str, carrier: str) -> None:
    first = eu_voc_limit(subcategory, carrier, phase=1)
    assert eu_voc_limit(subcategory, carrier).limit_g_l <= first.limit_g_l


@given(st.lists(st.sampled_from(us_categories()), min_size=1, max_size=4))
def test_several_claims_come_under_a_limit_of_one_of_them(claimed: list[str]) -> None:
    limits = {us_voc_limit([each], US_GALLON).limit_g_l for each in claimed}
    together = us_voc_limit(claimed, US_GALLON)
    assert together.limit_g_l in limits
    assert together.limit_named.endswith(tuple(claimed))


def test_of_several_claims_the_strictest_rules_but_for_lacquer_on_wood() -> None:
    def of(*claimed: str) -> Decimal | None:
        return us_voc_limit(claimed, US_GALLON).limit_g_l

    assert of("varnish", "sealer", "shellac, clear") == 400
    assert of("lacquer", "varnish") == 680
    assert of("lacquer", "stain, opaque") == 350
    assert of("lacquer", "faux finish or glaze") == 680
    assert of("lacquer", "faux finish or glaze", "sealer") == 400
    assert of("lacquer") == 680


@pytest.mark.parametrize("litres", ["0.05", "1"])
def test_a_small_container_has_no_limit_to_compare_with(litres: str) -> None:
    found = us(Decimal(900), Decimal(litres))
    assert found.finding == "not applicable (container of one litre or less)"
    assert (found.within_limit, found.compared_g_l, found.limit_g_l) == (None, None, None)
    low = us_voc_comparison(
        ["stain, low solids"], Decimal(litres), voc_less_water_exempt_g_l=Decimal(900)
    )
    assert low.within_limit is None


def test_nothing_is_rounded_before_it_is_compared() -> None:
    assert us(Decimal(450)).within_limit is True
    assert us(Decimal("450.000001")).within_limit is False


@pytest.mark.parametrize(
    ("material", "solid", "field"),
    [
        (None, "100", "voc_of_material_g_l"),
        ("110", None, "solid_g_l"),
        ("110", "120.1", "solid_g_l"),
    ],
)
def test_low_solids_need_the_content_of_material_and_few_solids(
    material: str | None, solid: str | None, field: str
) -> None:
    with pytest.raises(NotApplicable) as refused:
        us_voc_comparison(
            ["stain, low solids"],
            US_GALLON,
            voc_less_water_exempt_g_l=Decimal(500),
            voc_of_material_g_l=None if material is None else Decimal(material),
            solid_g_l=None if solid is None else Decimal(solid),
        )
    assert refused.value.field == field


def test_low_solids_are_compared_by_their_content_of_material() -> None:
    found = us_voc_comparison(
        ["stain, low solids"],
        US_GALLON,
        voc_less_water_exempt_g_l=Decimal(500),
        voc_of_material_g_l=Decimal(119),
        solid_g_l=Decimal(120),
    )
    assert found.compared_g_l == 119
    assert found.definition == "of material"


def test_what_stands_in_no_table_is_refused_by_name() -> None:
    for call, field in (
        (lambda: eu_voc_limit("z"), "subcategory"),
        (lambda: eu_voc_limit("e", "oil"), "carrier"),
        (lambda: eu_voc_limit("e", phase=3), "phase"),
        (lambda: us_voc_limit(["varnish", "jam"], US_GALLON), "categories/1"),
        (lambda: us_voc_limit(["varnish"], Decimal(0)), "container_l"),
    ):
        with pytest.raises(OutOfRange) as refused:
            call()
        assert refused.value.field == field
    with pytest.raises(NotApplicable):
        us_voc_limit([], US_GALLON)
