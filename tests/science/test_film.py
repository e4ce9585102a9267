"""Wet film, dry film, and how far a litre goes."""

from decimal import Decimal

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.film import consumption, dry_film, spreading_rate, volume_solids, wet_film

SOLIDS = st.decimals(25, 90, places=1)


@given(SOLIDS, st.decimals(1, 200, places=1))
def test_a_coat_takes_the_wet_film_on_its_area(solids: Decimal, dry: Decimal) -> None:
    taken = consumption(Decimal(1), dry, volume_solids_percent=solids)
    assert taken == pytest.approx(wet_film(dry, solids), rel=Decimal("1e-20"))


@given(st.decimals("0.82", "0.95", places=3), st.decimals(40, 90, places=1))
def test_the_dry_film_is_the_same_by_mass_and_by_volume(density: Decimal, solid: Decimal) -> None:
    try:
        solids = volume_solids(density, solid, solvent_density_kg_l=Decimal("0.78"))
    except OutOfRange:
        reject()
    by_mass = dry_film(100 * density, solid, film_density_kg_l=solids.film_density_kg_l)
    assert by_mass == pytest.approx(solids.percent, rel=Decimal("1e-20"))


@pytest.mark.parametrize("loss", ["100", "101", "-1"])
def test_a_loss_of_all_or_less_than_nothing_is_refused(loss: str) -> None:
    with pytest.raises(OutOfRange):
        spreading_rate(Decimal(50), Decimal(25), loss_percent=Decimal(loss))


@pytest.mark.parametrize("dry", ["0", "2000.1", "NaN"])
def test_a_film_too_thick_or_none_is_refused(dry: str) -> None:
    with pytest.raises(OutOfRange):
        wet_film(Decimal(dry), Decimal(50))


@pytest.mark.parametrize("density", ["0.94", "1.21"])
def test_a_film_of_another_density_is_refused(density: str) -> None:
    with pytest.raises(OutOfRange, match="no film of oil and resin"):
        dry_film(Decimal(60), Decimal(55), film_density_kg_l=Decimal(density))
