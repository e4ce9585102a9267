"""Oil to resin, oil length and the shares of a recipe's lines."""

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import positive, within
from service.science.rounding import decimal_of, round_half_even
from service.science.tables import rows

ML_PER_US_GAL = Fraction("3785.411784")
G_PER_LB = Fraction("453.59237")
_LOWEST_OIL_DENSITY = Decimal("0.85")
_HIGHEST_OIL_DENSITY = Decimal("1.05")
_USUAL_RATIOS = (Decimal("0.1"), Decimal(10))


@dataclass(frozen=True, slots=True)
class Oil:
    """A drying oil of the recipe: its mass in g and its density at 20 °C in kg/l."""

    mass_g: Decimal
    density_kg_l: Decimal


@dataclass(frozen=True, slots=True)
class OilLength:
    """Oil to resin by mass, oil in the binder in %, and US gal of oil to 100 lb of resin."""

    ratio: Decimal
    oil_percent: Decimal
    us_gal_per_100_lb: Decimal

    @property
    def unusual(self) -> bool:
        """Whether the ratio lies outside 0.1 to 10, where a slip is likelier than a recipe."""
        return not _USUAL_RATIOS[0] <= self.ratio <= _USUAL_RATIOS[1]


@dataclass(frozen=True, slots=True)
class ScaledLine:
    """One line of a scaled recipe, in the unit of the total: unrounded, and as weighed."""

    exact: Decimal
    rounded: Decimal


def oil_length(oils: Sequence[Oil], resins_g: Sequence[Decimal]) -> OilLength:
    """Compute the oil length of a binder, as charged or in the can as the masses are.

    Parameters: oils [g and kg/l; drying oils only, each mass above 0, density 0.85-1.05];
    resins_g [g, each above 0; resinates, resins, rosin esters; balsams by their resin only].
    Raises: NotApplicable with no oil or no resin, OutOfRange for a mass or a density.
    Source: common practice; US gal oil to 100 lb resin with 1 US gal = 3.785411784 l and
    1 lb = 453.59237 g (NIST SP 811, Appendix B).

    >>> oil_length([Oil(Decimal(1000), Decimal("0.93"))], [Decimal(500)]).ratio
    Decimal('2')
    """
    resin = sum(Fraction(positive(mass, "resin mass in g")) for mass in resins_g)
    oil = sum(Fraction(positive(each.mass_g, "oil mass in g")) for each in oils)
    if not resin:
        raise NotApplicable("there is no resin, so there is no oil length", "add a resin line")
    if not oil:
        raise NotApplicable(
            "there is no drying oil, so there is no oil length", "add a drying oil line"
        )
    volume = sum(Fraction(each.mass_g) / _oil_density(each.density_kg_l) for each in oils)
    ratio = Fraction(oil) / Fraction(resin)
    gallons = Fraction(volume) / ML_PER_US_GAL / (Fraction(resin) / G_PER_LB) * 100
    return _length(ratio, gallons)


def from_us_gal(us_gal_per_100_lb: Decimal, oil_density_kg_l: Decimal) -> OilLength:
    """Turn a handbook's length in US gallons into the ratio by mass.

    Parameters: us_gal_per_100_lb [US gal/100 lb, above 0]; oil_density_kg_l [kg/l, 0.85-1.05].
    Raises: OutOfRange for either.
    Source: as `oil_length`.

    >>> round(from_us_gal(Decimal(25), Decimal("0.93")).ratio, 5)
    Decimal('1.94031')
    """
    gallons = Fraction(positive(us_gal_per_100_lb, "oil length in US gal/100 lb"))
    mass = gallons * ML_PER_US_GAL * _oil_density(oil_density_kg_l)
    return _length(mass / (100 * G_PER_LB), gallons)


def length_class(convention: str, value: Decimal) -> str:
    """Name the class of an oil length by one convention, which belongs beside the name.

    Parameters: convention [one of `length_conventions()`]; value [%, US gal/100 lb or a ratio,
    as the convention measures, 0 or above].
    Raises: OutOfRange for an unknown convention or a value below 0.
    Source: tables/length_conventions.csv; exactly 40 and 60 % count as medium.

    >>> length_class("alkyd_40_60", Decimal("66.7"))
    'long'
    """
    known = _conventions()
    if convention not in known:
        raise OutOfRange(
            f"“{convention}” is no convention of oil length", f"use one of: {', '.join(known)}"
        )
    if not value.is_finite() or value < 0:
        raise OutOfRange(f"the oil length is {value}", "send a value of 0 or more")
    row = known[convention]
    low, high = Decimal(row["medium_from"]), Decimal(row["medium_to"])
    if value < low or (value == low and row["from_is_medium"] == "no"):
        return row["short"]
    return row["medium"] if value <= high else row["long"]


def length_classes(length: OilLength) -> dict[str, str]:
    """Name the class of an oil length by every convention, since they do not agree.

    Parameters: length [from `oil_length`]. Raises: nothing.
    Source: tables/length_conventions.csv.

    >>> length_classes(from_us_gal(Decimal(25), Decimal("0.93")))["us_gal_handbook"]
    'medium'
    """
    return {
        name: length_class(name, getattr(length, row["measure"]))
        for name, row in _conventions().items()
    }


def length_conventions() -> tuple[str, ...]:
    """List the conventions by which a length can be classed.

    Parameters: none. Raises: nothing. Source: tables/length_conventions.csv.

    >>> length_conventions()[0]
    'alkyd_40_60'
    """
    return tuple(_conventions())


def shares(lines: Sequence[tuple[str, Decimal]]) -> list[Fraction]:
    """Turn the lines of a recipe into exact shares of the total.

    Parameters: lines [basis `parts` or `percent`, and an amount above 0 in parts by mass or %].
    Percent lines take their percent of the total; parts lines share what remains.
    Raises: NotApplicable without lines, OutOfRange for an amount, a basis, percents of 100 or
    more beside parts, or percents alone that are not exactly 100.
    Source: common practice.

    >>> shares([("parts", Decimal(2)), ("parts", Decimal(1)), ("percent", Decimal(40))])
    [Fraction(2, 5), Fraction(1, 5), Fraction(2, 5)]
    """
    if not lines:
        raise NotApplicable("the recipe has no lines", "add a line")
    for basis, amount in lines:
        if basis not in ("parts", "percent"):
            raise OutOfRange(f"“{basis}” is no basis of a line", "use parts or percent")
        positive(amount, f"amount of the line in {basis}")
    percent = sum((Fraction(a) for basis, a in lines if basis == "percent"), Fraction(0))
    parts = sum((Fraction(a) for basis, a in lines if basis == "parts"), Fraction(0))
    _check_percents(percent, parts)
    left = (100 - percent) / parts if parts else Fraction(0)
    return [Fraction(a) * (left if basis == "parts" else 1) / 100 for basis, a in lines]


def scale(of: Sequence[Fraction], total: Decimal, *, step: Decimal) -> list[ScaledLine]:
    """Scale the shares of a recipe to a total, each line rounded once from the exact figure.

    Parameters: of [1, from `shares`]; total [any unit of mass, above 0]; step [the same unit,
    above 0; ties go to the even multiple].
    Raises: OutOfRange for the total or the step.
    Source: common practice.

    >>> scale([Fraction(1, 3)], Decimal(1000), step=Decimal("0.5"))[0].rounded
    Decimal('333.5')
    """
    whole = Fraction(positive(total, "total"))
    return [
        ScaledLine(decimal_of(share * whole), round_half_even(share * whole, step)) for share in of
    ]


def _length(ratio: Fraction, gallons: Fraction) -> OilLength:
    percent = 100 * ratio / (1 + ratio)
    return OilLength(decimal_of(ratio), decimal_of(percent), decimal_of(gallons))


def _oil_density(density_kg_l: Decimal) -> Fraction:
    what = "oil density in kg/l"
    return Fraction(within(density_kg_l, _LOWEST_OIL_DENSITY, high=_HIGHEST_OIL_DENSITY, what=what))


def _check_percents(percent: Fraction, parts: Fraction) -> None:
    shown = f"{decimal_of(percent).normalize():f}"
    if parts and percent >= 100:
        raise OutOfRange(
            f"the percent lines add up to {shown} %, which leaves nothing for the parts lines",
            "let the percent lines add up to less than 100",
        )
    if not parts and percent != 100:
        raise OutOfRange(
            f"the lines are all in percent and add up to {shown} %",
            "let them add up to exactly 100, or give one line in parts",
        )


@functools.cache
def _conventions() -> dict[str, dict[str, str]]:
    return {row["convention"]: row for row in rows("length_conventions.csv")}
