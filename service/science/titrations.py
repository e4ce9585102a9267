"""Acid, saponification, ester and iodine values from what the burette shows."""

from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import at_least, positive, within
from service.science.rosin_soap import KOH_MG_PER_MOL
from service.science.rounding import plain, round_significant

_WEAKEST = Decimal("0.001")
_STRONGEST = Decimal(2)
_HIGHEST_ACID_VALUE = Decimal(250)
_SAPONIFICATION = (Decimal(50), Decimal(400))
_HIGHEST_IODINE_VALUE = Decimal(300)
# A tenth of the atomic weight of iodine: g of iodine in 100 g, from ml, mol/l and g.
_IODINE = Decimal("12.69")
_MG_PER_G = 1000
_MOST_USED_PERCENT = 50


class IodineValue(NamedTuple):
    """The iodine value, and how much of the reagent the sample used up."""

    iodine_value: Decimal
    reagent_used_percent: Decimal
    notes: tuple[str, ...]


def acid_value(
    sample_ml: Decimal,
    blank_ml: Decimal = Decimal(0),
    *,
    titrant_mol_l: Decimal,
    mass_g: Decimal,
) -> Decimal:
    """Work out the acid value of an oil or a resin from a titration with alkali.

    Parameters: sample_ml [ml, 0 or more; titre of the sample]; blank_ml [ml, 0 or more; titre of
    the solvent alone]; titrant_mol_l [mol/l, 0.001-2; equivalents of alkali, KOH or any other];
    mass_g [g, above 0; sample weighed].
    Returns: [mg KOH/g] the acid value; report oils to 0.1, resins to 1.
    Raises: OutOfRange for a number, a blank above the titre, or an acid value above 250.
    Source: definition, 56.106 mg KOH to the millimole (standards print 56.1); duplicates within
    2 % of each other, from memory.

    >>> round(acid_value(Decimal("12.45"), Decimal("0.05"), titrant_mol_l=Decimal("0.1012"),
    ...                  mass_g=Decimal("1.9876")), 2)
    Decimal('35.42')
    """
    at_least(sample_ml, 0, name="sample_ml")
    if at_least(blank_ml, 0, name="blank_ml") > sample_ml:
        raise OutOfRange(
            f"the blank of {blank_ml:f} ml is above the titre of {sample_ml:f} ml",
            "send both in ml, the blank without the sample",
            field="blank_ml",
        )
    value = _value(sample_ml - blank_ml, titrant_mol_l=titrant_mol_l, mass_g=mass_g)
    if value > _HIGHEST_ACID_VALUE:
        raise _unlikely("acid value", value, limits="0-250", field="sample_ml")
    return value


def saponification_value(
    blank_ml: Decimal, sample_ml: Decimal, *, titrant_mol_l: Decimal, mass_g: Decimal
) -> Decimal:
    """Work out the saponification value from a back titration with acid.

    Parameters: blank_ml [ml, 0 or more; acid for the alkali without sample]; sample_ml [ml, 0 or
    more; acid for what the sample left]; titrant_mol_l [mol/l, 0.001-2; equivalents of acid];
    mass_g [g, above 0; sample weighed].
    Returns: [mg KOH/g] the saponification value.
    Raises: OutOfRange for a number, a titre above the blank, or a value outside 50-400.
    Source: definition, 56.106 mg KOH to the millimole (standards print 56.1).

    >>> round(saponification_value(Decimal("24.85"), Decimal("11.35"),
    ...                            titrant_mol_l=Decimal("0.5"), mass_g=Decimal("2.015")), 1)
    Decimal('187.9')
    """
    used_ml = _used(blank_ml, sample_ml)
    value = _value(used_ml, titrant_mol_l=titrant_mol_l, mass_g=mass_g)
    low, high = _SAPONIFICATION
    if not low <= value <= high:
        raise _unlikely("saponification value", value, limits="50-400", field="blank_ml")
    return value


def ester_value(saponification_value: Decimal, acid_value: Decimal) -> Decimal:
    """Work out the ester value, the part of the saponification value that is not free acid.

    Parameters: saponification_value [mg KOH/g, 50-400]; acid_value [mg KOH/g, 0-250].
    Returns: [mg KOH/g] the ester value.
    Raises: OutOfRange for either, or an acid value above the saponification value.
    Source: definition.

    >>> ester_value(Decimal(192), Decimal(2))
    Decimal('190')
    """
    low, high = _SAPONIFICATION
    within(saponification_value, low, high=high, name="saponification_value")
    within(acid_value, 0, high=_HIGHEST_ACID_VALUE, name="acid_value")
    if acid_value > saponification_value:
        raise OutOfRange(
            f"the saponification value {saponification_value:f} is below the acid value",
            "measure both on the same sample",
            field="saponification_value",
        )
    return saponification_value - acid_value


def iodine_value(
    blank_ml: Decimal, sample_ml: Decimal, *, titrant_mol_l: Decimal, mass_g: Decimal
) -> IodineValue:
    """Work out the iodine value from a back titration with thiosulfate, Wijs reagent.

    Parameters: blank_ml [ml, 0 or more; thiosulfate for the reagent without sample]; sample_ml
    [ml, 0 or more; thiosulfate for what the sample left]; titrant_mol_l [mol/l, 0.001-2; of the
    thiosulfate]; mass_g [g, above 0; sample weighed].
    Returns: the iodine value in g I2/100 g, and the share of the reagent used up in %.
    Raises: OutOfRange for a number, a titre above the blank, or a value above 300.
    Source: definition, 12.69 g I2/100 g to the millimole in a gram; excess of reagent from memory.

    >>> round(iodine_value(Decimal("48.6"), Decimal("21.85"), titrant_mol_l=Decimal("0.1"),
    ...                    mass_g=Decimal("0.1875")).iodine_value, 1)
    Decimal('181.0')
    """
    used_ml = _used(blank_ml, sample_ml)
    strength = _strength(titrant_mol_l)
    value = _IODINE * strength * used_ml / positive(mass_g, "mass_g")
    if value > _HIGHEST_IODINE_VALUE:
        raise _unlikely("iodine value", value, limits="0-300", field="blank_ml")
    used = 100 * used_ml / blank_ml if blank_ml else Decimal(0)
    notes: tuple[str, ...] = (
        "conjugated oils such as tung depend on the excess and the time: state both",
    )
    if used > _MOST_USED_PERCENT:
        notes = (*notes, "more than half of the reagent is used up: weigh less sample")
    return IodineValue(value, used, notes)


def _used(blank_ml: Decimal, sample_ml: Decimal) -> Decimal:
    at_least(blank_ml, 0, name="blank_ml")
    if at_least(sample_ml, 0, name="sample_ml") > blank_ml:
        raise OutOfRange(
            f"the titre of {sample_ml:f} ml is above the blank of {blank_ml:f} ml",
            "send the blank first; the sample leaves less to titrate",
            field="sample_ml",
        )
    return blank_ml - sample_ml


def _value(used_ml: Decimal, *, titrant_mol_l: Decimal, mass_g: Decimal) -> Decimal:
    strength = _strength(titrant_mol_l)
    return KOH_MG_PER_MOL / _MG_PER_G * strength * used_ml / positive(mass_g, "mass_g")


def _strength(titrant_mol_l: Decimal) -> Decimal:
    return within(titrant_mol_l, _WEAKEST, high=_STRONGEST, name="titrant_mol_l")


def _unlikely(what: str, value: Decimal, *, limits: str, field: str) -> OutOfRange:
    return OutOfRange(
        f"the {what} comes to {plain(round_significant(value, 4))}",
        f"nothing of the trade lies outside {limits}: check titres, strength and mass",
        field=field,
    )
