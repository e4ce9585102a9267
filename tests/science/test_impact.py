"""The energy of falling masses, beside pint 0.25.3."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.impact import ImpactDrop, impact_energy, impact_resistance

UNITS: "pint.UnitRegistry[float]" = pint.UnitRegistry()
MASSES = st.decimals("0.1", 20, places=2)
HEIGHTS = st.decimals("0.01", 5, places=2)
TWICE = Decimal(2)


@given(MASSES, HEIGHTS)
def test_every_unit_is_what_pint_makes_of_the_fall(mass: Decimal, height: Decimal) -> None:
    fall = float(mass) * UNITS.kg * UNITS.standard_gravity * float(height) * UNITS.m
    found = impact_energy(mass, height)
    for energy, unit in (
        (found.energy_j, "J"),
        (found.energy_in_lbf, "inch * pound_force"),
        (found.energy_kgf_cm, "kilogram_force * centimeter"),
    ):
        assert float(energy) == pytest.approx(fall.to(unit).magnitude, rel=1e-12)


@given(st.decimals("0.1", 10, places=2), st.decimals("0.01", "2.5", places=2))
def test_twice_the_mass_is_as_much_as_twice_the_height(mass: Decimal, height: Decimal) -> None:
    assert impact_energy(mass * TWICE, height) == impact_energy(mass, height * TWICE)


def drops(*heights: str, cracked: bool) -> list[ImpactDrop]:
    return [ImpactDrop(Decimal(1), Decimal(height), cracked) for height in heights]


def test_five_whole_and_one_crack_above_leave_nothing_open() -> None:
    found = impact_resistance(drops(*["0.4"] * 5, cracked=False) + drops("0.5", cracked=True))
    assert found.passed_j == impact_energy(Decimal(1), Decimal("0.4")).energy_j
    assert found.passed_kgf_cm == 40
    assert found.drops == 6
    assert len(found.notes) == 1


@pytest.mark.parametrize(
    ("impacts", "note"),
    [
        (drops(*["0.4"] * 5, cracked=False), "stands more than was tried"),
        (drops("0.4", cracked=True), "go lower"),
        (drops("0.4", cracked=True) + drops("0.5", cracked=False), "repeat near the threshold"),
        (drops("0.3", cracked=False) + drops("0.5", cracked=True), "1 of 5 drops"),
    ],
)
def test_what_the_drops_leave_open_is_said(impacts: list[ImpactDrop], note: str) -> None:
    assert any(note in each for each in impact_resistance(impacts).notes)


def test_a_height_that_sometimes_cracks_has_not_passed() -> None:
    found = impact_resistance(drops("0.4", cracked=False) + drops("0.4", cracked=True))
    assert (found.passed_j, found.passed_in_lbf, found.passed_kgf_cm) == (None, None, None)


def test_the_drop_at_fault_is_named() -> None:
    with pytest.raises(OutOfRange) as refused:
        impact_resistance([*drops("0.4", cracked=False), ImpactDrop(Decimal(21), TWICE, True)])
    assert refused.value.field == "impacts/1/mass_kg"
    with pytest.raises(NotApplicable):
        impact_resistance([])
