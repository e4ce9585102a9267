"""The heat of a charge and the time of a hot plate."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.heat import (
    HeatedCharge,
    heat_needed,
    heated_materials,
    heating_time,
    usual_heat_capacity,
)

OIL = HeatedCharge(Decimal(1000), Decimal(2))
WAX = HeatedCharge(Decimal(200), Decimal("2.5"), Decimal(180))
warmths = st.decimals(-20, 370, places=1)


@given(st.lists(warmths, min_size=3, max_size=3))
def test_heat_in_stages_is_heat_in_one_go(celsius: list[Decimal]) -> None:
    low, middle, high = sorted(celsius)
    stages = heat_needed([OIL], low, end_c=middle).heat_kj
    stages += heat_needed([OIL], middle, end_c=high).heat_kj
    assert stages == heat_needed([OIL], low, end_c=high).heat_kj


def test_melting_is_told_apart_from_warming() -> None:
    found = heat_needed([OIL, WAX], Decimal(20), end_c=Decimal(70))
    assert found.melting_kj == 36
    assert found.heat_kj == found.warming_kj + found.melting_kj


def test_above_the_ceiling_of_oils_it_is_noted() -> None:
    assert "350" in heat_needed([OIL], Decimal(20), end_c=Decimal(360)).notes[0]
    assert heat_needed([OIL], Decimal(20), end_c=Decimal(350)).notes == ()


def test_cooling_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        heat_needed([OIL], Decimal(280), end_c=Decimal(20))
    assert refused.value.field == "end_c"


def test_nothing_to_heat_is_refused() -> None:
    with pytest.raises(NotApplicable):
        heat_needed([], Decimal(20), end_c=Decimal(70))


@pytest.mark.parametrize(
    ("charge", "field"),
    [
        (HeatedCharge(Decimal(0), Decimal(2)), "mass_g"),
        (HeatedCharge(Decimal(1), Decimal("0.4")), "heat_capacity_kj_kg_k"),
        (HeatedCharge(Decimal(1), Decimal(2), Decimal(401)), "melting_kj_kg"),
    ],
)
def test_a_charge_that_cannot_be_is_blamed_by_its_place(charge: HeatedCharge, field: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        heat_needed([OIL, charge], Decimal(20), end_c=Decimal(70))
    assert refused.value.field == f"charges/1/{field}"


@given(st.decimals(1, 5000, places=0), st.decimals(5, 100, places=0))
def test_the_plate_gives_back_the_heat_asked_of_it(power: Decimal, percent: Decimal) -> None:
    found = heating_time(Decimal(767), power, efficiency_percent=percent)
    assert found.minutes * 60 * found.into_charge_w / 1000 == pytest.approx(Decimal(767))


def test_a_plate_better_or_worse_than_usual_is_noted() -> None:
    time = {
        at: heating_time(Decimal(1), Decimal(1), efficiency_percent=Decimal(at))
        for at in (29, 45, 61)
    }
    assert [bool(found.notes) for found in time.values()] == [True, False, True]


@pytest.mark.parametrize("material", heated_materials())
def test_every_usual_heat_capacity_is_one_that_can_be_reckoned_with(material: str) -> None:
    usual = usual_heat_capacity(material)
    melting = usual.melting_highest_kj_kg or Decimal(0)
    assert usual.lowest_kj_kg_k <= usual.heat_capacity_kj_kg_k <= usual.highest_kj_kg_k
    charge = HeatedCharge(Decimal(1000), usual.heat_capacity_kj_kg_k, melting)
    assert heat_needed([charge], Decimal(20), end_c=Decimal(120)).heat_kj > melting


@pytest.mark.parametrize("percent", ["0.5", "4.9", "100.1"])
def test_an_efficiency_no_plate_has_is_refused_as_a_share_sent_for_it_is(percent: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        heating_time(Decimal(767), Decimal(1500), efficiency_percent=Decimal(percent))
    assert refused.value.field == "efficiency_percent"
