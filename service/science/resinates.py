"""Metal resinates, precipitated from a soap or fused from rosin, and the metal found in them.

The salt of a precipitation is sized on the alkali charged, because every equivalent of it takes
metal. What is worked out here is theory; metal measured by ash beats it.
"""

from decimal import ROUND_FLOOR, Context, Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulas import atomic_weight, elements, mass_of_formula, parse_formula
from service.science.ranges import above, one_of, positive, within
from service.science.resinate_notes import (
    CARRIED_TO_ITS_END,
    alkali_notes,
    fusion_notes,
    salt_notes,
    soap_note,
)
from service.science.resinate_reagents import fusion_reagents as fusion_reagents
from service.science.resinate_reagents import known_reagent, purity_share
from service.science.resinate_reagents import salts as salts
from service.science.results import Estimate, Standing
from service.science.rosin_soap import KOH_MG_PER_MOL, rosin_acid

_HYDROGEN = "H"
# A sum carried to the last figure may pass full neutralisation by a digit that means nothing.
_SLACK = Decimal("1.000000001")
_FOUR_FIGURES_DOWN = Context(prec=4, rounding=ROUND_FLOOR)


class PrecipitationSalt(NamedTuple):
    """The salt to weigh on the alkali charged, and beside it the figure on the rosin acid."""

    salt_g: Decimal
    on_rosin_acid_g: Decimal | None
    metal_g: Decimal
    notes: tuple[str, ...]


class PrecipitatedResinate(NamedTuple):
    """What a precipitation gives: product, metal, and the acid left in it."""

    product_g: Decimal
    metal_percent: Decimal
    metal_g: Decimal
    bound_mol: Decimal
    residual_acid_number: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class FusionReagent(NamedTuple):
    """The reagent of a fusion, and what to look out for."""

    reagent_g: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class FusedResinate(NamedTuple):
    """What a fusion leaves by mass balance: product, metal, acid taken, what boils off."""

    product_g: Decimal
    metal_percent: Decimal
    neutralised_percent: Decimal
    driven_off_g: Decimal
    residual_acid_number: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def precipitation_salt(
    alkali_mol: Decimal,
    salt: str,
    *,
    purity_percent: Decimal,
    excess_percent: Decimal = Decimal(0),
    acid_mol: Decimal | None = None,
) -> PrecipitationSalt:
    """Size the metal salt that precipitates a rosin soap.

    Parameters: alkali_mol [mol, above 0; the alkali charged]; salt [one of `salts()`];
    purity_percent [%, above 1 up to 100; assay of the salt]; excess_percent [%, 0-100; salt
    beyond the alkali]; acid_mol [mol, above 0; the rosin acid; left out, there is no figure on it].
    Returns: the salt to weigh in g, the figure on the rosin acid, and the metal in it in g.
    Raises: OutOfRange for a number, NotApplicable for an unknown salt or unstated crystal water.
    Source: stoichiometry.

    >>> round(precipitation_salt(Decimal("2.94088"), "ZnSO4.7H2O",
    ...                          purity_percent=Decimal(99)).salt_g)
    427
    """
    reagent = known_reagent(salt, "salt", name="salt")
    share = purity_share(purity_percent)
    more = 1 + within(excess_percent, 0, high=100, name="excess_percent") / 100
    each_g = reagent.molar_mass / reagent.equivalents / share * more
    salt_g = positive(alkali_mol, "alkali_mol") * each_g
    on_acid = None if acid_mol is None else positive(acid_mol, "acid_mol") * each_g
    metal_g = salt_g * share / reagent.molar_mass * reagent.metals * reagent.metal_weight
    notes = (
        *alkali_notes(alkali_mol, acid_mol),
        "wash until the water is free of chloride or sulfate",
        *salt_notes(reagent),
    )
    return PrecipitationSalt(salt_g, on_acid, metal_g, notes)


def precipitated_resinate(
    mass_g: Decimal, acid_number: Decimal, *, salt: str, alkali_mol: Decimal | None = None
) -> PrecipitatedResinate:
    """Work out the resinate that a rosin gives by precipitation, its salts washed out.

    Parameters: mass_g [g, above 0; of the rosin]; acid_number [mg KOH/g, above 0 up to 200;
    measured at this stage]; salt [one of `salts()`]; alkali_mol [mol, above 0; the alkali
    charged; left out, as much as there is acid].
    Returns: product in g, metal in %, the acid bound, and the acid number of what stays rosin.
    Raises: OutOfRange for a number, NotApplicable for an unknown salt or unstated crystal water.
    Source: stoichiometry, each equivalent trading a hydrogen for metal over valence.

    >>> round(precipitated_resinate(Decimal(1000), Decimal(165), salt="ZnSO4.7H2O").product_g)
    1093
    """
    rosin = rosin_acid(mass_g, acid_number)
    reagent = known_reagent(salt, "salt", name="salt")
    alkali = rosin.acid_mol if alkali_mol is None else positive(alkali_mol, "alkali_mol")
    bound = min(rosin.acid_mol, alkali)
    metal_g = bound * reagent.metal_weight / reagent.valence
    product_g = mass_g + metal_g - bound * atomic_weight(_HYDROGEN)
    return PrecipitatedResinate(
        product_g=product_g,
        metal_percent=100 * metal_g / product_g,
        metal_g=metal_g,
        bound_mol=bound,
        residual_acid_number=(rosin.acid_mol - bound) * KOH_MG_PER_MOL / product_g,
        standing=Standing.THEORETICAL,
        why=soap_note(reagent.metal, reagent.valence),
        notes=(*rosin.notes, *alkali_notes(alkali, rosin.acid_mol), *salt_notes(reagent)),
    )


def neutral_metal_percent(metal: str, valence: int, *, acid: str) -> Estimate:
    """Work out the metal in a pure neutral soap of one acid.

    Parameters: metal [one of `elements()`]; valence [1, 1 to 4]; acid [text, formula of the acid
    such as C20H30O2].
    Returns: [%] metal in the dry soap.
    Raises: OutOfRange for the valence or an unknown element, NumberMalformed for the formula,
    NotApplicable for a formula without hydrogen.
    Source: stoichiometry, 100 M / (M + z (M acid - 1.008)).

    >>> round(neutral_metal_percent("Zn", 2, acid="C20H30O2").value, 2)
    Decimal('9.78')
    """
    one_of(metal, elements(), name="metal")
    within(Decimal(valence), 1, high=4, name="valence")
    rest = mass_of_formula(acid, name="acid") - atomic_weight(_HYDROGEN)
    if _HYDROGEN not in parse_formula(acid):
        raise NotApplicable(
            f"{acid} has no hydrogen to give", "send the formula of an acid", field="acid"
        )
    weight = atomic_weight(metal)
    return Estimate(
        100 * weight / (weight + valence * rest),
        Standing.THEORETICAL,
        soap_note(metal, valence),
    )


def fused_resinate(
    mass_g: Decimal,
    acid_number: Decimal,
    *,
    reagent: str,
    reagent_g: Decimal,
    purity_percent: Decimal = Decimal(100),
) -> FusedResinate:
    """Balance the fusion of a rosin with an oxide, a hydroxide or an acetate.

    Parameters: mass_g [g, above 0; of the rosin]; acid_number [mg KOH/g, above 0 up to 200;
    measured at this stage]; reagent [one of `fusion_reagents()`]; reagent_g [g, above 0];
    purity_percent [%, above 1 up to 100; assay of the reagent].
    Returns: product in g, metal and acid taken in %, what is driven off in g, residual acid.
    Raises: OutOfRange for a number, or for more metal than the acid can take; NotApplicable for
    an unknown reagent or unstated crystal water.
    Source: mass balance, inert impurity staying in; limits of an open kettle from memory.

    >>> round(fused_resinate(Decimal(1000), Decimal(165), reagent="ZnO",
    ...                      reagent_g=Decimal(60)).residual_acid_number, 1)
    Decimal('78.6')
    """
    rosin = rosin_acid(mass_g, acid_number)
    known = known_reagent(reagent, "fusion", name="reagent")
    pure_g = positive(reagent_g, "reagent_g") * purity_share(purity_percent)
    metal_mol = pure_g / known.molar_mass
    taken = metal_mol * known.valence
    if taken > rosin.acid_mol * _SLACK:
        raise OutOfRange(
            f"{reagent_g:f} g of {reagent} is more than the acid of the rosin can take",
            f"send at most {_most(reagent_g * rosin.acid_mol / taken)} g",
            field="reagent_g",
        )
    taken = min(taken, rosin.acid_mol)
    driven_off = metal_mol * mass_of_formula(known.driven_off)
    product = mass_g + reagent_g - driven_off
    return FusedResinate(
        product_g=product,
        metal_percent=100 * metal_mol * known.metal_weight / product,
        neutralised_percent=100 * taken / rosin.acid_mol,
        driven_off_g=driven_off,
        residual_acid_number=(rosin.acid_mol - taken) * KOH_MG_PER_MOL / product,
        standing=Standing.THEORETICAL,
        why=CARRIED_TO_ITS_END,
        notes=(*rosin.notes, *fusion_notes(known, metal_mol, rosin_g=mass_g)),
    )


def fusion_reagent(
    mass_g: Decimal,
    acid_number: Decimal,
    *,
    reagent: str,
    neutralised_percent: Decimal,
    purity_percent: Decimal = Decimal(100),
) -> FusionReagent:
    """Size the oxide, hydroxide or acetate that takes a chosen part of the acid of a rosin.

    Parameters: mass_g [g, above 0; of the rosin]; acid_number [mg KOH/g, above 0 up to 200;
    measured at this stage]; reagent [one of `fusion_reagents()`]; neutralised_percent [%, above
    0 up to 100; part of the acid to be taken]; purity_percent [%, above 1 up to 100; assay].
    Returns: the reagent to weigh in g, with what to look out for.
    Raises: OutOfRange for a number, NotApplicable for an unknown reagent or unstated water.
    Source: stoichiometry; limits of an open kettle from memory.

    >>> round(fusion_reagent(Decimal(1000), Decimal(165), reagent="Ca(OH)2",
    ...                      neutralised_percent=Decimal(50)).reagent_g, 1)
    Decimal('54.5')
    """
    rosin = rosin_acid(mass_g, acid_number)
    known = known_reagent(reagent, "fusion", name="reagent")
    part = above(neutralised_percent, 0, high=100, name="neutralised_percent") / 100
    metal_mol = rosin.acid_mol * part / known.valence
    return FusionReagent(
        reagent_g=metal_mol * known.molar_mass / purity_share(purity_percent),
        standing=Standing.THEORETICAL,
        why=CARRIED_TO_ITS_END,
        notes=(*rosin.notes, *fusion_notes(known, metal_mol, rosin_g=mass_g)),
    )


def _most(reagent_g: Decimal) -> str:
    """A mass in four figures, rounded down so that it can be sent as it stands."""
    return format(_FOUR_FIGURES_DOWN.plus(reagent_g), "f")
