"""Wet films and dry films, and what thickness is usual for a coat."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import above, one_of, within
from service.science.results import Standing
from service.science.tables import rows

_LOWEST_FILM_DENSITY = Decimal("0.95")
_HIGHEST_FILM_DENSITY = Decimal("1.20")
_THICKEST_UM = 2000
# No coat of this mass can dry to more than the thickest film.
_HEAVIEST_COAT_G_M2 = 1900
_MOST_THINNER_PERCENT_VOL = 1000
_THEORY = "wood drinks part of the first coat, and drying oils gain oxygen"


class WeighedFilm(NamedTuple):
    """The dry film of a weighed coat, and the solid matter in it."""

    dry_um: Decimal
    solid_g_m2: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class DryFilm(NamedTuple):
    """A dry film, and what of the wet film dried away."""

    dry_um: Decimal
    dried_away_um: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class WetFilm(NamedTuple):
    """A wet film, and the volume solids of the liquid as it was thinned."""

    wet_um: Decimal
    thinned_solids_percent_vol: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class UsualFilm(NamedTuple):
    """Whether a dry film is usual for a kind of coat, and from where to where it usually is."""

    usual: bool
    thinnest_um: Decimal
    thickest_um: Decimal
    notes: tuple[str, ...]


def dry_film(
    wet_g_m2: Decimal,
    non_volatile_percent: Decimal,
    *,
    film_density_kg_l: Decimal,
    coat: str | None = None,
) -> WeighedFilm:
    """Work out the dry film that a weighed coat leaves.

    Parameters: wet_g_m2 [g/m2, above 0 up to 1900]; non_volatile_percent [%, above 0 up to 100];
    film_density_kg_l [kg/l, 0.95-1.2; of the dry film, not of the liquid]; coat [one of
    `coats()`] to compare with what is usual, None for no comparison.
    Returns: the thickness, the solid matter, and a note where the film is unusual for the coat.
    Raises: OutOfRange for any of them.
    Source: mass balance, 1 g/m2 of 1 kg/l being 1 µm.

    >>> round(dry_film(Decimal(60), Decimal(55), film_density_kg_l=Decimal("1.10")).dry_um, 1)
    Decimal('30.0')
    """
    wet = above(wet_g_m2, 0, high=_HEAVIEST_COAT_G_M2, name="wet_g_m2")
    percent = above(non_volatile_percent, 0, high=100, name="non_volatile_percent")
    density = film_density(film_density_kg_l)
    solid = wet * percent / 100
    dry = solid / density
    return WeighedFilm(dry, solid, Standing.THEORETICAL, _THEORY, _notes(dry, coat))


def film_density(film_density_kg_l: Decimal) -> Decimal:
    """Pass on a density that a dry film of oil and resin can have.

    Parameters: film_density_kg_l [kg/l, 0.95-1.2]. Raises: OutOfRange outside.
    Returns: [kg/l] the density. Source: common practice.

    >>> film_density(Decimal("1.08"))
    Decimal('1.08')
    """
    return within(
        film_density_kg_l,
        _LOWEST_FILM_DENSITY,
        high=_HIGHEST_FILM_DENSITY,
        name="film_density_kg_l",
    )


def dry_film_of_wet_film(
    wet_um: Decimal,
    volume_solids_percent_vol: Decimal,
    *,
    thinner_percent_vol: Decimal = Decimal(0),
    coat: str | None = None,
) -> DryFilm:
    """Work out the dry film that a wet film leaves, as read on a wet-film comb.

    Parameters: wet_um [µm, above 0 up to 2000]; volume_solids_percent_vol [% v/v, above 0 up to
    100; before thinning]; thinner_percent_vol [% v/v, 0-1000; volumes added to 100 volumes];
    coat [one of `coats()`] to compare with what is usual, None for no comparison.
    Returns: the thickness, and a note where the film is unusual for the coat.
    Raises: OutOfRange for any of them.
    Source: volume balance, WFT VS / (100 + T).

    >>> dry_film_of_wet_film(Decimal(80), Decimal(35)).dry_um
    Decimal('28')
    """
    wet = above(wet_um, 0, high=_THICKEST_UM, name="wet_um")
    solids = _thinned_solids(volume_solids_percent_vol, thinner_percent_vol)
    dry = wet * solids / 100
    return DryFilm(dry, wet - dry, Standing.THEORETICAL, _THEORY, _notes(dry, coat))


def wet_film(
    dry_um: Decimal,
    volume_solids_percent_vol: Decimal,
    *,
    thinner_percent_vol: Decimal = Decimal(0),
    coat: str | None = None,
) -> WetFilm:
    """Work out the wet film to put on for a dry film of some thickness.

    Parameters: dry_um [µm, above 0 up to 2000]; volume_solids_percent_vol [% v/v, above 0 up to
    100; before thinning]; thinner_percent_vol [% v/v, 0-1000; volumes added to 100 volumes];
    coat [one of `coats()`] to compare with what is usual, None for no comparison.
    Returns: the thickness, the volume solids after thinning, and a note where the dry film is
    unusual for the coat.
    Raises: OutOfRange for any of them.
    Source: volume balance, DFT (100 + T) / VS.

    >>> wet_film(Decimal(28), Decimal(35)).wet_um
    Decimal('80')
    """
    dry = above(dry_um, 0, high=_THICKEST_UM, name="dry_um")
    solids = _thinned_solids(volume_solids_percent_vol, thinner_percent_vol)
    wet = 100 * dry / solids
    return WetFilm(wet, solids, Standing.THEORETICAL, _THEORY, _notes(dry, coat))


def coats() -> tuple[str, ...]:
    """List the kinds of coat whose usual dry film is known.

    Parameters: none. Raises: nothing. Source: tables/usual_films.csv.

    >>> coats()[0]
    'instrument coat'
    """
    return tuple(_usual())


def usual_film(dry_um: Decimal, coat: str) -> UsualFilm:
    """Compare a dry film with what is usual for a kind of coat.

    Parameters: dry_um [µm, above 0 up to 2000]; coat [one of `coats()`].
    Returns: whether it is usual, the range, and a note where it is not; nothing is refused for
    being unusual.
    Raises: OutOfRange for the thickness or an unknown coat.
    Source: tables/usual_films.csv, common practice.

    >>> usual_film(Decimal(22), "instrument coat").notes
    ('a dry film of 22.0 µm lies outside 5 to 15 µm, usual for: instrument coat',)
    """
    dry = above(dry_um, 0, high=_THICKEST_UM, name="dry_um")
    thinnest, thickest = _usual()[one_of(coat, coats(), name="coat")]
    notes = _notes(dry, coat)
    return UsualFilm(not notes, thinnest, thickest, notes)


def _thinned_solids(volume_solids: Decimal, thinner: Decimal) -> Decimal:
    solids = above(volume_solids, 0, high=100, name="volume_solids_percent_vol")
    most = _MOST_THINNER_PERCENT_VOL
    return 100 * solids / (100 + within(thinner, 0, high=most, name="thinner_percent_vol"))


def _notes(dry: Decimal, coat: str | None) -> tuple[str, ...]:
    if coat is None:
        return ()
    thinnest, thickest = _usual()[one_of(coat, coats(), name="coat")]
    if thinnest <= dry <= thickest:
        return ()
    range_ = f"{thinnest} to {thickest} µm"
    return (f"a dry film of {dry:.1f} µm lies outside {range_}, usual for: {coat}",)


@functools.cache
def _usual() -> dict[str, tuple[Decimal, Decimal]]:
    return {
        row["coat"]: (Decimal(row["thinnest_um"]), Decimal(row["thickest_um"]))
        for row in rows("usual_films.csv")
    }
