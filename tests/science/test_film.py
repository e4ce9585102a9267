"""Wet films and dry films."""

from decimal import Decimal

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.film import coats, dry_film, dry_film_of_wet_film, usual_film, wet_film
from service.science.results import Standing
from service.science.volume_solids import volume_solids

SOLIDS = st.decimals(5, 100, places=1)
THIN = st.decimals(0, 200, places=1)
NARROW = Decimal("1e-20")


@given(st.decimals(1, 500, places=1), SOLIDS, THIN)
def test_the_wet_film_of_a_dry_film_dries_to_it(
    wet: Decimal, solids: Decimal, thin: Decimal
) -> None:
    dry = dry_film_of_wet_film(wet, solids, thinner_percent_vol=thin)
    again = wet_film(dry.dry_um, solids, thinner_percent_vol=thin)
    assert again.wet_um == pytest.approx(wet, rel=NARROW)
    assert dry.dry_um + dry.dried_away_um == pytest.approx(wet, rel=NARROW)


@given(st.decimals("0.82", "0.95", places=3), st.decimals(40, 90, places=1))
def test_the_dry_film_is_the_same_by_mass_and_by_volume(density: Decimal, solid: Decimal) -> None:
    try:
        solids = volume_solids(density, solid, solvent_density_kg_l=Decimal("0.78"))
    except OutOfRange:
        reject()
    by_mass = dry_film(100 * density, solid, film_density_kg_l=solids.film_density_kg_l)
    by_volume = dry_film_of_wet_film(Decimal(100), solids.volume_solids_percent_vol)
    assert by_mass.dry_um == pytest.approx(by_volume.dry_um, rel=NARROW)


def test_a_film_by_sum_is_theoretical() -> None:
    film = dry_film(Decimal(60), Decimal(55), film_density_kg_l=Decimal("1.1"))
    assert film.standing is Standing.THEORETICAL
    assert "oxygen" in film.why
    assert film.notes == ()


def test_the_heaviest_coat_dries_to_no_more_than_the_thickest_film() -> None:
    film = dry_film(Decimal(1900), Decimal(100), film_density_kg_l=Decimal("0.95"))
    assert film.dry_um == 2000


@pytest.mark.parametrize("coat", coats())
def test_a_film_is_noted_where_it_is_unusual_for_the_coat(coat: str) -> None:
    usual = usual_film(Decimal(1000), coat)
    assert not usual.usual
    assert usual.notes[0].endswith(f"usual for: {coat}")
    for um in (usual.thinnest_um, usual.thickest_um):
        assert wet_film(um, Decimal(50), coat=coat).notes == ()
    assert dry_film_of_wet_film(Decimal(2000), Decimal(50), coat=coat).notes == usual.notes


def test_an_unknown_coat_is_refused_by_name() -> None:
    with pytest.raises(OutOfRange) as refused:
        wet_film(Decimal(20), Decimal(50), coat="icing")
    assert refused.value.field == "coat"
    assert "instrument coat" in refused.value.hint


@pytest.mark.parametrize("dry", ["0", "2000.1", "NaN"])
def test_a_film_too_thick_or_none_is_refused(dry: str) -> None:
    with pytest.raises(OutOfRange):
        wet_film(Decimal(dry), Decimal(50))


@pytest.mark.parametrize("density", ["0.94", "1.21"])
def test_a_film_of_another_density_is_refused(density: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        dry_film(Decimal(60), Decimal(55), film_density_kg_l=Decimal(density))
    assert refused.value.field == "film_density_kg_l"
