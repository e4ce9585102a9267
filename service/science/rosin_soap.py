"""The acid of a rosin, and the alkali that turns it into a soap.

Everything is sized on the acid number and the mass measured at that stage: a figure from a
certificate is too high once the rosin has been cooked.
"""

from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.formulas import mass_of_formula, parse_formula
from service.science.ranges import above, positive, within
from service.science.resinate_reagents import bases as bases
from service.science.resinate_reagents import known_reagent, purity_share
from service.science.results import Estimate, Standing
from service.science.rounding import plain, round_significant

# Milligrams of potassium hydroxide to the mole: the unit behind every acid number.
KOH_MG_PER_MOL = Decimal(56106)
_HIGHEST_ACID_NUMBER = Decimal(200)
_USUAL_ROSIN = (150, 180)
# Litres of a gas to the mole at 0 °C and 101.325 kPa.
_GAS_L_PER_MOL = Decimal("22.414")
_HOT_GAS = Decimal("1.37")
_LOW_PURITY = 50
_HIGH_KOH_PURITY = 90
_HIGH_EXCESS = 20


class RosinAcid(NamedTuple):
    """The acid of a resin, and what is unusual about its acid number."""

    acid_mol: Decimal
    notes: tuple[str, ...]


class SoapBase(NamedTuple):
    """The base to weigh; the acid it meets, the pure base in it, and the gas at 0 °C."""

    base_g: Decimal
    acid_mol: Decimal
    pure_base_g: Decimal
    carbon_dioxide_l: Decimal
    notes: tuple[str, ...]


def rosin_acid(mass_g: Decimal, acid_number: Decimal) -> RosinAcid:
    """Work out the acid of a rosin, hardened rosin or other resin.

    Parameters: mass_g [g, above 0]; acid_number [mg KOH/g, above 0 up to 200; measured on this
    resin at this stage].
    Returns: the acid in mol, with a note outside the acid numbers usual for gum rosin.
    Raises: OutOfRange for either; pure abietic acid has 185.5, so above 200 is no rosin.
    Source: definition of the acid number, 56106 mg KOH to the mole; usual range of gum rosin
    from memory.

    >>> round(rosin_acid(Decimal(1000), Decimal(165)).acid_mol, 5)
    Decimal('2.94086')
    """
    positive(mass_g, "mass_g")
    above(acid_number, 0, high=_HIGHEST_ACID_NUMBER, name="acid_number")
    return RosinAcid(mass_g * acid_number / KOH_MG_PER_MOL, _rosin_notes(acid_number))


def theoretical_acid_number(formula: str, acid_groups: int = 1) -> Estimate:
    """Work out the acid number of a pure acid.

    Parameters: formula [text, of the acid, such as C20H30O2]; acid_groups [1, 1 to 10; hydrogens
    that the alkali takes].
    Returns: [mg KOH/g] the highest acid number that the acid can have.
    Raises: NumberMalformed or OutOfRange for the formula, OutOfRange for the groups,
    NotApplicable if the formula has fewer hydrogens than groups.
    Source: definition of the acid number, 56106 mg KOH to the mole.

    >>> round(theoretical_acid_number("C20H30O2").value, 1)
    Decimal('185.5')
    """
    within(Decimal(acid_groups), 1, high=10, name="acid_groups")
    mass = mass_of_formula(formula)
    if parse_formula(formula).get("H", 0) < acid_groups:
        raise NotApplicable(
            f"{formula} has fewer than {acid_groups} hydrogens to give",
            "send the formula of an acid",
            field="formula",
        )
    return Estimate(
        acid_groups * KOH_MG_PER_MOL / mass,
        Standing.THEORETICAL,
        "it holds for the pure acid: gum rosin has 150-175, its neutral part taking no base",
    )


def soap_base(
    mass_g: Decimal,
    acid_number: Decimal,
    *,
    base: str,
    purity_percent: Decimal,
    excess_percent: Decimal = Decimal(0),
) -> SoapBase:
    """Size the alkali that turns a resin into its soap.

    Parameters: mass_g [g, above 0; of the resin]; acid_number [mg KOH/g, above 0 up to 200;
    measured at this stage]; base [one of `bases()`]; purity_percent [%, above 1 up to 100; assay
    of the base on its label]; excess_percent [%, 0-100; alkali beyond the acid].
    Returns: the base to weigh in g, with the acid in mol, the pure base in g, and the carbon
    dioxide of a carbonate in l at 0 °C and 101.325 kPa.
    Raises: OutOfRange for a number, NotApplicable for an unknown base.
    Source: stoichiometry, a carbonate holding two equivalents; assays usual in trade from memory.

    >>> round(soap_base(Decimal(1000), Decimal(165), base="NaOH",
    ...                 purity_percent=Decimal("98.5")).base_g, 1)
    Decimal('119.4')
    """
    acid = rosin_acid(mass_g, acid_number)
    reagent = known_reagent(base, "base", name="base")
    share = purity_share(purity_percent)
    more = 1 + within(excess_percent, 0, high=100, name="excess_percent") / 100
    pure_g = acid.acid_mol / reagent.equivalents * reagent.molar_mass * more
    gas_l = acid.acid_mol / 2 * _GAS_L_PER_MOL if "CO3" in reagent.formula else Decimal(0)
    notes = (
        *acid.notes,
        *_base_notes(reagent.formula, purity_percent, excess_percent=excess_percent),
        *_gas_notes(gas_l),
    )
    return SoapBase(pure_g / share, acid.acid_mol, pure_g, gas_l, notes)


def alkali_charged(mass_g: Decimal, base: str, *, purity_percent: Decimal) -> Decimal:
    """Work out the alkali that a weighed base holds, which is what the metal salt is sized on.

    Parameters: mass_g [g, above 0; of the base as weighed]; base [one of `bases()`];
    purity_percent [%, above 1 up to 100; assay of the base].
    Returns: [mol] equivalents of alkali.
    Raises: OutOfRange for a number, NotApplicable for an unknown base.
    Source: stoichiometry; a carbonate holds two equivalents.

    >>> round(alkali_charged(Decimal(40), "NaOH", purity_percent=Decimal(100)), 3)
    Decimal('1.000')
    """
    reagent = known_reagent(base, "base", name="base")
    pure_g = positive(mass_g, "mass_g") * purity_share(purity_percent)
    return pure_g / reagent.molar_mass * reagent.equivalents


def _rosin_notes(acid_number: Decimal) -> tuple[str, ...]:
    low, high = _USUAL_ROSIN
    if low <= acid_number <= high:
        return ()
    return (
        f"gum rosin usually has an acid number of {low}-{high}: this is a hardened, esterified "
        "or other resin, or measure again",
    )


def _base_notes(base: str, purity_percent: Decimal, *, excess_percent: Decimal) -> tuple[str, ...]:
    notes = []
    if purity_percent < _LOW_PURITY:
        notes.append("an assay below 50 % is a solution or a spoilt base: measure it")
    if base == "KOH" and purity_percent > _HIGH_KOH_PURITY:
        notes.append("flake KOH is usually 85-90 %, the rest water: check the label")
    if excess_percent > _HIGH_EXCESS:
        notes.append("over 20 % excess: the free alkali takes metal salt as hydroxide")
    if "OH" in base:
        notes.append(
            "caustic: goggles and gloves, the base little by little into cold water, never water "
            "onto the base; it grows hot"
        )
    return tuple(notes)


def _gas_notes(gas_l: Decimal) -> tuple[str, ...]:
    if not gas_l:
        return ()
    hot = plain(round_significant(gas_l * _HOT_GAS, 2))
    return (
        f"a carbonate needs boiling and gives about {hot} l of carbon dioxide at 100 °C, "
        "which foams: small portions, kettle at most half full",
    )
