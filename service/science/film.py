"""From wet film to dry film, and how far a litre goes."""

from dataclasses import dataclass
from decimal import Decimal

from service.science.densities import plausible_density
from service.science.errors import OutOfRange
from service.science.ranges import positive, within

_LOWEST_FILM_DENSITY = Decimal("0.95")
_HIGHEST_FILM_DENSITY = Decimal("1.20")
_THICKEST_UM = Decimal(2000)


@dataclass(frozen=True, slots=True)
class VolumeSolids:
    """Solids by volume in %, and the density of the dry film in kg/l that this implies."""

    percent: Decimal
    film_density_kg_l: Decimal


def dry_film(
    wet_g_m2: Decimal, non_volatile_percent: Decimal, *, film_density_kg_l: Decimal
) -> Decimal:
    """Work out the dry film a weighed coat leaves, in µm.

    Parameters: wet_g_m2 [g/m2, above 0]; non_volatile_percent [%, above 0 up to 100];
    film_density_kg_l [kg/l, 0.95-1.20].
    Raises: OutOfRange for any of them, or for a film over 2000 µm.
    Source: mass balance, 1 g/m2 of 1 kg/l being 1 µm; oxygen taken up is not in it.

    >>> round(dry_film(Decimal(60), Decimal(55), film_density_kg_l=Decimal("1.10")), 1)
    Decimal('30.0')
    """
    solid = positive(wet_g_m2, "wet coat in g/m2") * _percent(non_volatile_percent, "non-volatile")
    return _thickness(solid / 100 / _film_density(film_density_kg_l))


def volume_solids(
    density_kg_l: Decimal, non_volatile_percent: Decimal, *, solvent_density_kg_l: Decimal
) -> VolumeSolids:
    """Work out solids by volume from densities, in %.

    Parameters: density_kg_l, solvent_density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%,
    above 0 up to 100].
    Raises: OutOfRange for any of them, or if the film implied is not of 0.95-1.20 kg/l, which
    means that one of them is wrong.
    Source: additive volumes, 100 (1 - rho (1 - NV/100) / rho_solvent).

    >>> round(volume_solids(Decimal("0.905"), Decimal(52),
    ...                     solvent_density_kg_l=Decimal("0.79")).percent, 2)
    Decimal('45.01')
    """
    density = plausible_density(density_kg_l)
    solid = _percent(non_volatile_percent, "non-volatile")
    solvent = plausible_density(solvent_density_kg_l)
    percent = _percent(100 * (1 - density * (1 - solid / 100) / solvent), "volume solids")
    return VolumeSolids(percent, _film_density(density * solid / percent))


def volume_solids_from_film(
    density_kg_l: Decimal, non_volatile_percent: Decimal, *, film_density_kg_l: Decimal
) -> Decimal:
    """Work out solids by volume from the density of the dry film, in %.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, above 0 up to 100];
    film_density_kg_l [kg/l, 0.95-1.20].
    Raises: OutOfRange for any of them. Source: mass balance, rho NV / rho_film.

    >>> round(volume_solids_from_film(Decimal("0.905"), Decimal(52),
    ...                               film_density_kg_l=Decimal("1.08")), 2)
    Decimal('43.57')
    """
    solid = _percent(non_volatile_percent, "non-volatile")
    volume = plausible_density(density_kg_l) * solid / _film_density(film_density_kg_l)
    return _percent(volume, "volume solids")


def wet_film(
    dry_um: Decimal, volume_solids_percent: Decimal, *, thinner_percent: Decimal = Decimal(0)
) -> Decimal:
    """Work out the wet film that dries to a thickness, in µm.

    Parameters: dry_um [µm, above 0 up to 2000]; volume_solids_percent [%, above 0 up to 100];
    thinner_percent [% of the volume, 0-1000, added before use].
    Raises: OutOfRange for any of them. Source: volume balance, DFT (100 + T) / VS.

    >>> wet_film(Decimal(28), Decimal(35))
    Decimal('80')
    """
    within(thinner_percent, 0, high=1000, what="thinner in % of the volume")
    solids = _percent(volume_solids_percent, "volume solids")
    return _thickness(dry_um) * (100 + thinner_percent) / solids


def spreading_rate(
    volume_solids_percent: Decimal, dry_um: Decimal, *, loss_percent: Decimal = Decimal(0)
) -> Decimal:
    """Work out how far a litre goes, in m2/l; theoretical with no loss.

    Parameters: volume_solids_percent [%, above 0 up to 100]; dry_um [µm, above 0 up to 2000];
    loss_percent [%, 0 to below 100].
    Raises: OutOfRange for any of them. Source: volume balance, 10 VS / DFT.

    >>> spreading_rate(Decimal(50), Decimal(25))
    Decimal('20')
    """
    kept = _percent(100 - loss_percent, "share kept after losses")
    solids = _percent(volume_solids_percent, "volume solids")
    return 10 * solids / _thickness(dry_um) * kept / 100


def consumption(
    area_m2: Decimal,
    dry_um: Decimal,
    *,
    volume_solids_percent: Decimal,
    loss_percent: Decimal = Decimal(0),
) -> Decimal:
    """Work out what a coat takes, in ml.

    Parameters: area_m2 [m2, above 0]; dry_um [µm, above 0 up to 2000]; volume_solids_percent
    [%, above 0 up to 100]; loss_percent [%, 0 to below 100].
    Raises: OutOfRange for any of them. Source: volume balance, as `spreading_rate`.

    >>> consumption(Decimal(2), Decimal(25), volume_solids_percent=Decimal(50))
    Decimal('100')
    """
    rate = spreading_rate(volume_solids_percent, dry_um, loss_percent=loss_percent)
    return 1000 * positive(area_m2, "area in m2") / rate


def _percent(value: Decimal, what: str) -> Decimal:
    positive(value, f"{what} in %")
    return within(value, 0, high=100, what=f"{what} in %")


def _thickness(um: Decimal) -> Decimal:
    positive(um, "film in µm")
    return within(um, 0, high=_THICKEST_UM, what="film in µm")


def _film_density(kg_l: Decimal) -> Decimal:
    if not _LOWEST_FILM_DENSITY <= kg_l <= _HIGHEST_FILM_DENSITY:
        raise OutOfRange(
            f"a dry film of {kg_l:.3f} kg/l is no film of oil and resin",
            "check density, non-volatile and solvent: a film has 0.95 to 1.20 kg/l",
        )
    return kg_l
