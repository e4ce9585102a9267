"""Flash points, autoignition and planned pours."""

import warnings
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.fire import fire_materials, fire_points, planned_pour, pour_limit

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from chemicals import safety

ZERO_C = 273.15
STANDARDS = ("IEC 60079-20-1 (2010)", "NFPA 497 (2008)")
CAS = {
    "ethanol": "64-17-5",
    "2-propanol": "67-63-0",
    "turpentine": "8006-64-2",
    "dipentene": "138-86-3",
    "kerosene": "8008-20-6",
    "xylene": "1330-20-7",
    "acetone": "67-64-1",
    "methyl ethyl ketone": "78-93-3",
    "toluene": "108-88-3",
    "1-butanol": "71-36-3",
}
boiling = st.decimals(20, 350, places=1)
ignition = st.decimals(100, 700, places=1)


@pytest.mark.parametrize("material", CAS)
def test_the_table_spans_both_standards(material: str) -> None:
    # chemicals 1.5.2 holds IEC 60079-20-1:2010 and NFPA 497:2008.
    cas, found = CAS[material], fire_points(material)
    flash = [safety.T_flash(cas, method=each) for each in STANDARDS]
    ignites = [safety.T_autoignition(cas, method=each) for each in STANDARDS]
    flash, ignites = ([round(k - ZERO_C) for k in each if k] for each in (flash, ignites))
    assert [found.flash_c, found.flash_highest_c] == [min(flash), max(flash)]
    assert [found.autoignition_c, found.autoignition_highest_c] == [min(ignites), max(ignites)]


@pytest.mark.parametrize("material", fire_materials())
def test_no_pour_of_the_table_comes_within_its_margins(material: str) -> None:
    found = fire_points(material)
    if found.hottest_pour_c is not None:
        if found.boils_from_c is None:
            assert "boiling range is not known" in found.notes[-1]
            assert found.hottest_pour_c == (found.autoignition_c or 0) - 50
        else:
            assert found.hottest_pour_c <= found.boils_from_c - 30
        assert found.autoignition_c is not None
        assert found.hottest_pour_c <= found.autoignition_c - 50


def test_spirit_is_poured_at_40_degrees_at_most() -> None:
    assert fire_points("ethanol").hottest_pour_c == 40


def test_oils_are_watched_by_smoke_and_solvents_kept_from_flames() -> None:
    assert "smoke" in fire_points("tung oil").notes[0]
    assert "flame" in fire_points("turpentine").notes[0]


@given(boiling, st.none() | ignition, st.booleans())
def test_the_limit_is_the_lowest_of_its_parts(
    boils: Decimal, ignites: Decimal | None, ethanol: bool
) -> None:
    found = pour_limit(boils, ignites, ethanol=ethanol)
    parts = (found.by_boiling_c, found.by_autoignition_c, found.by_ethanol_c)
    assert found.limit_c == min(part for part in parts if part is not None)


@given(boiling, ignition)
def test_a_pour_at_the_limit_is_allowed_and_above_it_refused(
    boils: Decimal, ignites: Decimal
) -> None:
    limit = pour_limit(boils, ignites).limit_c
    if limit >= -20:
        assert planned_pour(limit, boils, autoignition_c=ignites).below_limit_k == 0
    with pytest.raises(OutOfRange) as refused:
        planned_pour(limit + Decimal("0.1"), boils, autoignition_c=ignites)
    assert refused.value.field == "planned_c"


def test_a_pour_above_the_limit_is_refused_naming_the_limit() -> None:
    with pytest.raises(OutOfRange) as refused:
        planned_pour(Decimal(150), Decimal(150))
    assert "120 °C" in refused.value.hint


def test_a_heavy_solvent_is_not_planned_without_its_autoignition() -> None:
    with pytest.raises(NotApplicable) as refused:
        planned_pour(Decimal(100), Decimal(170))
    assert refused.value.field == "autoignition_c"
    assert "fire-points" in refused.value.hint
    assert "safety data sheet" in refused.value.hint
    assert planned_pour(Decimal(100), Decimal("169.9")).notes[-1].endswith("not checked")
    assert pour_limit(Decimal(170)).notes[-1].endswith("not checked")
    assert planned_pour(Decimal(100), Decimal(170), autoignition_c=Decimal(237)).limit_c == 140


def test_what_was_not_sent_and_would_have_counted_is_told() -> None:
    spirit = planned_pour(Decimal(47), Decimal(78)).notes
    assert any("not checked" in note for note in spirit)
    assert any("40 °C" in note for note in spirit)
    known = planned_pour(Decimal(40), Decimal(78), autoignition_c=Decimal(363), ethanol=True)
    assert len(known.notes) == 1
