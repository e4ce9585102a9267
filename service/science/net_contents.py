"""Net contents: tolerable negative error, the check of every pack, and mass against volume."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, number, positive, within
from service.science.results import Standing
from service.science.statistics import mean
from service.science.tables import rows

SMALLEST_IN_TABLE = Decimal(5)
LARGEST_IN_TABLE = Decimal(10_000)
SAMPLED_FROM_PACKS = 100
LOCAL_LAW = "a rule and its numbers, not a judgement in law: local law prevails"
_FEW_MEANS = (
    "at most 1 pack in 40 (2.5 %) may lie below the first limit, and none below the second where "
    "the e mark is borne"
)
# How many packs may lie below the first limit: 2.5 %, as the reference test of Annex II means it
# (from memory).
_PACKS_FOR_ONE_BELOW = 40
_MEASURING_SHARE = 5
_TENTH = Decimal("0.1")
_REFERENCE_C = 20
_LEAST_ULLAGE_PERCENT = 3


class NegativeError(NamedTuple):
    """The tolerable negative error, both limits, and how wrong the measuring may be, in ml or g."""

    tolerable: Decimal
    first_limit: Decimal
    second_limit: Decimal
    largest_measuring_error: Decimal
    notes: tuple[str, ...]


class FillVerdict(NamedTuple):
    """Whether the fill keeps the rules, and how; limits and counts are None below the table."""

    holds: bool
    mean: Decimal
    mean_holds: bool
    tolerable: Decimal | None
    first_limit: Decimal | None
    second_limit: Decimal | None
    below_first: int | None
    below_second: int | None
    allowed_below_first: int
    notes: tuple[str, ...]


class Ullage(NamedTuple):
    """The room left above a fill at 20 °C and warm, and the fill that leaves just enough."""

    ullage_percent: Decimal
    ullage_ml: Decimal
    warm_volume_ml: Decimal
    warm_ullage_percent: Decimal
    largest_fill_ml: Decimal
    notes: tuple[str, ...]
    standing: Standing
    why: str


def negative_error(nominal: Decimal) -> NegativeError:
    """Look the tolerable negative error of a nominal quantity up.

    Parameters: nominal [1, 5-10000; the declared quantity in ml or g, the table is the same].
    Returns: the error, the nominal quantity less it once and twice, and the largest error of the
    measuring (a fifth of it), all in the unit of the nominal quantity.
    Raises: OutOfRange outside the table.
    Source: Directive 76/211/EEC Annex I 2.4, percents rounded up to 0.1; WELMEC 6.9 for the
    measuring.

    >>> negative_error(Decimal(250)).first_limit
    Decimal('241')
    """
    within(nominal, SMALLEST_IN_TABLE, high=LARGEST_IN_TABLE, name="nominal")
    error = _error(nominal)
    return NegativeError(
        error,
        nominal - error,
        nominal - 2 * error,
        error / _MEASURING_SHARE,
        (_FEW_MEANS, LOCAL_LAW),
    )


def _error(nominal: Decimal) -> Decimal:
    row = next(
        row for row in rows("tolerable_negative_error.csv") if nominal <= Decimal(row["up_to"])
    )
    if row["absolute"]:
        return Decimal(row["absolute"])
    share = nominal * Decimal(row["percent"]) / 100
    return share.quantize(_TENTH, rounding=ROUND_CEILING)


def fill_check(nominal: Decimal, fills: Sequence[Decimal], *, packs: int) -> FillVerdict:
    """Judge a fill of fewer than 100 packs, every pack weighed.

    Parameters: nominal [1, above 0 up to 10000; the declared quantity in ml or g]; fills [1, each
    above 0; what is in each pack, in the same unit, one for every pack]; packs [1, 1-99; how many
    packs there are].
    Returns: whether mean and single packs hold, with the figures; below 5 the mean alone decides.
    Raises: NotApplicable if a pack was not weighed, or for 100 packs or more, where the directive
    samples; OutOfRange for a number.
    Source: Directive 76/211/EEC Annex I 1 and Annex II 2.1.3, the mean is at least the nominal;
    1 pack in 40 below the first limit is the 2.5 % of gov.uk, packaged goods.

    >>> fill_check(Decimal(250), [Decimal("251.2"), Decimal(249)], packs=2).mean_holds
    True
    """
    above(nominal, 0, high=LARGEST_IN_TABLE, name="nominal")
    _check_all_weighed(len(fills), packs)
    average = mean_of_fills(fills)
    holds, allowed = average >= nominal, packs // _PACKS_FOR_ONE_BELOW
    if nominal < SMALLEST_IN_TABLE:
        notes = (f"no table value below {SMALLEST_IN_TABLE}: the mean alone decides", LOCAL_LAW)
        return FillVerdict(holds, average, holds, None, None, None, None, None, allowed, notes)
    error = negative_error(nominal)
    below_first, below_second = below_limits(error, fills)
    return FillVerdict(
        holds=holds and below_first <= allowed and not below_second,
        mean=average,
        mean_holds=holds,
        tolerable=error.tolerable,
        first_limit=error.first_limit,
        second_limit=error.second_limit,
        below_first=below_first,
        below_second=below_second,
        allowed_below_first=allowed,
        notes=error.notes,
    )


def mean_of_fills(fills: Sequence[Decimal]) -> Decimal:
    """Average what is in the packs.

    Parameters: fills [1, each above 0; in one unit, one or more].
    Returns: [1] the mean, in the unit of the fills.
    Raises: OutOfRange for a fill, NotApplicable for none. Source: as `fill_check`.

    >>> mean_of_fills([Decimal(250), Decimal(251)])
    Decimal('250.5')
    """
    for place, fill in enumerate(fills):
        positive(fill, f"fills/{place}")
    return mean(fills)


def below_limits(error: NegativeError, fills: Sequence[Decimal]) -> tuple[int, int]:
    """Count the packs below the first limit and below the second.

    Parameters: error [`NegativeError`]; fills [1, each above 0; in its unit].
    Returns: the two counts. Raises: nothing. Source: Directive 76/211/EEC Annex I 1.

    >>> below_limits(negative_error(Decimal(250)), [Decimal(231), Decimal(240), Decimal(250)])
    (2, 1)
    """
    first = sum(fill < error.first_limit for fill in fills)
    return first, sum(fill < error.second_limit for fill in fills)


def _check_all_weighed(weighed: int, packs: int) -> None:
    if number(Decimal(packs), "packs") < 1:
        raise OutOfRange(f"a fill of {packs} packs", "send 1 pack or more", field="packs")
    if packs >= SAMPLED_FROM_PACKS:
        raise NotApplicable(
            f"a fill of {packs} packs is judged by sampling",
            f"split it into fills of fewer than {SAMPLED_FROM_PACKS} packs, every pack weighed, or "
            "ask for the mean test",
            field="packs",
        )
    if weighed != packs:
        raise NotApplicable(
            f"{weighed} of {packs} packs were weighed", "send the fill of every pack", field="fills"
        )


def mass_of_nominal(volume_ml: Decimal, density_kg_l: Decimal) -> Decimal:
    """Give the mass that fills a nominal volume.

    Parameters: volume_ml [ml, above 0; at 20 °C]; density_kg_l [kg/l, 0.6-2.0; at 20 °C].
    Returns: [g] the net mass.
    Raises: OutOfRange for either. Source: Directive 76/211/EEC Annex I 2.2, volumes at 20 °C.

    >>> mass_of_nominal(Decimal(250), Decimal("0.897"))
    Decimal('224.250')
    """
    return positive(volume_ml, "volume_ml") * plausible_density(density_kg_l)


def volume_of_mass(mass_g: Decimal, density_kg_l: Decimal) -> Decimal:
    """Give the volume at 20 °C of a net mass.

    Parameters: mass_g [g, above 0; net]; density_kg_l [kg/l, 0.6-2.0; at 20 °C].
    Returns: [ml] the volume at 20 °C.
    Raises: OutOfRange for either. Source: Directive 76/211/EEC Annex I 2.2, volumes at 20 °C.

    >>> round(volume_of_mass(Decimal("221.4"), Decimal("0.905")), 2)
    Decimal('244.64')
    """
    return positive(mass_g, "mass_g") / plausible_density(density_kg_l)


def ullage(
    fill_ml: Decimal,
    brimful_ml: Decimal,
    *,
    warmest_c: Decimal = Decimal(40),
    expansion_per_k: Decimal = Decimal("0.001"),
) -> Ullage:
    """Work out the room above a fill, and what is left of it when the pack gets warm.

    Parameters: fill_ml [ml, above 0; at 20 °C]; brimful_ml [ml, above 0; the container filled to
    the brim]; warmest_c [°C, 20-60; where the pack may stand]; expansion_per_k [1/K, 0-0.002; 0.001
    for thinners, 0.0007 for oils].
    Returns: the room in percent of the brimful volume, in ml, the same when warm, and the largest
    fill that leaves 3 %.
    Raises: NotApplicable if the fill is more than the container holds, OutOfRange for a number.
    Source: common practice, 3-5 % of room for thinned varnish (from memory).

    >>> ullage(Decimal(250), Decimal(263)).warm_ullage_percent.quantize(Decimal("0.01"))
    Decimal('3.04')
    """
    positive(fill_ml, "fill_ml")
    positive(brimful_ml, "brimful_ml")
    within(warmest_c, _REFERENCE_C, high=60, name="warmest_c")
    within(expansion_per_k, 0, high=Decimal("0.002"), name="expansion_per_k")
    if fill_ml > brimful_ml:
        raise NotApplicable(
            f"{fill_ml:f} ml are more than {brimful_ml:f} ml",
            "send the volume of the container filled to the brim",
            field="brimful_ml",
        )
    warm = fill_ml * (1 + expansion_per_k * (warmest_c - _REFERENCE_C))
    share = 100 * (brimful_ml - fill_ml) / brimful_ml
    left = 100 * (brimful_ml - warm) / brimful_ml
    return Ullage(
        ullage_percent=share,
        ullage_ml=brimful_ml - fill_ml,
        warm_volume_ml=warm,
        warm_ullage_percent=left,
        largest_fill_ml=brimful_ml * (100 - _LEAST_ULLAGE_PERCENT) / 100,
        notes=tuple(_ullage_notes(share, left)),
        standing=Standing.APPROXIMATE,
        why="a straight line for the expansion, and a container that stays as large as it is",
    )


def _ullage_notes(share: Decimal, left: Decimal) -> list[str]:
    notes = []
    if left <= 0:
        notes.append("when warm it fills the container: it will leak or burst")
    if share < _LEAST_ULLAGE_PERCENT:
        notes.append(f"leave {_LEAST_ULLAGE_PERCENT} to 5 % of room")
    return notes
