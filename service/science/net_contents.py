"""Net contents: tolerable negative error, the check of a fill, and mass against volume."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import positive
from service.science.rounding import plain
from service.science.tables import rows

SMALLEST_IN_TABLE_ML = Decimal(5)
SAMPLED_FROM_PACKS = 100
ML_PER_US_FL_OZ = Decimal("29.5735295625")
_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class NegativeError:
    """The tolerable negative error of a nominal quantity and its two limits, in ml or g."""

    tolerable: Decimal
    first_limit: Decimal
    second_limit: Decimal


@dataclass(frozen=True, slots=True)
class FillVerdict:
    """The check of a fill; the counts are None where the table has no value."""

    mean: Decimal
    mean_holds: bool
    negative_error: NegativeError | None
    below_first: int | None
    below_second: int | None
    note: str


def negative_error(nominal: Decimal) -> NegativeError:
    """Look the tolerable negative error of a nominal quantity up.

    Parameters: nominal [ml or g, 5-10000].
    Raises: OutOfRange outside the table.
    Source: Directive 76/211/EEC Annex I 2.4; percents rounded up to 0.1 (from memory).

    >>> negative_error(Decimal(250)).first_limit
    Decimal('241')
    """
    for row in rows("tolerable_negative_error.csv"):
        if Decimal(row["above"]) <= nominal <= Decimal(row["up_to"]):
            error = _error(row, nominal)
            return NegativeError(error, nominal - error, nominal - 2 * error)
    raise OutOfRange(f"there is no table value for {nominal:f}", "send a quantity from 5 to 10000")


def _error(row: dict[str, str], nominal: Decimal) -> Decimal:
    if row["absolute"]:
        return Decimal(row["absolute"])
    share = nominal * Decimal(row["percent"]) / 100
    return share.quantize(_TENTH, rounding=ROUND_CEILING)


def fill_check(nominal: Decimal, fills: Sequence[Decimal], *, packs: int) -> FillVerdict:
    """Judge a fill of fewer than 100 packs, every pack weighed.

    Parameters: nominal [ml or g, above 0]; fills [the same unit, above 0, one for each pack];
    packs [1, 1 to 99].
    Raises: NotApplicable if a pack was not weighed, or for 100 packs or more, where the directive
    samples; OutOfRange for a number.
    Source: Directive 76/211/EEC Annex I 1 and Annex II 2.1.3; the mean is at least the nominal.

    >>> fill_check(Decimal(250), [Decimal("251.2"), Decimal(249)], packs=2).mean_holds
    True
    """
    _check_all_weighed(len(fills), packs)
    positive(nominal, "nominal quantity")
    for fill in fills:
        positive(fill, "fill")
    mean = sum(fills, Decimal(0)) / len(fills)
    if nominal < SMALLEST_IN_TABLE_ML:
        return FillVerdict(mean, mean >= nominal, None, None, None, "no table value")
    error = negative_error(nominal)
    return FillVerdict(
        mean,
        mean >= nominal,
        error,
        sum(fill < error.first_limit for fill in fills),
        sum(fill < error.second_limit for fill in fills),
        "",
    )


def _check_all_weighed(weighed: int, packs: int) -> None:
    if packs < 1:
        raise OutOfRange(f"a fill of {packs} packs", "send 1 pack or more")
    if packs >= SAMPLED_FROM_PACKS:
        raise NotApplicable(
            f"a fill of {packs} packs is judged by sampling",
            f"split it into fills of fewer than {SAMPLED_FROM_PACKS} packs, every pack weighed",
        )
    if weighed != packs:
        raise NotApplicable(
            f"{weighed} of {packs} packs were weighed", "send the fill of every pack"
        )


def mass_of_nominal(volume_ml: Decimal, density_kg_l: Decimal) -> Decimal:
    """Give the mass that fills a nominal volume, in g.

    Parameters: volume_ml [ml at 20 °C, above 0]; density_kg_l [kg/l at 20 °C, 0.6-2.0].
    Raises: OutOfRange for either. Source: Directive 76/211/EEC Annex I 2.2: volumes at 20 °C.

    >>> mass_of_nominal(Decimal(250), Decimal("0.897"))
    Decimal('224.250')
    """
    return positive(volume_ml, "volume in ml") * plausible_density(density_kg_l)


def volume_of_mass(mass_g: Decimal, density_kg_l: Decimal) -> Decimal:
    """Give the volume at 20 °C of a net mass, in ml.

    Parameters: mass_g [g, above 0]; density_kg_l [kg/l at 20 °C, 0.6-2.0].
    Raises: OutOfRange for either. Source: Directive 76/211/EEC Annex I 2.2: volumes at 20 °C.

    >>> round(volume_of_mass(Decimal("221.4"), Decimal("0.905")), 2)
    Decimal('244.64')
    """
    return positive(mass_g, "mass in g") / plausible_density(density_kg_l)


def us_fluid_ounces(volume_ml: Decimal) -> Decimal:
    """Give the US fluid ounces declared beside a volume, rounded down to three digits.

    Parameters: volume_ml [ml, above 0]. Raises: OutOfRange.
    Source: 1 US fl oz = 29.5735295625 ml (NIST SP 811); rounded down because the larger of two
    declarations is the one enforced (common practice).

    >>> us_fluid_ounces(Decimal(250))
    Decimal('8.45')
    """
    ounces = positive(volume_ml, "volume in ml") / ML_PER_US_FL_OZ
    last_place = Decimal(1).scaleb(ounces.adjusted() - 2)
    return Decimal(plain(ounces.quantize(last_place, rounding=ROUND_FLOOR)))
