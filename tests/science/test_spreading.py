"""How far a litre goes, and how much a coat takes."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import OutOfRange
from service.science.film import wet_film
from service.science.results import Standing
from service.science.spreading import consumption, methods, spreading_rate, usual_loss

SOLIDS = st.decimals(5, 100, places=1)
FILMS = st.decimals(1, 200, places=1)
LOSSES = st.decimals(0, 99, places=1)
NARROW = Decimal("1e-20")
UNITS: "pint.UnitRegistry[float]" = pint.UnitRegistry()


@given(SOLIDS, FILMS)
def test_a_coat_without_loss_takes_the_wet_film_on_its_area(solids: Decimal, dry: Decimal) -> None:
    taken = consumption(Decimal(1), dry, volume_solids_percent_vol=solids)
    assert taken.volume_ml == pytest.approx(wet_film(dry, solids).wet_um, rel=NARROW)
    assert taken.lost_ml == 0


@given(SOLIDS, FILMS, LOSSES)
def test_what_is_taken_covers_the_area_at_the_rate(
    solids: Decimal, dry: Decimal, loss: Decimal
) -> None:
    rate = spreading_rate(solids, dry, loss_percent=loss)
    taken = consumption(Decimal(3), dry, volume_solids_percent_vol=solids, loss_percent=loss)
    assert taken.volume_ml / 1000 * rate.spreading_m2_l == pytest.approx(Decimal(3), rel=NARROW)
    assert rate.spreading_m2_l <= rate.without_loss_m2_l


@given(SOLIDS, FILMS)
def test_the_rate_in_us_units_is_that_of_pint(solids: Decimal, dry: Decimal) -> None:
    rate = spreading_rate(solids, dry)
    metric = UNITS.Quantity(float(rate.spreading_m2_l), "m**2/l")
    us = metric.to("ft**2/gallon").magnitude
    assert float(rate.spreading_ft2_per_us_gal) == pytest.approx(us, rel=1e-12)


def test_without_loss_the_rate_is_theoretical_and_with_it_an_approximation() -> None:
    assert spreading_rate(Decimal(50), Decimal(25)).standing is Standing.THEORETICAL
    practical = spreading_rate(Decimal(50), Decimal(25), loss_percent=Decimal(10))
    assert practical.standing is Standing.APPROXIMATE


@pytest.mark.parametrize("method", methods())
def test_a_loss_is_noted_where_it_is_unusual_for_the_method(method: str) -> None:
    usual = usual_loss(method)
    for loss in (usual.lowest_percent, usual.highest_percent):
        rate = spreading_rate(Decimal(50), Decimal(25), loss_percent=loss, method=method)
        assert rate.notes == ()
    noted = consumption(
        Decimal(1), Decimal(25), volume_solids_percent_vol=Decimal(50), method=method
    )
    assert noted.notes[0].endswith(f"usual for: {method}")


@pytest.mark.parametrize("loss", ["100", "101", "-1", "NaN"])
def test_a_loss_of_all_or_less_than_nothing_is_refused(loss: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        spreading_rate(Decimal(50), Decimal(25), loss_percent=Decimal(loss))
    assert refused.value.field == "loss_percent"
