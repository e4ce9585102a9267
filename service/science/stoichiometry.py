"""The arithmetic of rosin acid with alkali, salts and oxides.

Equivalents are sized on the acid number and the mass measured at that stage; the salt of a
precipitation on the alkali charged, because every equivalent of it takes metal.
"""

import functools
from dataclasses import dataclass
from decimal import Decimal

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulas import atomic_weight, molar_mass
from service.science.formulas import parse_formula as parse_formula
from service.science.ranges import positive, within
from service.science.tables import rows

# Milligrams of potassium hydroxide to the mole: the unit behind every acid number.
KOH_MG_PER_MOL = Decimal(56106)
_HIGHEST_ACID_NUMBER = Decimal(200)


@dataclass(frozen=True, slots=True)
class SoapBase:
    """The acid to be neutralised in mol and the base to weigh in g."""

    acid_mol: Decimal
    base_g: Decimal


@dataclass(frozen=True, slots=True)
class Resinate:
    """A neutral precipitated resinate: theoretical mass in g and metal in %."""

    product_g: Decimal
    metal_percent: Decimal


@dataclass(frozen=True, slots=True)
class FusedResinate:
    """What a fusion leaves, by mass balance: g, %, and the acid number in mg KOH/g."""

    neutralised_percent: Decimal
    driven_off_g: Decimal
    product_g: Decimal
    metal_percent: Decimal
    residual_acid_number: Decimal


@dataclass(frozen=True, slots=True)
class _Reagent:
    formula: str
    metal: str
    valence: int
    metals: int
    driven_off: str


def acid_equivalents(mass_g: Decimal, acid_number: Decimal) -> Decimal:
    """Give the acid of a resin in mol.

    Parameters: mass_g [g, above 0]; acid_number [mg KOH/g, above 0 up to 200], both measured at
    this stage.
    Raises: OutOfRange for either; pure abietic acid has 185.5, so above 200 is no rosin.
    Source: definition of the acid number, 56106 mg KOH to the mole.

    >>> round(acid_equivalents(Decimal(1000), Decimal(165)), 5)
    Decimal('2.94086')
    """
    positive(mass_g, "mass in g")
    positive(acid_number, "acid number in mg KOH/g")
    within(acid_number, 0, high=_HIGHEST_ACID_NUMBER, what="acid number in mg KOH/g")
    return mass_g * acid_number / KOH_MG_PER_MOL


def theoretical_acid_number(formula: str, acid_groups: int = 1) -> Decimal:
    """Give the acid number of a pure acid, in mg KOH/g.

    Parameters: formula [1]; acid_groups [1, 1 or more]. Raises: OutOfRange below one group.
    Source: definition of the acid number, 56106 mg KOH to the mole.

    >>> round(theoretical_acid_number("C20H30O2"), 1)
    Decimal('185.5')
    """
    positive(Decimal(acid_groups), "number of acid groups")
    return acid_groups * KOH_MG_PER_MOL / molar_mass(formula)


def soap_base(
    mass_g: Decimal,
    acid_number: Decimal,
    *,
    base: str,
    purity_percent: Decimal,
    excess_percent: Decimal = Decimal(0),
) -> SoapBase:
    """Size the alkali that turns a resin into its soap.

    Parameters: mass_g [g, above 0]; acid_number [mg KOH/g, above 0 up to 200]; base [formula with
    its crystal water]; purity_percent [%, above 0 up to 100]; excess_percent [%, 0 up to 100].
    Raises: OutOfRange for a number, NotApplicable for an unknown base.
    Source: stoichiometry; a carbonate holds two equivalents.

    >>> round(soap_base(Decimal(1000), Decimal(165), base="NaOH",
    ...                 purity_percent=Decimal("98.5")).base_g, 1)
    Decimal('119.4')
    """
    acid = acid_equivalents(mass_g, acid_number)
    reagent = _reagent("base", base)
    pure = acid / _equivalents(reagent) * molar_mass(base)
    return SoapBase(acid, _as_weighed(pure, purity_percent, excess_percent=excess_percent))


def base_equivalents(mass_g: Decimal, base: str, *, purity_percent: Decimal) -> Decimal:
    """Give the alkali that was charged, in mol of equivalents.

    Parameters: mass_g [g, above 0]; base [formula with its crystal water]; purity_percent [%,
    above 0 up to 100].
    Raises: OutOfRange for a number, NotApplicable for an unknown base.
    Source: stoichiometry; a carbonate holds two equivalents.

    >>> round(base_equivalents(Decimal(40), "NaOH", purity_percent=Decimal(100)), 3)
    Decimal('1.000')
    """
    reagent = _reagent("base", base)
    pure = positive(mass_g, "mass of base in g") * _purity(purity_percent)
    return pure / molar_mass(base) * _equivalents(reagent)


def precipitation_salt(
    equivalents_mol: Decimal,
    salt: str,
    *,
    purity_percent: Decimal,
    excess_percent: Decimal = Decimal(0),
) -> Decimal:
    """Size the metal salt that precipitates a soap, in g.

    Parameters: equivalents_mol [mol, above 0: the alkali charged, or the rosin acid for the
    figure shown beside it]; salt [formula with its crystal water]; purity_percent [%, above 0 up
    to 100]; excess_percent [%, 0 up to 100].
    Raises: OutOfRange for a number, NotApplicable for an unknown salt or unstated crystal water.
    Source: stoichiometry.

    >>> round(precipitation_salt(Decimal("2.94088"), "ZnSO4.7H2O", purity_percent=Decimal(99)))
    427
    """
    reagent = _reagent("salt", salt)
    moles = positive(equivalents_mol, "equivalents in mol") / _equivalents(reagent)
    return _as_weighed(moles * molar_mass(salt), purity_percent, excess_percent=excess_percent)


def precipitated_resinate(mass_g: Decimal, acid_number: Decimal, *, salt: str) -> Resinate:
    """Give the theoretical neutral resinate of a rosin, its salts washed out.

    Parameters: mass_g [g, above 0]; acid_number [mg KOH/g, above 0 up to 200]; salt [formula].
    Raises: as `precipitation_salt`. Iron(III) and aluminium precipitate as basic soaps, so the
    metal is an upper bound.
    Source: stoichiometry: each equivalent trades a hydrogen for metal over valence.

    >>> round(precipitated_resinate(Decimal(1000), Decimal(165), salt="ZnSO4.7H2O").product_g)
    1093
    """
    acid = acid_equivalents(mass_g, acid_number)
    reagent = _reagent("salt", salt)
    metal_g = acid * atomic_weight(reagent.metal) / reagent.valence
    product_g = mass_g + metal_g - acid * atomic_weight("H")
    return Resinate(product_g, 100 * metal_g / product_g)


def neutral_metal_percent(metal: str, valence: int, *, acid: str) -> Decimal:
    """Give the metal in a pure neutral soap of one acid, in %.

    Parameters: metal [symbol]; valence [1, 1 to 4]; acid [formula of the acid].
    Raises: OutOfRange for the valence or an unknown element. Source: stoichiometry.

    >>> round(neutral_metal_percent("Zn", 2, acid="C20H30O2"), 2)
    Decimal('9.78')
    """
    within(Decimal(valence), 1, high=4, what="valence")
    weight = atomic_weight(metal)
    return 100 * weight / (weight + valence * (molar_mass(acid) - atomic_weight("H")))


def fused_resinate(
    mass_g: Decimal,
    acid_number: Decimal,
    *,
    reagent: str,
    reagent_g: Decimal,
    purity_percent: Decimal = Decimal(100),
) -> FusedResinate:
    """Balance the fusion of a rosin with an oxide, a hydroxide or an acetate.

    Parameters: mass_g [g, above 0]; acid_number [mg KOH/g, above 0 up to 200]; reagent [formula
    with its crystal water]; reagent_g [g, above 0]; purity_percent [%, above 0 up to 100].
    Raises: OutOfRange for a number, or for more metal than the acid can take; NotApplicable for
    an unknown reagent or unstated crystal water.
    Source: mass balance; inert impurity stays in the product.

    >>> round(fused_resinate(Decimal(1000), Decimal(165), reagent="ZnO",
    ...                      reagent_g=Decimal(60)).residual_acid_number, 1)
    Decimal('78.6')
    """
    acid = acid_equivalents(mass_g, acid_number)
    known = _reagent("fusion", reagent)
    pure_g = positive(reagent_g, "mass of reagent in g") * _purity(purity_percent)
    metal_mol = pure_g / molar_mass(reagent)
    taken = metal_mol * known.valence
    if taken > acid:
        most_g = reagent_g * acid / taken
        raise OutOfRange(
            f"{reagent_g:f} g of {reagent} is more than the acid of the rosin can take",
            f"send at most {most_g:.1f} g",
        )
    driven_off = metal_mol * molar_mass(known.driven_off)
    product = mass_g + reagent_g - driven_off
    return FusedResinate(
        neutralised_percent=100 * taken / acid,
        driven_off_g=driven_off,
        product_g=product,
        metal_percent=100 * metal_mol * atomic_weight(known.metal) / product,
        residual_acid_number=(acid - taken) * KOH_MG_PER_MOL / product,
    )


@functools.cache
def _reagents(use: str) -> dict[str, _Reagent]:
    return {
        row["formula"]: _Reagent(
            row["formula"],
            row["metal"],
            int(row["valence"]),
            int(row["metals"]),
            row["driven_off"],
        )
        for row in rows("resinate_reagents.csv")
        if row["use"] == use
    }


def _reagent(use: str, formula: str) -> _Reagent:
    known = _reagents(use)
    if formula in known:
        return known[formula]
    hydrates = [name for name in known if name.partition(".")[0] == formula]
    if hydrates:
        raise NotApplicable(
            f"{formula} does not say its crystal water", f"write {' or '.join(hydrates)}"
        )
    raise NotApplicable(f"{formula} is no known {use}", f"use one of: {', '.join(known)}")


def _equivalents(reagent: _Reagent) -> int:
    return reagent.valence * reagent.metals


def _purity(percent: Decimal) -> Decimal:
    positive(percent, "purity in %")
    return within(percent, 0, high=100, what="purity in %") / 100


def _as_weighed(pure_g: Decimal, purity_percent: Decimal, *, excess_percent: Decimal) -> Decimal:
    within(excess_percent, 0, high=100, what="excess in %")
    return pure_g / _purity(purity_percent) * (1 + excess_percent / 100)
