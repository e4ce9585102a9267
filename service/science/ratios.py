"""Oil to resin, oil length and the shares of a recipe's lines."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import at_least, count, one_of, positive, within
from service.science.rounding import decimal_of
from service.science.tables import rows

ML_PER_US_GAL = Decimal("3785.411784")
G_PER_LB = Decimal("453.59237")
_LOWEST_OIL_DENSITY = Decimal("0.85")
_HIGHEST_OIL_DENSITY = Decimal("1.05")
_USUAL_RATIOS = (Decimal("0.1"), Decimal(10))
_IN_THE_CAN = "in the can"
_BASES = ("as charged", _IN_THE_CAN)
_LINE_BASES = ("parts", "percent")


class Oil(NamedTuple):
    """A drying oil of the recipe.

    Fields: mass_g [g, above 0]; density_kg_l [kg/l, 0.85-1.05; at 20 °C].
    """

    mass_g: Decimal
    density_kg_l: Decimal


class ClassedLength(NamedTuple):
    """The class of an oil length by one convention, and the figure that the convention goes by."""

    length_class: str
    convention: str
    measure: str


class OilLength(NamedTuple):
    """Oil to resin by mass, oil in the binder in %, and US gal of oil to 100 lb of resin."""

    ratio: Decimal
    oil_percent: Decimal
    us_gal_per_100_lb: Decimal
    basis: str
    classes: tuple[ClassedLength, ...]
    notes: tuple[str, ...]


class CannedRatio(NamedTuple):
    """Oil to resin by mass after cooking and running, and oil in that binder in %."""

    ratio: Decimal
    oil_percent: Decimal
    basis: str


def oil_length(oils: Sequence[Oil], resins_g: Sequence[Decimal], *, basis: str) -> OilLength:
    """Work out the oil length of a binder from its oils and its resins.

    Parameters: oils [list of `Oil`; drying oils only, not castor or olive]; resins_g [g, each
    above 0; resinates, resins, rosin esters; balsams by their resin only; no drier, wax or
    solvent]; basis [one of `length_bases()`], which the masses are.
    Returns: oil to resin, oil in the binder, US gal of oil to 100 lb of resin, and the class by
    every convention, since they do not agree.
    Raises: NotApplicable with no oil or no resin, OutOfRange for a mass, a density or the basis.
    Source: common practice; 1 US gal = 3.785411784 l and 1 lb = 453.59237 g (NIST SP 811,
    Appendix B).

    >>> oil_length([Oil(Decimal(1000), Decimal("0.93"))], [Decimal(500)], basis="as charged").ratio
    Decimal('2')
    """
    one_of(basis, _BASES, name="basis")
    _some(oils, "drying oil", "oils")
    _some(resins_g, "resin", "resins_g")
    resin = sum(positive(mass, f"resins_g/{n}") for n, mass in enumerate(resins_g))
    oil, volume_ml = Decimal(0), Decimal(0)
    for n, each in enumerate(oils):
        oil += positive(each.mass_g, f"oils/{n}/mass_g")
        volume_ml += each.mass_g / _oil_density(each.density_kg_l, f"oils/{n}/density_kg_l")
    gallons = volume_ml / ML_PER_US_GAL / (resin / G_PER_LB) * 100
    return _length(oil / resin, gallons, basis)


def from_us_gal(us_gal_per_100_lb: Decimal, oil_density_kg_l: Decimal, *, basis: str) -> OilLength:
    """Turn a handbook's length in US gallons into the ratio by mass.

    Parameters: us_gal_per_100_lb [US gal/100 lb, above 0]; oil_density_kg_l [kg/l, 0.85-1.05; at
    20 °C]; basis [one of `length_bases()`], which the handbook means, mostly as charged.
    Returns: oil to resin, oil in the binder, and the class by every convention.
    Raises: OutOfRange for any of them.
    Source: common practice; 1 US gal = 3.785411784 l and 1 lb = 453.59237 g (NIST SP 811,
    Appendix B).

    >>> round(from_us_gal(Decimal(25), Decimal("0.93"), basis="as charged").ratio, 5)
    Decimal('1.94031')
    """
    one_of(basis, _BASES, name="basis")
    gallons = positive(us_gal_per_100_lb, "us_gal_per_100_lb")
    mass = gallons * ML_PER_US_GAL * _oil_density(oil_density_kg_l, "oil_density_kg_l")
    return _length(mass / (100 * G_PER_LB), gallons, basis)


def ratio_in_the_can(
    ratio_charged: Decimal, resin_loss_percent: Decimal, *, oil_loss_percent: Decimal = Decimal(0)
) -> CannedRatio:
    """Turn oil to resin as charged into oil to resin in the can, once copal is run or oil cooked.

    Parameters: ratio_charged [1, above 0; oil to resin by mass]; resin_loss_percent [%, 0 to
    below 100; copal 15-30 in running, rosin 10-35 in long cooking]; oil_loss_percent [%, 0 to
    below 100; 0 where the oil keeps its mass].
    Returns: oil to resin and oil in the binder of what is left.
    Raises: OutOfRange for any of them.
    Source: what is left over what was charged; the usual losses are common practice.

    >>> round(ratio_in_the_can(Decimal("1.5"), Decimal(23)).ratio, 3)
    Decimal('1.948')
    """
    resin = _left(resin_loss_percent, "resin_loss_percent")
    oil = _left(oil_loss_percent, "oil_loss_percent")
    ratio = positive(ratio_charged, "ratio_charged") * oil / resin
    return CannedRatio(ratio, _oil_percent(ratio), _IN_THE_CAN)


def balsam_resin(balsam_g: Decimal, volatile_percent: Decimal) -> Decimal:
    """Give the resin of a balsam, which alone counts in an oil length.

    Parameters: balsam_g [g, above 0]; volatile_percent [%, 0 to below 100; Manila elemi 20-30,
    Strassburg turpentine about 24].
    Returns: [g] the resin in it. Raises: OutOfRange for either.
    Source: common practice.

    >>> balsam_resin(Decimal(100), Decimal(24))
    Decimal('76.00')
    """
    return positive(balsam_g, "balsam_g") * _left(volatile_percent, "volatile_percent")


def length_class(convention: str, value: Decimal) -> str:
    """Name the class of an oil length by one convention, which belongs beside the name.

    Parameters: convention [one of `length_conventions()`]; value [1, 0 or more; as the convention
    measures: % oil in the binder, US gal/100 lb, or oil to resin].
    Returns: short, medium or long; lean, medium or fat.
    Raises: OutOfRange for an unknown convention, a value below 0 or more than 100 % oil.
    Source: tables/length_conventions.csv; exactly 40 and 60 % count as medium.

    >>> length_class("alkyd_40_60", Decimal("66.7"))
    'long'
    """
    row = _conventions()[one_of(convention, length_conventions(), name="convention")]
    at_least(value, 0, name="value")
    if row["measure"] == "oil_percent":
        within(value, 0, high=100, name="value")
    low, high = Decimal(row["medium_from"]), Decimal(row["medium_to"])
    if value < low or (value == low and row["from_is_medium"] == "no"):
        return row["short"]
    return row["medium"] if value <= high else row["long"]


def length_conventions() -> tuple[str, ...]:
    """List the conventions by which a length can be classed.

    Parameters: none. Raises: nothing. Source: tables/length_conventions.csv.

    >>> length_conventions()[0]
    'alkyd_40_60'
    """
    return tuple(_conventions())


def length_bases() -> tuple[str, ...]:
    """List what the masses of an oil length can be.

    Parameters: none. Raises: nothing. Source: common practice.

    >>> length_bases()
    ('as charged', 'in the can')
    """
    return _BASES


def line_bases() -> tuple[str, ...]:
    """List what the amount of a recipe's line can be.

    Parameters: none. Raises: nothing. Source: common practice.

    >>> line_bases()
    ('parts', 'percent')
    """
    return _LINE_BASES


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
        raise NotApplicable(
            "no line has an amount in parts or percent",
            "give one line in parts at least",
            field="lines",
        )
    for n, (basis, amount) in enumerate(lines):
        if basis not in _LINE_BASES:
            raise OutOfRange(
                f"“{basis}” is no basis of a line",
                "use parts or percent",
                field=f"lines/{n}/basis",
            )
        positive(amount, f"lines/{n}/amount")
    percent = sum((Fraction(a) for basis, a in lines if basis == "percent"), Fraction(0))
    parts = sum((Fraction(a) for basis, a in lines if basis == "parts"), Fraction(0))
    check_percents(percent, parts)
    left = (100 - percent) / parts if parts else Fraction(0)
    return [Fraction(a) * (left if basis == "parts" else 1) / 100 for basis, a in lines]


def check_percents(percent: Fraction, parts: Fraction) -> None:
    """Refuse lines that cannot be the shares of a whole.

    Parameters: percent [%, of all lines in percent]; parts [1, of all lines in parts].
    Raises: OutOfRange for percents of 100 or more beside parts, or percents alone that are not
    exactly 100.
    Source: common practice.

    >>> check_percents(Fraction(40), Fraction(3))
    """
    if percent < 100 if parts else percent == 100:
        return
    shown = f"{decimal_of(percent).normalize():f}"
    if parts:
        raise OutOfRange(
            f"the percent lines add up to {shown} %, which leaves nothing for the parts lines",
            "let the percent lines add up to less than 100",
            field="lines",
        )
    raise OutOfRange(
        f"the lines are all in percent and add up to {shown} %",
        "let them add up to exactly 100, or give one line in parts",
        field="lines",
    )


def _length(ratio: Decimal, gallons: Decimal, basis: str) -> OilLength:
    figures = {
        "ratio": ratio,
        "oil_percent": _oil_percent(ratio),
        "us_gal_per_100_lb": gallons,
    }
    classes = tuple(
        ClassedLength(length_class(name, figures[row["measure"]]), name, row["measure"])
        for name, row in _conventions().items()
    )
    usual = _USUAL_RATIOS[0] <= ratio <= _USUAL_RATIOS[1]
    note = "oil to resin lies outside 0.1 to 10: look for a slip of the pen"
    return OilLength(**figures, basis=basis, classes=classes, notes=() if usual else (note,))


def _oil_percent(ratio: Decimal) -> Decimal:
    return 100 * ratio / (1 + ratio)


def _left(loss_percent: Decimal, name: str) -> Decimal:
    """What is left of 1 after a loss that leaves something."""
    if at_least(loss_percent, 0, name=name) >= 100:
        raise OutOfRange(f"a loss of {loss_percent:f} %", "send less than 100", field=name)
    return 1 - loss_percent / 100


def _some(members: Sequence[object], what: str, name: str) -> None:
    if not members:
        raise NotApplicable(
            f"there is no {what}, so there is no oil length", f"add a {what}", field=name
        )
    count(members, 1, name=name)


def _oil_density(density_kg_l: Decimal, name: str) -> Decimal:
    return within(density_kg_l, _LOWEST_OIL_DENSITY, high=_HIGHEST_OIL_DENSITY, name=name)


@functools.cache
def _conventions() -> dict[str, dict[str, str]]:
    return {row["convention"]: row for row in rows("length_conventions.csv")}
