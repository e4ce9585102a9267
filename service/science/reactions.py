"""What happens to rosin acids in the pot: fused with oxides, turned to soap, precipitated.

The sums of `resinates` and `rosin_soap`, for any number of resins and reagents at once and with
every gram accounted for: what goes in is what stays and what leaves.
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.exact import added
from service.science.formulas import atomic_weight, mass_of_formula, plain_formula
from service.science.pots import ACIDS, INERT, SPENT, Component, Substance, total
from service.science.resinate_notes import (
    CARRIED_TO_ITS_END,
    alkali_notes,
    fusion_notes,
    salt_notes,
    soap_note,
)
from service.science.resinate_reagents import Reagent, bases, fusion_reagents, known_reagent, salts
from service.science.rounding import decimal_of, plain, round_significant

_HYDROGEN = Fraction(atomic_weight("H"))
_CARBON_DIOXIDE = Fraction(mass_of_formula("CO2"))
_SLACK = Fraction(1_000_000_001, 1_000_000_000)
_METALS = {
    "Zn": "zinc",
    "Ca": "calcium",
    "Fe": "iron",
    "Al": "aluminium",
    "Mn": "manganese",
    "Cu": "copper",
    "Co": "cobalt",
}


class Reacted(NamedTuple):
    """The pot after a reaction, what left it, the values without which none was reckoned, and
    what to look out for."""

    pot: tuple[Component, ...]
    left: tuple[tuple[str, Fraction], ...] = ()
    undecided: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()


class _Dose(NamedTuple):
    """A reagent in the pot: how much of it is what its name says, and what that can take."""

    component: Component
    reagent: Reagent
    pure: Fraction
    equivalents: Fraction


def fused(pot: Sequence[Component]) -> Reacted:
    """Let oxides, hydroxides and acetates take the acid of the resins in a hot pot.

    Parameters: pot [components].
    Returns: the pot with its resinate, the unreacted rest and inert matter, and what boiled off.
    Raises: OutOfRange for more metal than the acid can take.
    Source: mass balance; oxides give off 1 water, hydroxides 2, acetates their acetic acid and
    crystal water (tables/resinate_reagents.csv).

    >>> fused([]).pot
    ()
    """
    doses, unknown = _doses(pot, "fusion", fusion_reagents())
    if not doses and not unknown:
        return Reacted(tuple(pot))
    missing = (*unknown, *_acids_unknown(pot))
    acids = [one for one in pot if one.acid_mol]
    if missing or not acids:
        return Reacted(tuple(pot), undecided=missing or _no_acid(pot, doses))
    taken = added(dose.equivalents for dose in doses)
    acid = added(one.acid_mol for one in acids)
    if taken > acid * _SLACK:
        raise _too_much(doses, taken, acid)
    share = min(taken / acid, Fraction(1))
    left, made = [], []
    acid_mass = added(one.acid_mol * one.acid_g_mol for one in acids) * share
    for dose in doses:
        moles = dose.pure / Fraction(dose.reagent.molar_mass)
        driven_off = moles * Fraction(mass_of_formula(dose.reagent.driven_off))
        bound = acid_mass * dose.equivalents / taken
        soap = dose.pure + bound - driven_off
        made += [_resinate(dose, acids, soap), *_inert(dose)]
        what = "acetic acid and water" if "COO" in dose.reagent.formula else "water"
        left.append((what, driven_off))
    kept = [_rest(one, share) for one in pot if one not in [dose.component for dose in doses]]
    pot_after = tuple(one for one in (*kept, *made) if one.mass)
    return Reacted(pot_after, tuple(left), notes=_fusion_notes(doses, acids))


def soaped(pot: Sequence[Component]) -> Reacted:
    """Let the carbon dioxide of an alkali carbonate out where it meets rosin acid.

    Parameters: pot [components].
    Returns: the pot, and the carbon dioxide that left it. Raises: nothing.
    Source: stoichiometry, half a mole of carbon dioxide to the equivalent of carbonate.

    >>> soaped([]).left
    ()
    """
    doses, unknown = _doses(pot, "base", bases())
    caustic = _charged([dose for dose in doses if "CO3" not in dose.reagent.formula])
    doses = [dose for dose in doses if "CO3" in dose.reagent.formula]
    missing = (*unknown, *(_acids_unknown(pot) if doses else ()))
    alkali = added(dose.equivalents for dose in doses)
    # A hydroxide beside it takes its part of the acid first, and gives off no gas.
    acid = max(added(one.acid_mol for one in pot) - caustic, Fraction(0))
    if missing or not alkali or not acid:
        return Reacted(tuple(pot), undecided=missing)
    gas = min(alkali, acid) / 2 * _CARBON_DIOXIDE
    lost = {id(dose.component): gas * dose.equivalents / alkali for dose in doses}
    kept = [_lighter(one, lost.get(id(one), Fraction(0))) for one in pot]
    return Reacted(tuple(kept), (("carbon dioxide", gas),))


def precipitated(pot: Sequence[Component]) -> Reacted:
    """Let metal salts take the alkali of a rosin soap.

    Parameters: pot [components, the alkali as it was charged].
    Returns: the pot with its resinate; alkali, salts and what became of them are spent, and leave
    with the wash. Raises: nothing.
    Source: stoichiometry, each equivalent trading a hydrogen for metal over valence; theoretical
    for aluminium and iron(III), which fall as basic soaps.

    >>> precipitated([]).pot
    ()
    """
    alkali, first = _doses(pot, "base", bases())
    metal, second = _doses(pot, "salt", salts())
    if not metal and not second:
        return Reacted(tuple(pot))
    missing = (*first, *second, *_acids_unknown(pot))
    acid = added(one.acid_mol for one in pot)
    if missing or not acid:
        return Reacted(tuple(pot), undecided=missing or _no_acid(pot, metal))
    soap = min(acid, _charged(alkali))
    bound = min(soap, _charged(metal))
    share = bound / acid
    acids = [one for one in pot if one.acid_mol]
    acid_mass = added(one.acid_mol * one.acid_g_mol for one in acids) * share
    made = []
    for dose in metal:
        part = dose.equivalents / _charged(metal)
        each = Fraction(dose.reagent.metal_weight) / dose.reagent.valence - _HYDROGEN
        made.append(_resinate(dose, acids, part * (acid_mass + bound * each), bound * part))
    used = [dose.component for dose in (*alkali, *metal)]
    kept = [_rest(one, share) for one in pot if one not in used]
    lines = tuple(line for one in used for line in one.lines)
    spent = Component("spent salts and alkali", SPENT, lines, total(pot) - total([*kept, *made]))
    notes = _precipitation_notes(metal, _charged(alkali), acid)
    return Reacted(tuple(one for one in (*kept, *made, spent) if one.mass), notes=notes)


def alkali_in(pot: Sequence[Component], lines: Sequence[int]) -> Fraction | None:
    """Find the alkali that some lines of the pot hold.

    Parameters: pot [components]; lines [1, of the recipe; all bases where there are none].
    Returns: [mol] equivalents; None where an assay is not known. Raises: nothing.
    Source: stoichiometry.

    >>> alkali_in([], [])
    Fraction(0, 1)
    """
    doses, unknown = _doses(pot, "base", bases())
    wanted = [dose for dose in doses if not lines or set(lines) & set(dose.component.lines)]
    return None if unknown else _charged(wanted)


def reagent_formula(substance: Substance | None) -> str | None:
    """Spell the formula of a substance as the table of reagents does.

    Parameters: substance, None for what a reaction made.
    Returns: its formula with crystal water, None where it has none. Raises: NumberMalformed for
    an overlong text. Source: IUPAC formula notation.

    >>> reagent_formula(Substance("SALT", formula="ZnSO₄·7H₂O"))
    'ZnSO4.7H2O'
    """
    if substance is None or not substance.formula:
        return None
    return plain_formula(substance.formula)


def _charged(doses: Sequence[_Dose]) -> Fraction:
    return added(dose.equivalents for dose in doses)


def _doses(
    pot: Sequence[Component], use: str, known: Sequence[str]
) -> tuple[list[_Dose], tuple[tuple[str, str], ...]]:
    """The reagents of one use in the pot, and those whose assay is not known."""
    found, unknown = [], []
    for one in pot:
        formula = reagent_formula(one.substance)
        if one.substance is None or formula is None or formula not in known:
            continue
        if not one.substance.assay_percent:
            unknown.append((one.name, "assay"))
            continue
        reagent = known_reagent(formula, use, name="formula")
        # What a gas took was taken from what was charged, which alone takes acid or metal.
        pure = (one.mass + one.driven_off) * Fraction(one.substance.assay_percent) / 100
        equivalents = pure / Fraction(reagent.molar_mass) * reagent.equivalents
        found.append(_Dose(one, reagent, pure, equivalents))
    return found, tuple(unknown)


def _acids_unknown(pot: Sequence[Component]) -> tuple[tuple[str, str], ...]:
    return tuple(
        (one.name, "acid value")
        for one in pot
        if _may_be_acid(one) and one.substance and one.substance.acid_value is None
    )


def _may_be_acid(one: Component) -> bool:
    """Resins, resinates and balsams, and what nobody says what it is."""
    return (one.family is None or one.family in ACIDS) and not one.acid_mol


def _no_acid(pot: Sequence[Component], doses: Sequence[_Dose]) -> tuple[tuple[str, str], ...]:
    """A reagent without any resin acid in the pot has nothing to react with, which is no riddle
    unless the acid of something is not known."""
    unknown = [
        one
        for one in pot
        if one.family in ACIDS and one.substance and one.substance.acid_value is None
    ]
    return tuple((one.name, "acid value") for one in unknown) if doses else ()


def _too_much(doses: Sequence[_Dose], taken: Fraction, acid: Fraction) -> OutOfRange:
    first = doses[0].component
    percent = plain(round_significant(decimal_of(100 * taken / acid), 4))
    return OutOfRange(
        f"{first.name} brings {percent} % of the metal that the acid in the pot can take",
        "take less of it, or more resin",
        field=f"lines/{first.lines[0]}",
    )


def _resinate(
    dose: _Dose, acids: Sequence[Component], mass: Fraction, bound: Fraction | None = None
) -> Component:
    equivalents = dose.equivalents if bound is None else bound
    metal = equivalents / dose.reagent.valence * Fraction(dose.reagent.metal_weight)
    lines = (*(line for one in acids for line in one.lines), *dose.component.lines)
    name = f"{_METALS[dose.reagent.metal]} resinate"
    return Component(name, "resinate", lines, mass, metals=((dose.reagent.metal, metal),))


def _inert(dose: _Dose) -> tuple[Component, ...]:
    rest = dose.component.mass - dose.pure
    name = f"inert matter of {dose.component.name}"
    return (Component(name, INERT, dose.component.lines, rest),) if rest else ()


def _lighter(one: Component, gas: Fraction) -> Component:
    """A component less what left it as a gas, which is remembered."""
    return one._replace(mass=one.mass - gas, driven_off=one.driven_off + gas) if gas else one


def _rest(one: Component, share: Fraction) -> Component:
    """A resin less the acid that took metal."""
    if not one.acid_mol:
        return one
    gone = one.acid_mol * share
    return one._replace(mass=one.mass - gone * one.acid_g_mol, acid_mol=one.acid_mol - gone)


def _fusion_notes(doses: Sequence[_Dose], acids: Sequence[Component]) -> tuple[str, ...]:
    """What to look out for, all of one metal taken together."""
    notes, rosin = [CARRIED_TO_ITS_END], decimal_of(total(acids))
    for dose in doses:
        metal = _charged([one for one in doses if one.reagent.metal == dose.reagent.metal])
        moles = decimal_of(metal / dose.reagent.valence)
        notes += fusion_notes(dose.reagent, moles, rosin_g=rosin)
    return tuple(dict.fromkeys(notes))


def _precipitation_notes(
    metal: Sequence[_Dose], alkali: Fraction, acid: Fraction
) -> tuple[str, ...]:
    """What is theoretical of each soap, and what alkali or salt is too little or too much."""
    notes = [soap_note(dose.reagent.metal, dose.reagent.valence) for dose in metal]
    notes += [note for dose in metal for note in salt_notes(dose.reagent)]
    notes += alkali_notes(decimal_of(alkali), decimal_of(acid))
    short = min(alkali, acid) - _charged(metal)
    if short * 10_000 > acid:
        percent = plain(round_significant(decimal_of(100 * short / min(alkali, acid)), 2))
        notes.append(f"{percent} % of the soap meets no salt: it stays soap and may wash out")
    return tuple(dict.fromkeys(notes))
