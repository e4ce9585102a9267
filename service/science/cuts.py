"""Shellac cuts: pounds of shellac to a US gallon of alcohol, and what they come to in grams."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import above, at_least, positive, within
from service.science.results import Standing
from service.science.rounding import decimal_of

_G_PER_LB = Fraction("453.59237")
_G_PER_OZ_AV = _G_PER_LB / 16
_ML_PER_US_GAL = Fraction("3785.411784")
_G_L = decimal_of(1000 * _G_PER_LB / _ML_PER_US_GAL)  # of one lb/US gal
_STRONGEST = 8
_SHELLAC_DENSITY = Decimal("1.20")
_DISPLACED = Decimal("0.1")
_USUAL_CUT = (Decimal("0.25"), Decimal(5))
_USUAL_PERCENT = (Decimal(5), Decimal(35))
_ADDITIVE = "takes the volumes of shellac and alcohol as adding up; weigh and measure to be sure"


class PoundCut(NamedTuple):
    """A cut in grams: of shellac charged and dissolved to a litre of alcohol, and the solution."""

    charged_g_l: Decimal
    dissolved_g_l: Decimal
    non_volatile_percent: Decimal
    in_solution_g_l: Decimal
    in_solution_lb_per_us_gal: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class ShellacCharge(NamedTuple):
    """The shellac to weigh for a cut, in g and in oz av."""

    shellac_g: Decimal
    shellac_oz_av: Decimal
    notes: tuple[str, ...]


class CutMade(NamedTuple):
    """The cut that shellac and alcohol make."""

    cut_lb_per_us_gal: Decimal
    charged_g_l: Decimal
    notes: tuple[str, ...]


class CutDilution(NamedTuple):
    """The alcohol that thins a cut: parts to one part of solution by volume, and in ml."""

    alcohol_parts: Decimal
    alcohol_ml: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def pound_cut(
    cut_lb_per_us_gal: Decimal,
    alcohol_density_kg_l: Decimal,
    *,
    insoluble_percent: Decimal = Decimal(0),
    shellac_density_kg_l: Decimal = _SHELLAC_DENSITY,
) -> PoundCut:
    """Say in grams and percent what a pound cut of shellac is.

    Parameters: cut_lb_per_us_gal [lb/US gal, above 0 up to 8; shellac to the alcohol alone];
    alcohol_density_kg_l [kg/l, 0.75-1; 96 % v/v ethanol 0.807, 2-propanol 0.786];
    insoluble_percent [%, 0 to below 100; of the shellac, left in the cloth: seedlac 3-6];
    shellac_density_kg_l [kg/l, 1-1.4; 1.14-1.21 in books].
    Returns: shellac charged and dissolved to a litre of alcohol, the non-volatile by mass, and
    shellac in a litre and in a US gallon of solution.
    Raises: OutOfRange for any of them.
    Source: common practice; 1 lb/US gal = 119.826 g/l (NIST SP 811, Appendix B); 2 lb displacing
    0.2 US gal imply 1.20 kg/l for shellac.

    >>> found = pound_cut(Decimal(2), Decimal("0.785"))
    >>> round(found.charged_g_l, 1), round(found.non_volatile_percent, 2)
    (Decimal('239.7'), Decimal('23.39'))
    """
    charged = _cut(cut_lb_per_us_gal, "cut_lb_per_us_gal") * _G_L
    within(alcohol_density_kg_l, Decimal("0.75"), high=1, name="alcohol_density_kg_l")
    within(shellac_density_kg_l, 1, high=Decimal("1.4"), name="shellac_density_kg_l")
    dissolved = charged * _soluble(insoluble_percent)
    percent = 100 * dissolved / (dissolved + 1000 * alcohol_density_kg_l)
    in_solution = dissolved / (1 + dissolved / (1000 * shellac_density_kg_l))
    return PoundCut(
        charged,
        dissolved,
        percent,
        in_solution,
        in_solution / _G_L,
        Standing.APPROXIMATE,
        _ADDITIVE,
        (*_cut_notes(cut_lb_per_us_gal), *_percent_notes(percent)),
    )


def shellac_for_cut(cut_lb_per_us_gal: Decimal, alcohol_ml: Decimal) -> ShellacCharge:
    """Find the shellac to weigh for a cut in a volume of alcohol.

    Parameters: cut_lb_per_us_gal [lb/US gal, above 0 up to 8]; alcohol_ml [ml, above 0; the
    alcohol alone].
    Returns: the shellac in g, and in oz av: as many to 8 US fl oz as the cut has pounds.
    Raises: OutOfRange for either.
    Source: common practice; 1 lb = 453.59237 g, 1 US gal = 3.785411784 l (NIST SP 811,
    Appendix B).

    >>> round(shellac_for_cut(Decimal(2), Decimal(500)).shellac_g, 1)
    Decimal('119.8')
    """
    cut = Fraction(_cut(cut_lb_per_us_gal, "cut_lb_per_us_gal"))
    mass = cut * _G_PER_LB * Fraction(positive(alcohol_ml, "alcohol_ml")) / _ML_PER_US_GAL
    notes = tuple(_cut_notes(cut_lb_per_us_gal))
    return ShellacCharge(decimal_of(mass), decimal_of(mass / _G_PER_OZ_AV), notes)


def cut_made(shellac_g: Decimal, alcohol_ml: Decimal) -> CutMade:
    """Find the cut that a mass of shellac makes in a volume of alcohol.

    Parameters: shellac_g [g, above 0; as charged]; alcohol_ml [ml, above 0; the alcohol alone].
    Returns: the cut, and shellac charged to a litre of alcohol.
    Raises: OutOfRange for either, or for more than a cut of 8.
    Source: common practice; 1 lb = 453.59237 g, 1 US gal = 3.785411784 l (NIST SP 811,
    Appendix B).

    >>> round(cut_made(Decimal(120), Decimal(500)).cut_lb_per_us_gal, 2)
    Decimal('2.00')
    """
    mass, volume = (positive(shellac_g, "shellac_g"), positive(alcohol_ml, "alcohol_ml"))
    cut = decimal_of(Fraction(mass) / _G_PER_LB / (Fraction(volume) / _ML_PER_US_GAL))
    if cut > _STRONGEST:
        raise OutOfRange(
            f"that is a cut of {cut:.3g} lb/US gal",
            f"a cut has at most {_STRONGEST}: take less shellac or more alcohol",
            field="shellac_g",
        )
    return CutMade(cut, 1000 * mass / volume, tuple(_cut_notes(cut)))


def cut_dilution(
    cut_lb_per_us_gal: Decimal,
    target_lb_per_us_gal: Decimal,
    *,
    solution_ml: Decimal = Decimal(1000),
    displaced_us_gal_per_lb: Decimal = _DISPLACED,
) -> CutDilution:
    """Find the alcohol that thins a cut of shellac to a weaker one.

    Parameters: cut_lb_per_us_gal [lb/US gal, above 0 up to 8; of the solution at hand];
    target_lb_per_us_gal [lb/US gal, above 0; up to the cut at hand]; solution_ml [ml, above 0; at
    hand]; displaced_us_gal_per_lb [US gal/lb, 0-0.2; what a pound of shellac takes up in solution].
    Returns: parts of alcohol to one part of solution by volume, and the alcohol in ml.
    Raises: OutOfRange for any of them, or a target stronger than the cut.
    Source: (cut / target - 1) / (1 + displaced x cut), by the usual rule that 2 lb displace
    0.2 US gal; printed charts differ among themselves.

    >>> round(cut_dilution(Decimal(3), Decimal(1)).alcohol_parts, 4)
    Decimal('1.5385')
    """
    _cut(cut_lb_per_us_gal, "cut_lb_per_us_gal")
    if positive(target_lb_per_us_gal, "target_lb_per_us_gal") > cut_lb_per_us_gal:
        raise OutOfRange(
            f"a cut of {target_lb_per_us_gal:f} is stronger than the {cut_lb_per_us_gal:f} at hand",
            f"send up to {cut_lb_per_us_gal:f}, or add shellac",
            field="target_lb_per_us_gal",
        )
    positive(solution_ml, "solution_ml")
    within(displaced_us_gal_per_lb, 0, high=Decimal("0.2"), name="displaced_us_gal_per_lb")
    alcohol = cut_lb_per_us_gal / target_lb_per_us_gal - 1
    parts = alcohol / (1 + displaced_us_gal_per_lb * cut_lb_per_us_gal)
    notes = tuple(_cut_notes(target_lb_per_us_gal))
    return CutDilution(parts, parts * solution_ml, Standing.APPROXIMATE, _ADDITIVE, notes)


def _cut(cut: Decimal, name: str) -> Decimal:
    return above(cut, 0, high=_STRONGEST, name=name)


def _soluble(insoluble_percent: Decimal) -> Decimal:
    if at_least(insoluble_percent, 0, name="insoluble_percent") >= 100:
        raise OutOfRange(
            f"{insoluble_percent:f} % insoluble leaves no shellac",
            "send less than 100",
            field="insoluble_percent",
        )
    return 1 - insoluble_percent / 100


def _cut_notes(cut: Decimal) -> Iterator[str]:
    if not _USUAL_CUT[0] <= cut <= _USUAL_CUT[1]:
        yield "cuts run from 0.25 to 5 lb/US gal, mostly 1 to 3: look for a slip of the pen"


def _percent_notes(percent: Decimal) -> Iterator[str]:
    if not _USUAL_PERCENT[0] <= percent <= _USUAL_PERCENT[1]:
        yield "shellac solutions hold 5 to 35 % by mass: outside, measure the non-volatile"
