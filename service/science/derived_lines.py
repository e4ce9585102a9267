"""Lines of a recipe that follow from the others by a named rule instead of a typed amount."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from service.science.derivations import RESINS, figure_of, nothing_in
from service.science.derivations import Around as Around
from service.science.derivations import Derivation as Derivation
from service.science.derivations import Derived as Derived
from service.science.driers import drier_dose, resinate_as_drier
from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.exact import added
from service.science.liquid_lines import cut, solids, strength, volume
from service.science.pots import (
    ACIDS,
    Component,
    Lacking,
    Substance,
    binder_of,
    fitting,
    total,
)
from service.science.reactions import alkali_in, reagent_formula
from service.science.resinate_reagents import bases, fusion_reagents, known_reagent, salts
from service.science.rounding import decimal_of, plain

AS_NEEDED = "as-needed"


def line_rules() -> tuple[str, ...]:
    """List the rules by which a line can follow from others.

    Parameters: none. Raises: nothing. Returns: their names. Source: common practice.

    >>> "neutralise" in line_rules()
    True
    """
    return (*_RULES, "rest", AS_NEEDED)


def derived(wanted: Derivation, around: Around) -> Derived:
    """Work a derived line out from what is in the pot when it goes in.

    Parameters: wanted, by a rule of `line_rules()` other than rest and as-needed, which are no
    sums; around [what the line is, the pot, and the density of what is made].
    Returns: the mass [1, in units of the recipe], how it was found, and notes.
    Raises: Lacking naming each value that is missing, OutOfRange for an amount that cannot be,
    NotApplicable where nothing in the pot fits the rule.
    Source: topic of the rule: `rosin_soap`, `resinates`, `driers`, `thinning`, `cuts`, `strength`.

    >>> around = Around(Substance("LAKE"), (Component("OIL", "drying-oil", (1,), Fraction(50)),))
    >>> derived(Derivation(2, "per-binder", Decimal(8)), around).mass
    Fraction(4, 1)
    """
    try:
        return _RULES[wanted.rule](wanted, around)
    except Lacking:
        raise
    except ScienceError as error:
        # The single sums blame their own parameters, of which the caller knows nothing.
        error.field = f"lines/{wanted.line}"
        raise


def _neutralise(wanted: Derivation, around: Around) -> Derived:
    """Base or oxide for a part of the acid of the resins in the pot."""
    acid = _acid(wanted, around.pot)
    formula = _formula(wanted, around.substance)
    use = "base" if formula in bases() else "fusion"
    if use == "base":
        acid = _without_alkali(wanted, acid, around.pot)
    reagent = known_reagent(formula, use, name="formula")
    part = _share(wanted) * _more(wanted)
    pure = acid * part / reagent.equivalents * Fraction(reagent.molar_mass)
    mass = pure / _assay(wanted, around.substance)
    how = f"takes {plain(figure_of(wanted))} % of the acid in the pot{_beyond(wanted)}"
    return Derived(mass, how)


def _without_alkali(wanted: Derivation, acid: Fraction, pot: Sequence[Component]) -> Fraction:
    """The acid that no alkali in the pot has taken yet."""
    alkali = alkali_in(pot, ())
    if alkali is None:
        raise Lacking(wanted.line, tuple((name, "assay") for name in _bases(pot)))
    if alkali >= acid:
        raise nothing_in(wanted, "no acid left", "leave one of the two bases out")
    return acid - alkali


def _precipitate(wanted: Derivation, around: Around) -> Derived:
    """Salt for the alkali charged, every equivalent of which takes metal."""
    alkali = alkali_in(around.pot, wanted.of)
    if alkali is None:
        raise Lacking(wanted.line, tuple((name, "assay") for name in _bases(around.pot)))
    if not alkali:
        raise nothing_in(wanted, "no alkali", "let the line of the base stand before it")
    reagent = known_reagent(_formula(wanted, around.substance), "salt", name="formula")
    part = _share(wanted) * _more(wanted)
    pure = alkali * part / reagent.equivalents * Fraction(reagent.molar_mass)
    mass = pure / _assay(wanted, around.substance)
    return Derived(mass, f"{plain(figure_of(wanted))} % of the alkali charged{_beyond(wanted)}")


def _metal(wanted: Derivation, around: Around) -> Derived:
    """Drier to a percentage of metal on the oil, or on oil and resin."""
    substance = around.substance
    if not substance.metals:
        raise Lacking(wanted.line, ((substance.name, "metal content"),))
    if len(substance.metals) > 1:
        raise NotApplicable(
            f"{substance.name} holds several metals, so no one percentage sizes it",
            "give this line in parts",
        )
    metal, strength = substance.metals[0]
    oil, resin = _binder(wanted, around.pot)
    basis = oil if wanted.on == "oil" else oil + resin
    if not basis:
        raise nothing_in(wanted, f"no {wanted.on}", "let the line of the drier stand after it")
    target = figure_of(wanted)
    notes = _drier_notes(decimal_of(basis), wanted, substance=substance)
    # As resin among the resin a drier raises its own basis, so its share is of what is left.
    raises = wanted.on != "oil" and substance.family in RESINS and not wanted.of
    left = Fraction(strength) - (Fraction(target) if raises else 0)
    mass = basis * Fraction(target) / left
    return Derived(mass, f"{plain(target)} % {metal} on the {wanted.on}", notes)


def _drier_notes(basis: Decimal, wanted: Derivation, *, substance: Substance) -> tuple[str, ...]:
    """What the sum of a single drier or resinate has to say; it refuses what cannot be."""
    ((metal, strength),) = substance.metals
    target = figure_of(wanted)
    if substance.family in RESINS:
        return resinate_as_drier(
            basis,
            Decimal(0),
            metal=metal,
            target_percent=target,
            resinate_metal_percent=strength,
            basis=wanted.on,
        ).notes
    return drier_dose(
        basis, wanted.on, metal=metal, target_percent=target, drier_metal_percent=strength
    ).notes


def _per_binder(wanted: Derivation, around: Around) -> Derived:
    """So many grams to 100 g of oil and resin in the pot."""
    other = Fraction(0) if wanted.of else total(fitting(around.pot, (), {"other-oil"}))
    binder = sum(_binder(wanted, around.pot), other)
    if not binder:
        raise nothing_in(wanted, "no oil or resin", "let this line stand after the binder")
    mass = binder * Fraction(figure_of(wanted)) / 100
    return Derived(mass, f"{plain(figure_of(wanted))} g to 100 g of binder")


def _binder(wanted: Derivation, pot: Sequence[Component]) -> tuple[Fraction, Fraction]:
    """The drying oil and the resin in the pot, or all of the lines named, as oil."""
    if wanted.of:
        return total(fitting(pot, wanted.of, ())), Fraction(0)
    found = [(one, binder_of(one)) for one in pot]
    if unknown := [one for one, part in found if part is None]:
        what = {"balsam": "non-volatile"}
        missing = dict.fromkeys((one.name, what.get(one.family or "", "family")) for one in unknown)
        raise Lacking(wanted.line, tuple(missing))
    parts = [part for _, part in found if part is not None]
    return added(part[0] for part in parts), added(part[1] for part in parts)


_Rule = Callable[[Derivation, Around], Derived]
_RULES: dict[str, _Rule] = {
    "neutralise": _neutralise,
    "precipitate": _precipitate,
    "metal": _metal,
    "solids": solids,
    "per-binder": _per_binder,
    "volume": volume,
    "cut": cut,
    "strength": strength,
}


def _share(wanted: Derivation) -> Fraction:
    """Its figure as a share of all there is."""
    if figure_of(wanted) > 100:
        raise OutOfRange(
            f"the rule {wanted.rule} takes {plain(figure_of(wanted))} % of 100",
            "send a share up to 100 %, and what goes beyond it as its excess",
        )
    return Fraction(figure_of(wanted)) / 100


def _beyond(wanted: Derivation) -> str:
    return f", {plain(wanted.excess_percent)} % beyond" if wanted.excess_percent else ""


def _more(wanted: Derivation) -> Fraction:
    return 1 + Fraction(wanted.excess_percent) / 100


def _formula(wanted: Derivation, substance: Substance) -> str:
    known = (*bases(), *fusion_reagents(), *salts())
    formula = reagent_formula(substance)
    if formula is None:
        raise Lacking(wanted.line, ((substance.name, "formula with its crystal water"),))
    if formula not in known:
        raise NotApplicable(
            f"{formula} is no reagent that the rule {wanted.rule} knows",
            f"use one of: {', '.join(known)}",
        )
    return formula


def _assay(wanted: Derivation, substance: Substance) -> Fraction:
    if not substance.assay_percent:
        raise Lacking(wanted.line, ((substance.name, "assay"),))
    return Fraction(substance.assay_percent) / 100


def _acid(wanted: Derivation, pot: Sequence[Component]) -> Fraction:
    """The acid of the resins named, or of all of them."""
    resins = fitting(pot, wanted.of, ACIDS)
    # Of what nobody says what it is, an intermediate of oil and resin for one, the acid counts too.
    resins += [] if wanted.of else [one for one in pot if one.family is None]
    missing = [
        one.name
        for one in resins
        if one.substance and one.substance.acid_value is None and not one.acid_mol
    ]
    if missing:
        raise Lacking(wanted.line, tuple((name, "acid value") for name in missing))
    acid = added(one.acid_mol for one in resins)
    if not acid:
        raise nothing_in(wanted, "no resin acid", "let the line of the resin stand before it")
    return acid


def _bases(pot: Sequence[Component]) -> list[str]:
    return [
        one.name
        for one in pot
        if reagent_formula(one.substance) in bases()
        and one.substance
        and not one.substance.assay_percent
    ]
