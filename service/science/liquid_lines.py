"""Lines that follow from the liquid in the pot: thinner, alcohol and water by a rule."""

from decimal import Decimal
from fractions import Fraction

from service.science.cuts import pound_cut
from service.science.derivations import (
    MADE,
    RESINS,
    Around,
    Derivation,
    Derived,
    figure_of,
    nothing_in,
)
from service.science.errors import OutOfRange
from service.science.exact import added
from service.science.pots import Component, Lacking, fitting, solid_of, total
from service.science.rounding import decimal_of, plain
from service.science.strength import ethanol_by_mass

_G_L_PER_CUT = Fraction(Decimal("453.59237")) / Fraction(Decimal("3.785411784"))


def solids(wanted: Derivation, around: Around) -> Derived:
    """Thin what is in the pot down to a non-volatile content of the whole.

    Parameters: wanted, the rule and its figure, in % by mass; around, pot and substance.
    Returns: the mass [1, in units of the recipe] and how it was found.
    Raises: Lacking naming each non-volatile that is missing; OutOfRange for a figure that is not
    between the thinner and the pot.
    Source: mass balance.

    >>> from service.science.pots import Substance, weighed_in
    >>> oil = weighed_in(1, Substance("OIL", non_volatile_percent=Decimal(100)), Fraction(3))
    >>> around = Around(Substance("SPIRIT", non_volatile_percent=Decimal(0)), (oil,))
    >>> solids(Derivation(2, "solids", Decimal(60)), around).mass
    Fraction(2, 1)
    """
    substance = around.substance
    missing = [one.name for one in around.pot if solid_of(one) is None]
    if substance.non_volatile_percent is None:
        missing.append(substance.name)
    if missing:
        named = dict.fromkeys(missing)
        raise Lacking(wanted.line, tuple((name, "non-volatile") for name in named))
    mass = total(around.pot)
    solid = added((solid_of(one) or Fraction(0)) for one in around.pot)
    target = Fraction(figure_of(wanted)) / 100
    own = Fraction(substance.non_volatile_percent or 0) / 100
    if not own < target < (solid / mass if mass else 0):
        now = plain(decimal_of(100 * solid / mass).quantize(Decimal("0.1"))) if mass else "0"
        raise OutOfRange(
            f"{plain(figure_of(wanted))} % is not between the thinner and the {now} % in the pot",
            "send a lower non-volatile content",
        )
    return Derived(
        (solid - mass * target) / (target - own),
        f"thinned to {plain(figure_of(wanted))} % non-volatile, theoretical",
        ("measure the non-volatile of the mixture before it is filled",),
    )


def volume(wanted: Derivation, around: Around) -> Derived:
    """Make up to a volume, in ml to the parts of the other lines in g (percent: to 100 g).

    Parameters: wanted, the rule and its figure, in ml; around, pot and substance.
    Returns: the mass [1, in units of the recipe] and how it was found.
    Raises: Lacking the density of what is made; OutOfRange for a volume that is full already.
    Source: definition of density.

    >>> from service.science.pots import Substance, weighed_in
    >>> salt = weighed_in(1, Substance("SALT"), Fraction(5))
    >>> around = Around(Substance("WATER"), (salt,), Decimal("1.005"))
    >>> volume(Derivation(2, "volume", Decimal(1000)), around).mass
    Fraction(1000, 1)
    """
    if around.makes_density_kg_l is None:
        raise Lacking(wanted.line, ((MADE, "density"),))
    grams = Fraction(figure_of(wanted)) * Fraction(around.makes_density_kg_l)
    mass = grams * around.one_gram - total(around.pot)
    if mass <= 0:
        raise OutOfRange(
            "the other lines already fill the volume",
            "send a larger volume, or less of the others",
        )
    note = "found by the density of what is made: weigh in most of it, and make up to the mark"
    return Derived(mass, f"made up to {plain(figure_of(wanted))} ml", (note,))


def cut(wanted: Derivation, around: Around) -> Derived:
    """Size the alcohol for a cut in pounds of shellac to the US gallon of alcohol.

    Parameters: wanted, the rule and its figure, in lb/US gal; around, pot and substance.
    Returns: the mass [1, in units of the recipe] and how it was found.
    Raises: Lacking the density of the alcohol; NotApplicable without resin in the pot.
    Source: `cuts.pound_cut`.

    >>> from service.science.pots import Substance, weighed_in
    >>> lac = weighed_in(1, Substance("LAC", "resin"), Fraction(100))
    >>> around = Around(Substance("SPIRIT", density_kg_l=Decimal("0.79")), (lac,))
    >>> round(float(cut(Derivation(2, "cut", Decimal(2)), around).mass), 1)
    329.6
    """
    substance = around.substance
    if substance.density_kg_l is None:
        raise Lacking(wanted.line, ((substance.name, "density"),))
    shellac = total(fitting(around.pot, wanted.of, RESINS))
    if not shellac:
        raise nothing_in(wanted, "no resin", "let the line of the shellac stand before it")
    known = pound_cut(figure_of(wanted), substance.density_kg_l)
    litres = shellac / (Fraction(figure_of(wanted)) * _G_L_PER_CUT)
    mass = litres * 1000 * Fraction(substance.density_kg_l)
    how = f"a cut of {plain(figure_of(wanted))} lb to the US gallon of alcohol"
    return Derived(mass, how, known.notes)


def strength(wanted: Derivation, around: Around) -> Derived:
    """Size the water that brings a spirit down to a strength by volume, contraction counted.

    Parameters: wanted, the rule and its figure, in % vol; around, pot and substance.
    Returns: the mass [1, in units of the recipe] and how it was found.
    Raises: Lacking the strength of the spirit; NotApplicable without spirit; OutOfRange for a
    figure that is not below the spirit in the pot.
    Source: OIML R 22, `strength.ethanol_by_mass`.

    >>> from service.science.pots import Substance, weighed_in
    >>> spirit = Substance("SPIRIT", "solvent", ethanol_percent_vol=Decimal(96))
    >>> around = Around(Substance("WATER", "water"), (weighed_in(1, spirit, Fraction(100)),))
    >>> round(float(strength(Derivation(2, "strength", Decimal(70)), around).mass), 2)
    50.42
    """
    solvents = fitting(around.pot, wanted.of, {"solvent"})
    spirits = [one for one in solvents if _strong(one) is not None]
    if not spirits and solvents:
        missing = tuple((one.name, "ethanol by volume") for one in solvents)
        raise Lacking(wanted.line, missing)
    if not spirits:
        raise nothing_in(wanted, "no spirit", "let the line of the spirit stand before it")
    mass = total(spirits) + total(one for one in around.pot if one.family == "water")
    ethanol = added(one.mass * _by_mass(_strong(one)) for one in spirits)
    target = _by_mass(figure_of(wanted))
    if not 0 < target < ethanol / mass:
        raise OutOfRange(
            f"{plain(figure_of(wanted))} % vol is not below the spirit in the pot",
            "send a lower strength: water only weakens",
        )
    note = "weigh both: spirit and water shrink on mixing, so two volumes do not add up"
    how = f"down to {plain(figure_of(wanted))} % vol at 20 °C"
    return Derived(ethanol / target - mass, how, (note,))


def _strong(one: Component) -> Decimal | None:
    return one.substance.ethanol_percent_vol if one.substance else None


def _by_mass(percent_vol: Decimal | None) -> Fraction:
    """Ethanol by mass, as a share."""
    return Fraction(ethanol_by_mass(percent_vol or Decimal(0)).ethanol_percent) / 100
