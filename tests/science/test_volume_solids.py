"""Solids by volume, and the film that they imply."""

from decimal import Decimal

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.results import Standing
from service.science.volume_solids import (
    implied_film_density,
    volume_solids,
    volume_solids_of_film,
)

DENSITIES = st.decimals("0.80", "1.00", places=3)
NARROW = Decimal("1e-20")


@given(DENSITIES, st.decimals(20, 100, places=1), st.decimals("0.75", "0.88", places=3))
def test_solids_from_solvent_and_from_the_implied_film_agree(
    density: Decimal, solid: Decimal, solvent: Decimal
) -> None:
    try:
        found = volume_solids(density, solid, solvent_density_kg_l=solvent)
    except OutOfRange:
        reject()
    film = found.film_density_kg_l
    again = volume_solids_of_film(density, solid, film_density_kg_l=film)
    percent = found.volume_solids_percent_vol
    assert again.volume_solids_percent_vol == pytest.approx(percent, rel=NARROW)
    implied = implied_film_density(density, solid, volume_solids_percent_vol=percent)
    assert implied.film_density_kg_l == pytest.approx(film, rel=NARROW)
    assert implied.solid_g_l == 10 * density * solid


def test_added_volumes_are_an_approximation() -> None:
    found = volume_solids(Decimal("0.905"), Decimal(52), solvent_density_kg_l=Decimal("0.79"))
    assert found.standing is Standing.APPROXIMATE


def test_a_film_larger_than_its_liquid_is_refused() -> None:
    with pytest.raises(OutOfRange, match="more than the liquid did"):
        volume_solids_of_film(Decimal("1.1"), Decimal(100), film_density_kg_l=Decimal(1))


@pytest.mark.parametrize(("solid", "why"), [("10", "more than the litre"), ("20", "is no film")])
def test_figures_that_contradict_each_other_are_refused(solid: str, why: str) -> None:
    with pytest.raises(OutOfRange, match=why) as refused:
        volume_solids(Decimal("0.95"), Decimal(solid), solvent_density_kg_l=Decimal("0.78"))
    assert refused.value.field == "density_kg_l"
