"""Non-volatile matter: measured in a dish, or worked out from what went in."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import positive, within
from service.science.tables import rows

_LARGEST_DIFFERENCE_PERCENT = Decimal(2)


@dataclass(frozen=True, slots=True)
class Portion:
    """What went into a mixture: mass in g, non-volatile in %, density at 20 °C in kg/l."""

    name: str
    mass_g: Decimal
    non_volatile_percent: Decimal | None = None
    density_kg_l: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Replicates:
    """The mean of replicate determinations in %, and whether they agree well enough."""

    mean_percent: Decimal
    agree: bool


def non_volatile_percent(
    dish_g: Decimal, dish_and_wet_g: Decimal, *, dish_and_dry_g: Decimal
) -> Decimal:
    """Give the non-volatile matter of one dish, in %; it depends on temperature and time.

    Parameters: dish_g, dish_and_wet_g, dish_and_dry_g [g, above 0; wet above the dish, dry from
    the dish up to the wet].
    Raises: OutOfRange for masses in another order.
    Source: ISO 3251, 100 (m2 - m0) / (m1 - m0) (from memory).

    >>> round(non_volatile_percent(Decimal("25.1032"), Decimal("26.1187"),
    ...                            dish_and_dry_g=Decimal("25.6641")), 2)
    Decimal('55.23')
    """
    positive(dish_g, "mass of the dish in g")
    wet = positive(dish_and_wet_g - dish_g, "mass of the wet portion in g")
    dry = within(dish_and_dry_g - dish_g, 0, high=wet, what="mass of the dry portion in g")
    return 100 * dry / wet


def replicates_agree(percents: Sequence[Decimal]) -> Replicates:
    """Average replicate dishes and tell whether they differ by at most 2 % of their mean.

    Parameters: percents [%, two or more, each above 0 up to 100].
    Raises: NotApplicable for fewer than two, OutOfRange for one of them.
    Source: common practice for ISO 3251 duplicates (limit from memory).

    >>> replicates_agree([Decimal("55.24"), Decimal("55.40")]).agree
    True
    """
    if len(percents) < 2:
        raise NotApplicable("one dish has nothing to agree with", "send two dishes or more")
    for percent in percents:
        positive(percent, "non-volatile in %")
        within(percent, 0, high=100, what="non-volatile in %")
    centre = sum(percents, Decimal(0)) / len(percents)
    spread = max(percents) - min(percents)
    return Replicates(centre, 100 * spread <= _LARGEST_DIFFERENCE_PERCENT * centre)


def theoretical_non_volatile(portions: Sequence[Portion]) -> Decimal:
    """Work out the non-volatile matter of a mixture from its portions, in %.

    Parameters: portions [g above 0, % 0-100; one or more].
    Raises: NotApplicable without portions, or naming those whose non-volatile is not known;
    OutOfRange for a mass or a percent.
    Source: mass balance; what is lost in cooking is not in it.

    >>> theoretical_non_volatile([Portion("oil", Decimal(600), Decimal(100)),
    ...                           Portion("white spirit", Decimal(400), Decimal(0))])
    Decimal('60')
    """
    total = _total(portions)
    missing = [each.name for each in portions if each.non_volatile_percent is None]
    if missing:
        raise NotApplicable(
            f"the non-volatile is not known of: {', '.join(missing)}",
            "record it as a figure of the material or the lot",
        )
    solid = Decimal(0)
    for each in portions:
        percent = each.non_volatile_percent or Decimal(0)
        solid += each.mass_g * within(percent, 0, high=100, what="non-volatile in %")
    return solid / total


def mixture_density(portions: Sequence[Portion]) -> Decimal:
    """Approximate the density of a mixture by adding volumes, in kg/l at 20 °C.

    Parameters: portions [g above 0, kg/l 0.6-2.0; one or more].
    Raises: NotApplicable without portions, or naming those whose density is not known;
    OutOfRange for a mass or a density.
    Source: additive volumes, an approximation: mixtures shrink or swell a little.

    >>> round(mixture_density([Portion("oil", Decimal(600), density_kg_l=Decimal("0.930")),
    ...     Portion("white spirit", Decimal(400), density_kg_l=Decimal("0.780"))]), 3)
    Decimal('0.864')
    """
    total = _total(portions)
    missing = [each.name for each in portions if each.density_kg_l is None]
    if missing:
        raise NotApplicable(
            f"the density is not known of: {', '.join(missing)}",
            "record it as a figure of the material or the lot",
        )
    known = ((each.mass_g, each.density_kg_l) for each in portions if each.density_kg_l is not None)
    return total / sum((mass / plausible_density(rho) for mass, rho in known), Decimal(0))


def families() -> tuple[str, ...]:
    """List the families of product with plausible ranges.

    Parameters: none. Raises: nothing. Source: tables/plausible_ranges.csv.

    >>> families()[0]
    'thinned oil varnish'
    """
    return tuple(row["family"] for row in rows("plausible_ranges.csv"))


def range_flags(
    family: str,
    non_volatile: Decimal | None = None,
    *,
    density_kg_l: Decimal | None = None,
) -> tuple[str, ...]:
    """Say which figures of a product lie outside what its family usually shows.

    Parameters: family [one of `families()`]; non_volatile [%, None if not known]; density_kg_l
    [kg/l, None if not known].
    Raises: OutOfRange for an unknown family; a figure is flagged, never refused.
    Source: tables/plausible_ranges.csv, common practice.

    >>> range_flags("thinned oil varnish", Decimal(82))
    ('non-volatile 82 % lies outside 35 to 70 %, usual for thinned oil varnish',)
    """
    row = next((row for row in rows("plausible_ranges.csv") if row["family"] == family), None)
    if row is None:
        raise OutOfRange(
            f"“{family}” is no family of the table", f"use one of: {', '.join(families())}"
        )
    figures = (
        ("non-volatile", "non_volatile", non_volatile, "%"),
        ("density", "density", density_kg_l, "kg/l"),
    )
    flags = []
    for name, column, value, unit in figures:
        low, high = row[f"{column}_from"], row[f"{column}_to"]
        if value is not None and not Decimal(low) <= value <= Decimal(high):
            flags.append(
                f"{name} {value:f} {unit} lies outside {low} to {high} {unit}, usual for {family}"
            )
    return tuple(flags)


def _total(portions: Sequence[Portion]) -> Decimal:
    if not portions:
        raise NotApplicable("there is nothing in the mixture", "send one portion or more")
    return sum(
        (positive(each.mass_g, f"mass of {each.name} in g") for each in portions), Decimal(0)
    )
