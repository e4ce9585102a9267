"""The reagents of the bench, weighed for any volume or mass of them, and their pH.

A reagent is made up to a volume or brought to a mass, never either: percent by mass and percent
by volume are different strengths.
"""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import one_of, positive, within
from service.science.tables import rows

_PER_LITRE = "l"
_PER_KILOGRAM = "kg"
_WHOLE = 1000
# Below this a workshop balance of 0.01 g is off by more than a tenth.
_LEAST_WEIGHING_G = Decimal("0.1")


class Ingredient(NamedTuple):
    """One thing to weigh into a reagent."""

    ingredient: str
    formula: str
    mass_g: Decimal


class ReagentRecipe(NamedTuple):
    """What to weigh, the pH to bring it to, how long it keeps and where the recipe comes from."""

    ingredients: tuple[Ingredient, ...]
    weighed_g: Decimal
    water: str
    ph: Decimal | None
    ph_tolerance: Decimal | None
    adjust_with: str
    keeps: str
    origin: str
    notes: tuple[str, ...]


class ReagentPh(NamedTuple):
    """Whether a pH fits the reagent, and between which it must lie."""

    fits: bool
    lowest_ph: Decimal
    highest_ph: Decimal
    notes: tuple[str, ...]


def volume_reagents() -> tuple[str, ...]:
    """List the reagents that are made up to a volume.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/reagents.csv.

    >>> "perspiration-acid" in volume_reagents()
    True
    """
    return tuple(name for name, row in _reagents().items() if row["basis"] == _PER_LITRE)


def mass_reagents() -> tuple[str, ...]:
    """List the reagents that are brought to a mass, their strength in percent by mass.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/reagents.csv.

    >>> "ammonia-10" in mass_reagents()
    True
    """
    return tuple(name for name, row in _reagents().items() if row["basis"] == _PER_KILOGRAM)


def ph_reagents() -> tuple[str, ...]:
    """List the reagents that must have a pH between two limits.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/reagents.csv.

    >>> "coffee" in ph_reagents()
    False
    """
    return tuple(name for name, row in _reagents().items() if row["ph_tolerance"])


def reagent_by_volume(reagent: str, volume_ml: Decimal) -> ReagentRecipe:
    """Scale the recipe of a reagent to the volume wanted.

    Parameters: reagent [one of `volume_reagents()`]; volume_ml [ml, above 0; of finished reagent].
    Returns: what to weigh in g before it is made up to the volume, with pH, keeping and origin.
    Raises: OutOfRange for the volume or an unknown reagent.
    Source: tables/reagents.csv; perspiration read in ISO 105-E04, the others from memory.

    >>> reagent_by_volume("perspiration-acid", Decimal(250)).ingredients[1].mass_g
    Decimal('1.25')
    """
    one_of(reagent, volume_reagents(), name="reagent")
    return _recipe(reagent, positive(volume_ml, "volume_ml") / _WHOLE)


def reagent_by_mass(reagent: str, final_g: Decimal) -> ReagentRecipe:
    """Scale the recipe of a reagent of so many percent by mass to the mass wanted.

    Parameters: reagent [one of `mass_reagents()`]; final_g [g, above 0; of finished reagent].
    Returns: what to weigh in g, the water among it, with keeping and origin.
    Raises: OutOfRange for the mass or an unknown reagent.
    Source: tables/reagents.csv; liquids of EN 12720 annex A, from memory.

    >>> reagent_by_mass("ammonia-10", Decimal(500)).ingredients[0].mass_g
    Decimal('200.0')
    """
    one_of(reagent, mass_reagents(), name="reagent")
    return _recipe(reagent, positive(final_g, "final_g") / _WHOLE)


def reagent_ph(reagent: str, ph: Decimal) -> ReagentPh:
    """Check the pH of a finished reagent.

    Parameters: reagent [one of `ph_reagents()`]; ph [1, 0-14; as measured].
    Returns: whether it lies within the limits, and the limits.
    Raises: OutOfRange for the pH or an unknown reagent.
    Source: tables/reagents.csv; perspiration read in ISO 105-E04, the others from memory.

    >>> reagent_ph("perspiration-acid", Decimal("5.8")).fits
    False
    """
    row = _reagents()[one_of(reagent, ph_reagents(), name="reagent")]
    within(ph, 0, high=14, name="ph")
    target, tolerance = Decimal(row["ph"]), Decimal(row["ph_tolerance"])
    low, high = target - tolerance, target + tolerance
    return ReagentPh(low <= ph <= high, low, high, _ph_notes(row, ph < low, too_high=ph > high))


def _ph_notes(row: dict[str, str], too_low: bool, *, too_high: bool) -> tuple[str, ...]:
    if not (too_low or too_high):
        return ()
    if too_low == (row["adjusting"] == "raises"):
        return (f"add {row['adjust_with']} drop by drop, stirring, and measure again",)
    return (f"it is past its mark, which {row['adjust_with']} cannot mend: make it again",)


def _recipe(reagent: str, times: Decimal) -> ReagentRecipe:
    row = _reagents()[reagent]
    ingredients = tuple(
        Ingredient(each["ingredient"], each["formula"], Decimal(each["grams"]) * times)
        for each in rows("reagent_ingredients.csv")
        if each["reagent"] == reagent
    )
    return ReagentRecipe(
        ingredients=ingredients,
        weighed_g=sum((each.mass_g for each in ingredients), Decimal(0)),
        water=row["water"],
        ph=_number(row["ph"]),
        ph_tolerance=_number(row["ph_tolerance"]),
        adjust_with=row["adjust_with"],
        keeps=row["keeps"],
        origin=row["origin"],
        notes=_recipe_notes(row, min(each.mass_g for each in ingredients)),
    )


def _recipe_notes(row: dict[str, str], least_g: Decimal) -> tuple[str, ...]:
    notes = ["write the day it was made on the bottle"]
    if row["caution"]:
        notes.append(row["caution"])
    if row["origin"] != "read":
        notes.append("this recipe is from memory: confirm it with the standard before use")
    if least_g < _LEAST_WEIGHING_G:
        notes.append("one weighing is below 0.1 g: make more of it, or use a finer balance")
    return tuple(notes)


def _number(cell: str) -> Decimal | None:
    return Decimal(cell) if cell else None


@functools.cache
def _reagents() -> dict[str, dict[str, str]]:
    return {row["reagent"]: row for row in rows("reagents.csv")}
