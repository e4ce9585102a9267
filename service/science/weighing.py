"""What a scale can tell: the uncertainty of a weighing, and what it is good for."""

from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import above, at_least, positive, within

_TWICE = Decimal(2)
_NOTHING = Decimal(0)
# An uncertainty of a third of the tolerance leaves two thirds for the hand (common practice).
_SHARE_OF_TOLERANCE = 3
_READABILITY_ALONE = (
    "readability alone: weigh the same thing ten times and send the standard deviation as the "
    "repeatability"
)


class WeighingUncertainty(NamedTuple):
    """The standard uncertainty of a mass, what it comes from, and k times as much."""

    standard_uncertainty_g: Decimal
    expanded_uncertainty_g: Decimal
    from_readability_g: Decimal
    from_repeatability_g: Decimal
    from_linearity_g: Decimal
    notes: tuple[str, ...]


class MinimumMass(NamedTuple):
    """The smallest net mass a scale weighs to a tolerance, and the uncertainty behind it."""

    minimum_net_mass_g: Decimal
    expanded_uncertainty_g: Decimal
    notes: tuple[str, ...]


class ScaleVerdict(NamedTuple):
    """Whether a scale suits a tolerance, and the tolerance it would suit."""

    suits: bool
    expanded_uncertainty_g: Decimal
    largest_uncertainty_g: Decimal
    smallest_tolerance_g: Decimal
    notes: tuple[str, ...]


def weighing_uncertainty(
    readability_g: Decimal,
    weighings: int = 2,
    *,
    repeatability_g: Decimal = _NOTHING,
    linearity_g: Decimal = _NOTHING,
    coverage: Decimal = _TWICE,
) -> WeighingUncertainty:
    """Work out the uncertainty of one reading, or of a net mass by difference.

    Parameters: readability_g [g, above 0; the smallest step the display shows]; weighings [1, 1-2;
    2 for gross less tare]; repeatability_g [g, 0 or more; standard deviation of the same mass
    weighed again and again]; linearity_g [g, 0 or more; the plus-minus of the data sheet];
    coverage [1, 1-4; k, 2 for about 95 %].
    Returns: the standard uncertainty, k times it, and its parts.
    Raises: OutOfRange for a number.
    Source: JCGM 100 (GUM) 4.3.7 for a rectangle; Eurachem/CITAC Quantifying Uncertainty in
    Analytical Measurement, example A2, linearity counted for each weighing (from memory).

    >>> round(weighing_uncertainty(Decimal("0.01")).standard_uncertainty_g, 8)
    Decimal('0.00408248')
    """
    positive(readability_g, "readability_g")
    within(Decimal(weighings), 1, high=2, name="weighings")
    at_least(repeatability_g, 0, name="repeatability_g")
    at_least(linearity_g, 0, name="linearity_g")
    within(coverage, 1, high=4, name="coverage")
    readability = weighings * readability_g**2 / 12
    linearity = weighings * linearity_g**2 / 3
    standard = (readability + linearity + repeatability_g**2).sqrt()
    return WeighingUncertainty(
        standard,
        coverage * standard,
        readability.sqrt(),
        repeatability_g,
        linearity.sqrt(),
        () if repeatability_g else (_READABILITY_ALONE,),
    )


def minimum_net_mass(
    readability_g: Decimal,
    tolerance_percent: Decimal,
    *,
    repeatability_g: Decimal = _NOTHING,
    linearity_g: Decimal = _NOTHING,
    coverage: Decimal = _TWICE,
) -> MinimumMass:
    """Find the smallest net mass that a scale weighs to a relative tolerance.

    Parameters: readability_g [g, above 0; the smallest step the display shows];
    tolerance_percent [%, above 0 up to 100; of the net mass]; repeatability_g [g, 0 or more;
    standard deviation of repeated weighings]; linearity_g [g, 0 or more; the plus-minus of the
    data sheet]; coverage [1, 1-4; k, 2 for about 95 %].
    Returns: the mass whose expanded uncertainty, gross less tare, is just the tolerance.
    Raises: OutOfRange for a number.
    Source: the rule of minimum weights, k u / p, with u as in JCGM 100 (GUM) 4.3.7 (from memory).

    >>> round(minimum_net_mass(Decimal("0.01"), Decimal("0.1")).minimum_net_mass_g, 3)
    Decimal('8.165')
    """
    above(tolerance_percent, 0, high=100, name="tolerance_percent")
    found = weighing_uncertainty(
        readability_g, repeatability_g=repeatability_g, linearity_g=linearity_g, coverage=coverage
    )
    expanded = found.expanded_uncertainty_g
    return MinimumMass(100 * expanded / tolerance_percent, expanded, found.notes)


def scale_suits_tolerance(
    readability_g: Decimal,
    tolerance_g: Decimal,
    *,
    repeatability_g: Decimal = _NOTHING,
    linearity_g: Decimal = _NOTHING,
    coverage: Decimal = _TWICE,
) -> ScaleVerdict:
    """Tell whether a scale is fine enough for a weighing tolerance.

    Parameters: readability_g [g, above 0; the smallest step the display shows]; tolerance_g [g,
    above 0; the plus-minus of the target mass]; repeatability_g [g, 0 or more; standard deviation
    of repeated weighings]; linearity_g [g, 0 or more; the plus-minus of the data sheet];
    coverage [1, 1-4; k, 2 for about 95 %].
    Returns: whether the expanded uncertainty, gross less tare, is at most a third of the
    tolerance, with the figures.
    Raises: OutOfRange for a number.
    Source: common practice, uncertainty at most a third of the tolerance (from memory).

    >>> scale_suits_tolerance(Decimal(1), Decimal(3)).suits
    True
    """
    positive(tolerance_g, "tolerance_g")
    found = weighing_uncertainty(
        readability_g, repeatability_g=repeatability_g, linearity_g=linearity_g, coverage=coverage
    )
    expanded = found.expanded_uncertainty_g
    suits = _SHARE_OF_TOLERANCE * expanded <= tolerance_g
    warned = () if suits else ("use a finer scale or a wider tolerance",)
    return ScaleVerdict(
        suits,
        expanded,
        tolerance_g / _SHARE_OF_TOLERANCE,
        _SHARE_OF_TOLERANCE * expanded,
        (*warned, *found.notes),
    )
