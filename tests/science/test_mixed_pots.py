"""Rules over pots that hold intermediates, balsams, water and more than one base."""

from decimal import Decimal
from fractions import Fraction

import pytest

from service.science.errors import NotApplicable
from service.science.formulation import Reading, worked
from service.science.pots import Lacking, Substance, weighed_in
from service.science.reactions import soaped
from tests.science.pots_made import (
    ALCOHOL,
    DRIER,
    OIL,
    ROSIN,
    SHELF,
    WATER,
    formula,
    line_by_rule,
    part,
    reagent,
    stage,
)

BASE = Substance("BASE", oil_percent=Decimal(60), resin_percent=Decimal(40))
ELEMI = Substance("ELEMI", "balsam", non_volatile_percent=Decimal(75))


def test_a_drier_counts_the_oil_inside_an_intermediate() -> None:
    alone = line_by_rule(DRIER, "metal", "0.05", (OIL, 64))
    inside = line_by_rule(DRIER, "metal", "0.05", (BASE, 90), (OIL, 10))
    assert inside.mass == alone.mass


def test_what_an_intermediate_is_of_must_be_known() -> None:
    with pytest.raises(Lacking) as found:
        line_by_rule(DRIER, "metal", "0.05", (Substance("MIX"), 90), (OIL, 10))
    assert found.value.missing == (("MIX", "family"),)


@pytest.mark.parametrize(("rule", "on"), [("per-binder", "oil"), ("metal", "oil and resin")])
def test_a_balsam_counts_by_its_resin_alone(rule: str, on: str) -> None:
    balsam = line_by_rule(DRIER, rule, "0.5", (ELEMI, 40), (OIL, 10), on=on)
    resin = line_by_rule(DRIER, rule, "0.5", (ROSIN, 30), (OIL, 10), on=on)
    assert balsam.mass == resin.mass


def test_the_acid_of_an_intermediate_must_be_known() -> None:
    oxide = reagent("ZnO", "100", family="oxide")
    with pytest.raises(Lacking) as found:
        line_by_rule(oxide, "neutralise", 40, (BASE, 90), (ROSIN, 10))
    assert found.value.missing == (("BASE", "acid value"),)


def test_water_in_the_pot_counts_when_a_spirit_is_brought_down() -> None:
    alone = line_by_rule(WATER, "strength", 70, (ALCOHOL, 80))
    beside = line_by_rule(WATER, "strength", 70, (ALCOHOL, 80), (WATER, 20))
    assert float(beside.mass) == pytest.approx(float(alone.mass) - 20)


def test_a_second_base_takes_the_acid_that_the_first_left() -> None:
    lye, potash = (reagent(each, "100", family="base") for each in ("NaOH", "KOH"))
    half = line_by_rule(lye, "neutralise", 50, (ROSIN, 1000)).mass
    rest = line_by_rule(potash, "neutralise", 100, (ROSIN, 1000), (lye, half)).mass
    whole = line_by_rule(potash, "neutralise", 100, (ROSIN, 1000)).mass
    assert float(rest) == pytest.approx(float(whole) / 2)


def test_beside_a_hydroxide_a_carbonate_gives_off_gas_for_the_rest_of_the_acid() -> None:
    acid = Fraction(1000 * 165, 56106)
    lye, potash = (reagent(each, "100", family="base") for each in ("NaOH", "K2CO3"))
    rosin = weighed_in(1, ROSIN, Fraction(1000))
    caustic = weighed_in(2, lye, acid * Fraction("39.997"))
    carbonate = weighed_in(3, potash, acid / 2 * Fraction("138.206"))
    gas = sum(mass for _, mass in soaped([rosin, caustic, carbonate]).left)
    assert float(gas) == pytest.approx(0, abs=0.01)
    assert soaped([rosin, carbonate]).left


def test_an_acid_that_was_measured_in_the_pot_is_that_of_its_oils_too() -> None:
    oil = OIL._replace(acid_value=Decimal(10))
    lines = (part(1, ROSIN, 1, "melt"), part(2, oil, 2))
    shelf = (*(one for one in SHELF if one.name != OIL.name), oil)
    stages = (stage("melt"), stage("cook"))
    done = worked(formula(lines, shelf, *stages, readings=[Reading("cook", Decimal(40))]))
    (after,) = (one for one in done.contents if one.name == oil.name)
    assert after.substance is not None
    assert after.substance.acid_value == 0


def test_insoluble_matter_leaves_where_it_is_strained() -> None:
    lac = Substance("SEEDLAC", "resin", insoluble_percent=Decimal(5))
    lines = (part(1, lac, 1, "dissolve"), part(2, ALCOHOL, 3, "dissolve"))
    stages = (stage("dissolve"), stage("strain"))
    done = worked(formula(lines, (*SHELF, ALCOHOL, lac), *stages))
    assert [(one.what, one.mass) for one in done.left] == [
        ("insoluble of SEEDLAC", Fraction(5, 400))
    ]


def test_what_the_first_base_holds_must_be_known() -> None:
    lye = reagent("NaOH", family="base")._replace(assay_percent=None)
    with pytest.raises(Lacking) as found:
        line_by_rule(reagent("KOH", "90", family="base"), "neutralise", 50, (ROSIN, 9), (lye, 1))
    assert found.value.missing == ((lye.name, "assay"),)


def test_where_the_first_base_took_all_acid_a_second_has_nothing_to_take() -> None:
    lye, potash = (reagent(each, "100", family="base") for each in ("NaOH", "KOH"))
    whole = line_by_rule(lye, "neutralise", 100, (ROSIN, 1000)).mass
    with pytest.raises(NotApplicable, match="no acid left"):
        line_by_rule(potash, "neutralise", 50, (ROSIN, 1000), (lye, whole))
