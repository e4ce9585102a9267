"""What can be said of the contents of a pot by sums over them: pure."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.exact import added
from service.science.formulation import OXYGEN, Formula
from service.science.pots import ACIDS, INERT, Component, Substance, solid_of, total
from service.science.rosin_soap import KOH_MG_PER_MOL
from service.science.rounding import decimal_of
from service.science.strength import ethanol_by_mass, ethanol_density

Charged = Mapping[int, Substance]  # what was weighed in, by line
_REFERENCE_C = Decimal(20)
_ACID: frozenset[str | None] = frozenset({*ACIDS, "drying-oil", "other-oil", "wax", None})
# Of all that evaporates: what comes out of part-volatile goods counts as dense as the rest.
_BESIDE = Fraction(1, 10)
UNSTATED = "not stated: counted as none"
_VOLUMES_ADD = "volumes are taken to add up, which mixtures do only nearly"
R_22 = "OIML R 22"
_BY_R_22 = f"ethanol and water together by {R_22}"


class Sum(NamedTuple):
    """A figure of the contents, and what it takes for granted."""

    value: Fraction
    said: tuple[str, ...] = ()


def charged_lines(formula: Formula) -> dict[int, Substance]:
    """What each line of a formula is."""
    return {line.line: formula.substances[line.substance] for line in formula.lines}


def missing(found: Iterable[tuple[str, str]]) -> list[str]:
    """Values that are not known, as they are told: by material and property."""
    return list(dict.fromkeys(f"{what} of {name}" for name, what in found))


def non_volatile(contents: Sequence[Component]) -> Sum | list[str]:
    """The non-volatile in %, or what is missing for it."""
    parts = [(one, solid_of(one)) for one in contents]
    if lacking := [(one.name, "non-volatile") for one, part in parts if part is None]:
        return missing(lacking)
    stays = added(part for _, part in parts if part is not None)
    return Sum(100 * stays / total(contents))


def density(contents: Sequence[Component], charged: Charged) -> Sum | list[str]:
    """The density by additive volumes in kg/l, ethanol and water together by their table; or what
    is missing for it."""
    spirits = _spirits(contents)
    volume, mass = _spirit_volume(spirits), total(spirits)
    said = [_VOLUMES_ADD, *([_BY_R_22] if spirits else [])]
    lacking = []
    for one in contents:
        if one in spirits:
            continue
        if one.family == OXYGEN:
            said.append("oxygen taken up counts as dense as all the rest")
            continue
        dense = _dense(one, charged)
        if isinstance(dense, list):
            lacking += dense
            continue
        volume, mass = volume + one.mass / dense, mass + one.mass
    if any(one.substance is None and one.family == "resinate" for one in contents):
        said.append("a resinate counts as dense as the resin that it was made of")
    if lacking:
        return missing(lacking)
    return Sum(mass / volume, tuple(said)) if volume else ["density of anything in it"]


def _dense(one: Component, charged: Charged) -> Fraction | list[tuple[str, str]]:
    """The density of one component; what a reaction made by the resins or the reagent in it."""
    if one.substance is not None:
        known = one.substance.density_kg_l
        return [(one.name, "density")] if known is None else Fraction(known)
    held = [charged[line] for line in one.lines if line in charged]
    if one.family != INERT:
        held = [each for each in held if each.family in ACIDS]
    lacking = [(each.name, "density") for each in held if each.density_kg_l is None]
    if lacking or not held:
        return lacking or [(one.name, "density")]
    dense = [Fraction(each.density_kg_l) for each in held if each.density_kg_l is not None]
    return len(dense) / added(1 / each for each in dense)


def _spirits(contents: Sequence[Component]) -> list[Component]:
    """Spirit and water that shrink on mixing, or spirit of which only the strength is known."""
    strong = [one for one in contents if one.substance and one.substance.ethanol_percent_vol]
    water = [one for one in contents if one.substance and one.family == "water"]
    told = all(one.substance and one.substance.density_kg_l for one in strong)
    if not strong or (not water and told):
        return []
    return [*strong, *water]


def _ethanol(one: Component) -> Fraction:
    """The mass of ethanol in spirit or water."""
    strength = one.substance.ethanol_percent_vol if one.substance else None
    percent = ethanol_by_mass(strength or Decimal(0)).ethanol_percent
    return one.mass * Fraction(percent) / 100


def _spirit_volume(spirits: Sequence[Component]) -> Fraction:
    mass = total(spirits)
    if not mass:
        return Fraction(0)
    percent = 100 * added(_ethanol(one) for one in spirits) / mass
    return mass / Fraction(ethanol_density(decimal_of(percent), _REFERENCE_C))


def evaporating(contents: Sequence[Component]) -> Sum | list[str]:
    """The density of all that evaporates, in kg/l; or what is missing for it."""
    if isinstance(stays := non_volatile(contents), list):
        return stays
    goes = [(one, one.mass - (solid_of(one) or Fraction(0))) for one in contents]
    pure = [one for one, part in goes if part and part == one.mass]
    partly = {one.name: part for one, part in goes if 0 < part < one.mass}
    besides = added(partly.values())
    if besides > _BESIDE * (besides + total(pure)):
        return [f"density of what evaporates from {name}" for name in partly]
    found = density(pure, {})
    if isinstance(found, list) or not partly:
        return found
    said = f"what evaporates from {', '.join(partly)} counts as dense as the other solvents"
    return Sum(found.value, (*found.said, said))


def water(contents: Sequence[Component]) -> Sum:
    """The water in %; where it is not stated there is none, which is said."""
    held = [(one, _water(one)) for one in contents]
    wet = added(one.mass * percent for one, percent in held if percent)
    derived = [
        f"water of {one.name} by {R_22} from its strength"
        for one, percent in held
        if percent and one.substance and one.substance.water_percent is None
        if one.family != "water"
    ]
    said = (*derived, *_unstated("water", [one for one, percent in held if percent is None]))
    return Sum(wet / total(contents), tuple(dict.fromkeys(said)))


def _water(one: Component) -> Fraction | None:
    known = one.substance
    if known is None:
        return Fraction(0)
    if known.water_percent is not None:
        return Fraction(known.water_percent)
    if one.family == "water":
        return Fraction(100)
    if known.ethanol_percent_vol is not None:
        return 100 - Fraction(ethanol_by_mass(known.ethanol_percent_vol).ethanol_percent)
    return Fraction(0) if known.non_volatile_percent == 100 else None


def exempt(contents: Sequence[Component]) -> Sum:
    """The compounds exempt under US rules in %; where they are not stated there are none, which is
    said."""
    held = [(one, one.substance.exempt_percent) for one in contents if one.substance]
    part = added(one.mass * Fraction(percent) for one, percent in held if percent)
    unstated = [
        one
        for one, percent in held
        if percent is None and one.family != "water"
        if one.substance and one.substance.non_volatile_percent != 100
    ]
    return Sum(part / total(contents), _unstated("exempt compounds", unstated))


def exempt_density(contents: Sequence[Component]) -> Sum | list[str] | None:
    """The density of the exempt compounds, each taken as dense as the material that it is in; None
    where there are none."""
    found = [
        one.times(Fraction(one.substance.exempt_percent) / 100)
        for one in contents
        if one.substance and one.substance.exempt_percent
    ]
    return density(found, {}) if found else None


def _unstated(what: str, unknown: Sequence[Component]) -> tuple[str, ...]:
    names = dict.fromkeys(one.name for one in unknown)
    return (f"{what} of {', '.join(names)} {UNSTATED}",) if names else ()


def metals(contents: Sequence[Component]) -> dict[str, Fraction]:
    """The metals of driers and resinates, by symbol."""
    found: dict[str, Fraction] = {}
    for one in contents:
        for metal, mass in one.metals:
            found[metal] = found.get(metal, Fraction(0)) + mass
    return found


def acid_number(contents: Sequence[Component]) -> Sum | list[str] | None:
    """The acid number of all that is there in mg KOH/g, what is missing for it, or None where
    nothing in it is acid."""
    acid = [one for one in contents if one.substance and one.family in _ACID]
    if not acid and all(one.substance for one in contents):
        return None
    unknown = [one for one in acid if one.substance and one.substance.acid_value is None]
    if lacking := [(one.name, "acid value") for one in unknown if not one.acid_mol]:
        return missing(lacking)
    mol = added(_acid_mol(one) for one in acid)
    return Sum(mol * Fraction(KOH_MG_PER_MOL) / total(contents))


def _acid_mol(one: Component) -> Fraction:
    """What of the acid is left in a resin; an oil keeps what it came with."""
    if one.family in ACIDS or one.substance is None:
        return one.acid_mol
    return one.mass * Fraction(one.substance.acid_value or 0) / Fraction(KOH_MG_PER_MOL)


def acid_left(contents: Sequence[Component]) -> Fraction | None:
    """The acid value of what a reaction left in mg KOH/g, or None where nothing reacted."""
    if all(one.substance for one in contents):
        return None
    acid = added(one.acid_mol for one in contents)
    return acid * Fraction(KOH_MG_PER_MOL) / total(contents)


def by_recipe(name: str, contents: Sequence[Component], charged: Charged) -> Fraction | None:
    """What the contents say of a property of what is made, or None where something is missing."""
    if name == "acid_value":
        return acid_left(contents)
    found = density(contents, charged) if name == "density" else non_volatile(contents)
    return None if isinstance(found, list) else found.value
