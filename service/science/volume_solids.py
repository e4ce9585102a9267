"""Solids by volume, from densities, and the density of the film that they imply."""

from decimal import Decimal
from typing import NamedTuple

from service.science.densities import plausible_density
from service.science.errors import OutOfRange, ScienceError
from service.science.film import film_density
from service.science.ranges import above
from service.science.results import Standing

_VOLUMES_ADD = "volumes are taken to add up, which mixtures do only nearly"


class VolumeSolids(NamedTuple):
    """Solids by volume, and the density of the dry film."""

    volume_solids_percent_vol: Decimal
    film_density_kg_l: Decimal
    standing: Standing
    why: str


class ImpliedFilm(NamedTuple):
    """The density that a dry film must have for three figures of a liquid to be true together."""

    film_density_kg_l: Decimal
    solid_g_l: Decimal


def volume_solids(
    density_kg_l: Decimal, non_volatile_percent: Decimal, *, solvent_density_kg_l: Decimal
) -> VolumeSolids:
    """Work out solids by volume from the density of the liquid and of its solvents.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, above 0 up to 100];
    solvent_density_kg_l [kg/l, 0.6-2.0; of all its solvents together].
    Returns: the volume solids, and the density of the dry film that this implies.
    Raises: OutOfRange for any of them, or if the film implied is not of 0.95-1.20 kg/l, which
    means that one of them is wrong.
    Source: additive volumes, 100 (1 - rho (1 - NV/100) / rho_solvent).

    >>> round(volume_solids(Decimal("0.905"), Decimal(52),
    ...       solvent_density_kg_l=Decimal("0.79")).volume_solids_percent_vol, 2)
    Decimal('45.01')
    """
    density = plausible_density(density_kg_l)
    solid = above(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    solvent = plausible_density(solvent_density_kg_l, "solvent_density_kg_l")
    percent = 100 * (1 - density * (1 - solid / 100) / solvent)
    if percent <= 0:
        raise _contradiction("the solvents alone would fill more than the litre", "density_kg_l")
    film = _possible_film(density * solid / percent, "density_kg_l")
    return VolumeSolids(percent, film, Standing.APPROXIMATE, _VOLUMES_ADD)


def volume_solids_of_film(
    density_kg_l: Decimal, non_volatile_percent: Decimal, *, film_density_kg_l: Decimal
) -> VolumeSolids:
    """Work out solids by volume from the density of the liquid and of its dry film.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, above 0 up to 100];
    film_density_kg_l [kg/l, 0.95-1.2; of the dry film, not of the liquid].
    Returns: the volume solids, and the density they rest on.
    Raises: OutOfRange for any of them, or if the film would fill more than the liquid did.
    Source: mass balance, rho NV / rho_film.

    >>> round(volume_solids_of_film(Decimal("0.905"), Decimal(52),
    ...       film_density_kg_l=Decimal("1.08")).volume_solids_percent_vol, 2)
    Decimal('43.57')
    """
    density = plausible_density(density_kg_l)
    solid = above(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    film = film_density(film_density_kg_l)
    percent = density * solid / film
    if percent > 100:
        raise _contradiction("the dry film would fill more than the liquid did", "density_kg_l")
    return VolumeSolids(percent, film, Standing.THEORETICAL, "no oxygen is taken up in drying")


def implied_film_density(
    density_kg_l: Decimal, non_volatile_percent: Decimal, *, volume_solids_percent_vol: Decimal
) -> ImpliedFilm:
    """Check density, non-volatile and volume solids of a liquid against each other.

    Parameters: density_kg_l [kg/l, 0.6-2.0]; non_volatile_percent [%, above 0 up to 100];
    volume_solids_percent_vol [% v/v, above 0 up to 100; measured or from a data sheet].
    Returns: the density of the dry film that the three imply, and the solid matter in a litre.
    Raises: OutOfRange for any of them, or if the film implied is not of 0.95-1.20 kg/l, which
    means that one of them is wrong.
    Source: mass balance, rho NV / VS; limits common practice for films of oil and resin.

    >>> round(implied_film_density(Decimal("0.905"), Decimal(52),
    ...       volume_solids_percent_vol=Decimal(45)).film_density_kg_l, 3)
    Decimal('1.046')
    """
    density = plausible_density(density_kg_l)
    solid = above(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    name = "volume_solids_percent_vol"
    percent = above(volume_solids_percent_vol, 0, high=100, name=name)
    return ImpliedFilm(_possible_film(density * solid / percent, name), 10 * density * solid)


def _possible_film(implied_kg_l: Decimal, field: str) -> Decimal:
    try:
        return film_density(implied_kg_l)
    except ScienceError:
        raise _contradiction(
            f"a dry film of {implied_kg_l:.3g} kg/l is no film of oil and resin", field
        ) from None


def _contradiction(message: str, field: str) -> OutOfRange:
    return OutOfRange(
        f"the figures contradict each other: {message}",
        "check density, non-volatile and solvent or volume solids: a film has 0.95 to 1.20 kg/l",
        field=field,
    )
