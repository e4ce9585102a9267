"""What is in the pot while a recipe is made, and what the sums know of each substance in it.

Masses are exact fractions of one unit of the recipe, so that a recipe scaled up and down again
is the same recipe to the last digit.
"""

from collections.abc import Collection, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.errors import OutOfRange, ScienceError
from service.science.exact import added
from service.science.formulas import mass_of_formula
from service.science.rosin_soap import KOH_MG_PER_MOL

ACIDS = frozenset({"resin", "resinate", "balsam"})
SPENT = "spent"  # what the wash takes: salts, alkali and the water of the reaction
INERT = "inert"
_HIGHEST_ACID_NUMBER = 200
_ABIETIC = Fraction(mass_of_formula("C20H30O2"))


class Substance(NamedTuple):
    """What the sums know of one material; what is None is not known.

    Fields: name [text]; family [text]; density_kg_l [kg/l, above 0; at 20 °C];
    non_volatile_percent [%, 0-100]; water_percent [%, 0-100]; exempt_percent [%, 0-100];
    acid_value [mg KOH/g, 0-200]; formula [text, with its crystal water]; assay_percent [%, above
    1 up to 100]; metals [%, by symbol]; insoluble_percent [%, 0 to below 100];
    ethanol_percent_vol [% vol, 0-100]; oil_percent [%, 0-100], resin_percent [%, 0-100] (of an
    intermediate of both).
    """

    name: str
    family: str | None = None
    density_kg_l: Decimal | None = None
    non_volatile_percent: Decimal | None = None
    water_percent: Decimal | None = None
    exempt_percent: Decimal | None = None
    acid_value: Decimal | None = None
    formula: str | None = None
    assay_percent: Decimal | None = None
    metals: tuple[tuple[str, Decimal], ...] = ()
    insoluble_percent: Decimal | None = None
    ethanol_percent_vol: Decimal | None = None
    oil_percent: Decimal | None = None
    resin_percent: Decimal | None = None


class Component(NamedTuple):
    """One thing in the pot: a substance as it was weighed in, or what a reaction made of some.

    `acid_mol` is the acid that can still take metal, `acid_g_mol` the mass of one mole of it;
    `metals` are masses by symbol; `driven_off` has already left it as a gas.
    """

    name: str
    family: str | None
    lines: tuple[int, ...]
    mass: Fraction
    substance: Substance | None = None
    acid_mol: Fraction = Fraction(0)
    acid_g_mol: Fraction = _ABIETIC
    metals: tuple[tuple[str, Fraction], ...] = ()
    driven_off: Fraction = Fraction(0)

    def times(self, factor: Fraction) -> "Component":
        """The same thing, more or less of it."""
        if not (self.acid_mol or self.metals or self.driven_off):
            return self._replace(mass=self.mass * factor)
        return self._replace(
            mass=self.mass * factor,
            acid_mol=self.acid_mol * factor,
            metals=tuple((metal, mass * factor) for metal, mass in self.metals),
            driven_off=self.driven_off * factor,
        )


class Left(NamedTuple):
    """What leaves the pot at a stage, or comes to it where the mass is below 0."""

    stage: str
    what: str
    mass: Fraction
    basis: str


class Lacking(ScienceError):
    """A line cannot be worked out without a value; `missing` names each substance and property."""

    code = "value-needed"

    def __init__(self, line: int, missing: tuple[tuple[str, str], ...]) -> None:
        self.line, self.missing = line, missing
        named = ", ".join(f"the {what} of {name}" for name, what in missing)
        said = f"line {line} cannot be worked out without {named}"
        super().__init__(said, f"send {named}", field=f"lines/{line}")


def weighed_in(line: int, substance: Substance, mass: Fraction) -> Component:
    """Put a substance into the pot.

    Parameters: line [1, of the recipe]; substance; mass [1, above 0; in units of the recipe].
    Returns: the component, with the acid and the metal that are known to be in it.
    Raises: OutOfRange for a resin of an acid number above 200: pure abietic acid has 185.5.
    Source: definition of the acid number, 56106 mg KOH to the mole; rosin acids are reckoned as
    abietic acid, C20H30O2, or lighter where the acid number says so.

    >>> rosin = Substance("ROSIN", "resin", acid_value=Decimal(165))
    >>> round(float(weighed_in(1, rosin, Fraction(1000)).acid_mol), 5)
    2.94086
    """
    acid, each = Fraction(0), _ABIETIC
    if substance.acid_value and (substance.family is None or substance.family in ACIDS):
        if substance.acid_value > _HIGHEST_ACID_NUMBER:
            raise OutOfRange(
                f"{substance.name} has an acid value of {substance.acid_value:f} mg KOH/g",
                f"a resin has {_HIGHEST_ACID_NUMBER} or less; pure abietic acid has 185.5",
                field=f"lines/{line}",
            )
        acid = mass * Fraction(substance.acid_value) / Fraction(KOH_MG_PER_MOL)
        each = min(_ABIETIC, Fraction(KOH_MG_PER_MOL) / Fraction(substance.acid_value))
    metals = tuple((metal, mass * Fraction(share) / 100) for metal, share in substance.metals)
    return Component(substance.name, substance.family, (line,), mass, substance, acid, each, metals)


def total(pot: Iterable[Component]) -> Fraction:
    """Add up what is in the pot.

    Parameters: pot [components]. Raises: nothing. Returns: [1] their mass. Source: definition.

    >>> total([weighed_in(1, Substance("OIL"), Fraction(2))])
    Fraction(2, 1)
    """
    return added(one.mass for one in pot)


def fitting(
    pot: Iterable[Component], lines: Sequence[int], families: Collection[str]
) -> list[Component]:
    """Find what came of some lines, or where none are named what is of some families.

    Parameters: pot [components]; lines [1, of the recipe]; families [text].
    Returns: the components. Raises: nothing. Source: common practice.

    >>> oil = weighed_in(1, Substance("OIL", "drying-oil"), Fraction(2))
    >>> fitting([oil], [], {"resin"}), fitting([oil], [1], {"resin"}) == [oil]
    ([], True)
    """
    if lines:
        return [one for one in pot if set(one.lines) & set(lines)]
    return [one for one in pot if one.family in families]


def solid_of(one: Component) -> Fraction | None:
    """Say what of a component does not evaporate; all of what a reaction made.

    Parameters: one [component]. Returns: [1] its mass, None where its non-volatile is not known.
    Raises: nothing. Source: definition.

    >>> solid_of(weighed_in(1, Substance("SPIRIT", non_volatile_percent=Decimal(0)), Fraction(2)))
    Fraction(0, 1)
    """
    if one.substance is None:
        return one.mass
    known = one.substance.non_volatile_percent
    return None if known is None else one.mass * Fraction(known) / 100


def with_acid(pot: Sequence[Component], acid_mol: Fraction) -> list[Component] | None:
    """Put the acid that was measured in a pot in place of the acid that was reckoned.

    Parameters: pot [components]; acid_mol [mol, 0 or more; in all of it].
    Returns: the pot, its acid lying as it was reckoned, else in the resins by mass; None where
    there is neither. Raises: nothing. Source: definition of the acid number.

    >>> pot = [weighed_in(1, Substance("ROSIN", "resin"), Fraction(1000))]
    >>> [one.acid_mol for one in with_acid(pot, Fraction(2)) or ()]
    [Fraction(2, 1)]
    """
    parts = [one.acid_mol for one in pot]
    if not any(parts):
        parts = [one.mass if one.family in ACIDS else Fraction(0) for one in pot]
    whole = added(parts)
    if not whole:
        return None
    shares = (part * acid_mol / whole for part in parts)
    return [_holding(one, share) for one, share in zip(pot, shares, strict=True)]


def binder_of(one: Component) -> tuple[Fraction, Fraction] | None:
    """Say how much of a component counts as drying oil and how much as resin, a balsam by its
    resin only.

    Parameters: one [component]. Returns: [1] oil and resin, None where that is not known.
    Raises: nothing. Source: common practice.

    >>> binder_of(weighed_in(1, Substance("OIL", "drying-oil"), Fraction(2)))
    (Fraction(2, 1), Fraction(0, 1))
    """
    nothing = Fraction(0)
    if one.family == "drying-oil":
        return one.mass, nothing
    if one.family == "balsam":
        solid = solid_of(one)
        return None if solid is None else (nothing, solid)
    if one.family is not None:
        return nothing, one.mass if one.family in ACIDS else nothing
    known = one.substance
    if known is None or known.oil_percent is None or known.resin_percent is None:
        return None
    return one.mass * Fraction(known.oil_percent) / 100, one.mass * Fraction(
        known.resin_percent
    ) / 100


def _holding(one: Component, acid: Fraction) -> Component:
    """The same with another content of acid, which weighs no more than the whole; what was
    measured in the pot counts the acid of its oils too, so theirs is not added again."""
    if not acid:
        known = one.substance and one.substance._replace(acid_value=Decimal(0))
        return one._replace(acid_mol=acid, substance=known)
    return one._replace(acid_mol=acid, acid_g_mol=min(one.acid_g_mol, one.mass / acid))


def cleared(pot: Sequence[Component]) -> tuple[list[Component], list[tuple[str, Fraction]]]:
    """Leave behind what does not dissolve, in the cloth or at the bottom.

    Parameters: pot [components]. Returns: the pot without it, and what was left behind.
    Raises: nothing. Source: common practice; seedlac leaves 3-6 %.

    >>> lac = Substance("LAC", "resin", insoluble_percent=Decimal(5))
    >>> cleared([weighed_in(1, lac, Fraction(100))])[1]
    [('insoluble of LAC', Fraction(5, 1))]
    """
    found, dirt = [], []
    for one in pot:
        share = one.substance and one.substance.insoluble_percent
        if one.substance is None or not share:
            found.append(one)
            continue
        dirt.append((f"insoluble of {one.name}", one.mass * Fraction(share) / 100))
        clean = one.substance._replace(insoluble_percent=None)
        found.append(one.times(1 - Fraction(share) / 100)._replace(substance=clean))
    return found, dirt
