"""Non-volatile matter as measured in a dish, and what is usual for a family of product."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, count, one_of, positive, within
from service.science.results import Standing
from service.science.tables import rows

_BY_CONVENTION = (
    "it depends on temperature and time, and serves to compare lots of one product; an oven adds "
    "oxygen to drying oils and drives off some rosin and terpenes, about 1 % either way"
)


class NonVolatile(NamedTuple):
    """The non-volatile matter of one dish, with the wet portion and what was left of it."""

    non_volatile_percent: Decimal
    wet_g: Decimal
    dry_g: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class Replicates(NamedTuple):
    """The mean of replicate dishes, and whether they agree well enough."""

    mean_percent: Decimal
    agree: bool
    difference_percent: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class DishMethod(NamedTuple):
    """What a method of drying in a dish asks for."""

    drying_min: Decimal
    lowest_c: Decimal
    highest_c: Decimal
    lightest_g: Decimal
    heaviest_g: Decimal
    dish_mm: Decimal
    notes: tuple[str, ...]


class Plausible(NamedTuple):
    """Whether the figures of a product are usual for its family."""

    plausible: bool
    notes: tuple[str, ...]


def non_volatile(
    dish_g: Decimal,
    dish_and_wet_g: Decimal,
    *,
    dish_and_dry_g: Decimal,
    method: str | None = None,
) -> NonVolatile:
    """Work out the non-volatile matter from the weighings of one dish.

    Parameters: dish_g [g, above 0]; dish_and_wet_g [g, above 0; more than the dish];
    dish_and_dry_g [g, above 0; from the dish up to dish and wet]; method [one of
    `dish_methods()`] to compare the portion with what it asks for, None for no comparison.
    Returns: the non-volatile matter, the masses it rests on, and a note where the portion is not
    as the method asks.
    Raises: OutOfRange for masses in another order or an unknown method.
    Source: ISO 3251, 100 (m2 - m0) / (m1 - m0) (from memory).

    >>> round(non_volatile(Decimal("25.1032"), Decimal("26.1187"),
    ...       dish_and_dry_g=Decimal("25.6641")).non_volatile_percent, 2)
    Decimal('55.23')
    """
    dish = positive(dish_g, "dish_g")
    wet = positive(dish_and_wet_g, "dish_and_wet_g") - dish
    dry = positive(dish_and_dry_g, "dish_and_dry_g") - dish
    if wet <= 0:
        raise OutOfRange(
            "dish and wet portion weigh no more than the dish",
            "weigh the dish empty, then with the portion",
            field="dish_and_wet_g",
        )
    if not 0 <= dry <= wet:
        raise OutOfRange(
            "the dry portion weighs less than nothing or more than the wet one",
            "send a mass from the dish up to dish and wet portion",
            field="dish_and_dry_g",
        )
    notes = _portion_notes(wet, method)
    return NonVolatile(100 * dry / wet, wet, dry, Standing.CONVENTION, _BY_CONVENTION, notes)


def mean_non_volatile(
    replicates_percent: Sequence[Decimal], largest_difference_percent: Decimal = Decimal(2)
) -> Replicates:
    """Average the non-volatile matter of replicate dishes and tell whether they agree.

    Parameters: replicates_percent [%, each above 0 up to 100; two dishes or more];
    largest_difference_percent [%, above 0 up to 100; of the mean].
    Returns: the mean, whether largest and smallest differ by no more than allowed, and by how
    much of the mean they do.
    Raises: NotApplicable for fewer than two, OutOfRange for one of them.
    Source: common practice for duplicates by ISO 3251 (limit of 2 % from memory).

    >>> mean_non_volatile([Decimal("55.24"), Decimal("55.40")]).agree
    True
    """
    dishes = count(replicates_percent, 2, name="replicates_percent")
    for place, percent in enumerate(replicates_percent):
        above(percent, 0, high=100, name=f"replicates_percent/{place}")
    allowed = above(largest_difference_percent, 0, high=100, name="largest_difference_percent")
    mean = sum(replicates_percent, Decimal(0)) / dishes
    difference = 100 * (max(replicates_percent) - min(replicates_percent)) / mean
    agree = difference <= allowed
    notes = (
        () if agree else (f"repeat: the dishes differ by more than {allowed:f} % of their mean",)
    )
    return Replicates(mean, agree, difference, Standing.CONVENTION, _BY_CONVENTION, notes)


def dish_methods() -> tuple[str, ...]:
    """List the methods of drying in a dish.

    Parameters: none. Raises: nothing. Source: tables/dish_methods.csv.

    >>> dish_methods()
    ('ISO 3251', 'ASTM D2369')
    """
    return tuple(_methods())


def dish_method(method: str) -> DishMethod:
    """Look up what a method of drying in a dish asks for.

    Parameters: method [one of `dish_methods()`].
    Returns: time, temperature, portion and dish, to be recorded with the result.
    Raises: OutOfRange for any other.
    Source: ISO 3251 and ASTM D2369 (from memory; 110 °C and 60 min in duplicate also read in a
    leaflet on the EU directive).

    >>> dish_method("ASTM D2369").highest_c
    Decimal('110')
    """
    row = _methods()[one_of(method, dish_methods(), name="method")]
    return DishMethod(
        Decimal(row["drying_min"]),
        Decimal(row["lowest_c"]),
        Decimal(row["highest_c"]),
        Decimal(row["lightest_g"]),
        Decimal(row["heaviest_g"]),
        Decimal(row["dish_mm"]),
        (row["remark"],),
    )


def families() -> tuple[str, ...]:
    """List the families of product with plausible ranges.

    Parameters: none. Raises: nothing. Source: tables/plausible_ranges.csv.

    >>> families()[0]
    'thinned oil varnish'
    """
    return tuple(_families())


def plausible_figures(
    family: str,
    non_volatile_percent: Decimal | None = None,
    *,
    density_kg_l: Decimal | None = None,
    water_percent: Decimal | None = None,
) -> Plausible:
    """Compare the figures of a product with what is usual for its family.

    Parameters: family [one of `families()`]; non_volatile_percent [%, 0-100], None if not known;
    density_kg_l [kg/l, 0.6-2.0; at 20 °C], None if not known; water_percent [%, 0-100], None if
    not known.
    Returns: whether all are usual, and a note for each that is not; nothing is refused for it.
    Raises: OutOfRange for an unknown family or an impossible figure, NotApplicable without any.
    Source: tables/plausible_ranges.csv, common practice.

    >>> plausible_figures("thinned oil varnish", Decimal(82)).notes
    ('non-volatile of 82 % lies outside 35 to 70 %, usual for: thinned oil varnish',)
    """
    row = _families()[one_of(family, families(), name="family")]
    figures: list[tuple[str, str, Decimal, str]] = []
    if non_volatile_percent is not None:
        percent = within(non_volatile_percent, 0, high=100, name="non_volatile_percent")
        figures.append(("non-volatile", "non_volatile", percent, "%"))
    if density_kg_l is not None:
        figures.append(("density", "density", plausible_density(density_kg_l), "kg/l"))
    if water_percent is not None:
        water = within(water_percent, 0, high=100, name="water_percent")
        figures.append(("water", "water", water, "%"))
    if not figures:
        raise NotApplicable(
            "there is no figure to compare",
            "send non-volatile, density or water",
            field="non_volatile_percent",
        )
    notes = tuple(note for figure in figures for note in _unusual(row, figure))
    return Plausible(not notes, notes)


def _unusual(row: dict[str, str], figure: tuple[str, str, Decimal, str]) -> list[str]:
    name, column, value, unit = figure
    low, high = row[f"{column}_from"], row[f"{column}_to"]
    if not low or Decimal(low) <= value <= Decimal(high):
        return []
    range_ = f"{low} to {high} {unit}"
    return [f"{name} of {value:.6g} {unit} lies outside {range_}, usual for: {row['family']}"]


def _portion_notes(wet: Decimal, method: str | None) -> tuple[str, ...]:
    if method is None:
        return ()
    asked = dish_method(method)
    if asked.lightest_g <= wet <= asked.heaviest_g:
        return ()
    range_ = f"{asked.lightest_g} to {asked.heaviest_g} g"
    return (f"the portion of {wet:.4f} g is not the {range_} of {method}: record it",)


@functools.cache
def _methods() -> dict[str, dict[str, str]]:
    return {row["method"]: row for row in rows("dish_methods.csv")}


@functools.cache
def _families() -> dict[str, dict[str, str]]:
    return {row["family"]: row for row in rows("plausible_ranges.csv")}
