"""Blending lots: what may be worked out of a blend, by which rule, and how well it stands."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import at_least, count, one_of, positive, within
from service.science.results import Standing
from service.science.solids import families as families
from service.science.tables import rows

_SPIRIT = "shellac solution"
_UNREACTED = "nothing may react or evaporate; density and volume rest on added volumes"
_REFUSED = "refuse to compute"


class Portion(NamedTuple):
    """A lot or a material that goes into a blend.

    Fields: mass_g [g, above 0]; non_volatile_percent [%, 0-100]; density_kg_l [kg/l, 0.6-2.0],
    None if not known; acid_value [mg KOH/g, 0-400], None if not known; water_percent [%, 0-100];
    family [one of `families()`], None if it is none of them.
    """

    mass_g: Decimal
    non_volatile_percent: Decimal
    density_kg_l: Decimal | None = None
    acid_value: Decimal | None = None
    water_percent: Decimal = Decimal(0)
    family: str | None = None


class Blend(NamedTuple):
    """What is known of a blend; None where a portion lacks the figure."""

    non_volatile_percent: Decimal
    mass_g: Decimal
    water_percent: Decimal
    voc_by_mass_percent: Decimal
    density_kg_l: Decimal | None
    volume_ml: Decimal | None
    voc_ready_to_use_g_l: Decimal | None
    acid_value: Decimal | None
    standing: Standing
    why: str
    notes: tuple[str, ...]


class MixingRule(NamedTuple):
    """The rule by which a figure of a blend is worked out, and how well it stands."""

    rule: str
    status: str
    why: str
    instead: str


class MeanFigure(NamedTuple):
    """A figure of a blend, in the unit of the figures sent."""

    mean: Decimal
    mass_g: Decimal
    rule: str
    standing: Standing
    why: str


def blend(portions: Sequence[Portion], across_families: bool = False) -> Blend:
    """Work out the figures of a blend of lots or materials that do not react with each other.

    Parameters: portions [list of `Portion`; one or more]; across_families [yes or no], yes to
    blend what belongs to different families of product all the same.
    Returns: non-volatile, water, VOC and acid value by mass; density, volume and VOC per litre
    from added volumes; a figure that a portion lacks is left out, with a note.
    Raises: NotApplicable without portions or across families; OutOfRange for one of them.
    Source: mass balance; density by additive volumes, an approximation.

    >>> round(blend([Portion(Decimal(600), Decimal(55)), Portion(Decimal(400), Decimal(45))])
    ...       .non_volatile_percent, 1)
    Decimal('51.0')
    """
    count(portions, 1, name="portions")
    for place, each in enumerate(portions):
        _check(each, f"portions/{place}")
    _one_family(portions, across_families)
    mass = sum((each.mass_g for each in portions), Decimal(0))
    solid = sum((each.mass_g * each.non_volatile_percent for each in portions), Decimal(0)) / mass
    water = sum((each.mass_g * each.water_percent for each in portions), Decimal(0)) / mass
    volume, about_density = _volume(portions, water)
    acid, about_acid = _acid_value(portions, mass)
    density = None if volume is None else mass / volume
    voc = max(100 - solid - water, Decimal(0))
    return Blend(
        solid,
        mass,
        water,
        voc,
        density,
        volume,
        None if density is None else 10 * density * voc,
        acid,
        Standing.APPROXIMATE,
        _UNREACTED,
        (*about_density, *about_acid),
    )


def mixing_quantities() -> tuple[str, ...]:
    """List the quantities that have a mixing rule, or are known to have none.

    Parameters: none. Raises: nothing. Source: tables/mixing_rules.csv.

    >>> mixing_quantities()[-1]
    'flash point'
    """
    return tuple(_rules())


def mixing_rule(quantity: str) -> MixingRule:
    """Look up the rule by which a figure of a blend is worked out, and how well it stands.

    Parameters: quantity [one of `mixing_quantities()`].
    Returns: the rule, its status, why, and what to do instead where it is not a plain mean.
    Raises: OutOfRange for any other.
    Source: tables/mixing_rules.csv, mass balance or common practice.

    >>> mixing_rule("colour").status
    'refuse to compute'
    """
    row = _rules()[one_of(quantity, mixing_quantities(), name="quantity")]
    status = Standing[row["standing"]].value if row["standing"] else _REFUSED
    return MixingRule(row["rule"], status, row["why"], row["instead"])


def blended_figure(
    quantity: str, masses_g: Sequence[Decimal], *, values: Sequence[Decimal]
) -> MeanFigure:
    """Work out one figure of a blend, where a mean by mass is its rule.

    Parameters: quantity [one of `mixing_quantities()`]; masses_g [g, each above 0]; values
    [1, each 0 or more; one for each mass, all in one unit, in which the answer is given].
    Returns: the mean by mass, the mass, the rule and how well it stands.
    Raises: NotApplicable for a quantity that is not mixed by a mean, among them colour, gloss,
    drying time and flash point, which no calculation gives, or for lists of different length;
    OutOfRange for one of them.
    Source: tables/mixing_rules.csv, mass balance.

    >>> blended_figure("acid value", [Decimal(600), Decimal(400)],
    ...                values=[Decimal(12), Decimal(8)]).mean
    Decimal('10.4')
    """
    row = _rules()[one_of(quantity, mixing_quantities(), name="quantity")]
    if row["computed"] != "mean":
        raise NotApplicable(
            f"{quantity} of a blend is no mean: {row['why']}", row["instead"], field="quantity"
        )
    count(masses_g, 1, name="masses_g")
    if count(values, 1, name="values") != len(masses_g):
        raise NotApplicable(
            f"{len(masses_g)} masses have {len(values)} values",
            "send one value for each mass",
            field="values",
        )
    total = mass = Decimal(0)
    for place, (grams, value) in enumerate(zip(masses_g, values, strict=True)):
        mass += positive(grams, f"masses_g/{place}")
        total += grams * at_least(value, 0, name=f"values/{place}")
    return MeanFigure(total / mass, mass, row["rule"], Standing[row["standing"]], row["why"])


def _check(each: Portion, at: str) -> None:
    positive(each.mass_g, f"{at}/mass_g")
    solid = within(each.non_volatile_percent, 0, high=100, name=f"{at}/non_volatile_percent")
    water = within(each.water_percent, 0, high=100, name=f"{at}/water_percent")
    if solid + water > 100:
        raise OutOfRange(
            "non-volatile and water come to more than 100 %",
            "check them against each other",
            field=f"{at}/water_percent",
        )
    if each.density_kg_l is not None:
        plausible_density(each.density_kg_l, f"{at}/density_kg_l")
    if each.acid_value is not None:
        within(each.acid_value, 0, high=400, name=f"{at}/acid_value")
    if each.family is not None:
        one_of(each.family, families(), name=f"{at}/family")


def _one_family(portions: Sequence[Portion], across: bool) -> None:
    named = tuple(dict.fromkeys(each.family for each in portions if each.family is not None))
    if len(named) > 1 and not across:
        raise NotApplicable(
            f"these belong to different families: {', '.join(named)}",
            "blend within one family, or say that you mean to blend across",
            field="across_families",
        )


def _volume(portions: Sequence[Portion], water: Decimal) -> tuple[Decimal | None, tuple[str, ...]]:
    """The volumes added up, in ml; None with the reason where they do not add or are not known."""
    if water and any(each.family == _SPIRIT for each in portions):
        return None, ("spirit and water shrink on mixing: take the density from alcohol tables",)
    total = Decimal(0)
    for place, each in enumerate(portions, 1):
        if each.density_kg_l is None:
            return None, (f"the density of portion {place} is not known",)
        total += each.mass_g / each.density_kg_l
    return total, ()


def _acid_value(
    portions: Sequence[Portion], mass: Decimal
) -> tuple[Decimal | None, tuple[str, ...]]:
    total = Decimal(0)
    for place, each in enumerate(portions, 1):
        if each.acid_value is None:
            return None, (f"the acid value of portion {place} is not known",)
        total += each.mass_g * each.acid_value
    return total / mass, ("the acid value falls where metal or alcohol takes up acid",)


@functools.cache
def _rules() -> dict[str, dict[str, str]]:
    return {row["quantity"]: row for row in rows("mixing_rules.csv")}
