"""What the values of an oil say of its triglycerides, and the values its fatty acids would give."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.formulas import atomic_weight, molar_mass
from service.science.ranges import above, count, one_of, within
from service.science.results import Estimate, Standing
from service.science.rosin_soap import KOH_MG_PER_MOL
from service.science.rounding import plain, round_significant
from service.science.tables import rows

_ESTERS = 3
_GLYCEROL = "C3H8O3"
_WATER = "H2O"
_OLEIC = "oleic"
# A profile from a gas chromatograph leaves traces out, and rounds.
_TOTAL = (Decimal(90), Decimal(102))
_WHOLE = Decimal(100)


class AcidShare(NamedTuple):
    """One fatty acid of an oil.

    Fields: acid [one of `fatty_acids()`]; share_percent [%, above 0 up to 100; mass share of all
    fatty acids].
    """

    acid: str
    share_percent: Decimal


class TheoreticalOil(NamedTuple):
    """The values that the mean triglyceride of some fatty acids has."""

    iodine_value: Decimal
    saponification_value: Decimal
    molar_mass_g_mol: Decimal
    double_bonds: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class _FattyAcid(NamedTuple):
    molar_mass: Decimal
    double_bonds: int
    conjugated: bool


def fatty_acids() -> tuple[str, ...]:
    """List the fatty acids known by name.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/fatty_acids.csv.

    >>> "linolenic" in fatty_acids()
    True
    """
    return tuple(_acids())


def theoretical_oil(acids: Sequence[AcidShare]) -> TheoreticalOil:
    """Work out the iodine and saponification value of a neutral oil from its fatty acids.

    Parameters: acids [list of `AcidShare`; one acid of 100 % gives its pure triglyceride; shares
    that add up to 90-102 % are brought to 100].
    Returns: iodine value in g I2/100 g, saponification value in mg KOH/g, and the molar mass and
    double bonds of the mean triglyceride.
    Raises: OutOfRange for a name or a share, or shares that do not add up; NotApplicable for an
    empty list.
    Source: stoichiometry, SV = 3 x 56106 / M and IV = 100 x 253.80 x double bonds / M.

    >>> round(theoretical_oil([AcidShare("linolenic", Decimal(100))]).iodine_value, 1)
    Decimal('261.5')
    """
    total = _total(acids)
    moles = [each.share_percent / _acids()[each.acid].molar_mass for each in acids]
    bonds = sum(
        (mole * _acids()[each.acid].double_bonds for mole, each in zip(moles, acids, strict=True)),
        Decimal(0),
    )
    acid_mol = sum(moles, Decimal(0))
    mass = _ESTERS * (total / acid_mol - molar_mass(_WATER)) + molar_mass(_GLYCEROL)
    double_bonds = _ESTERS * bonds / acid_mol
    iodine = 2 * atomic_weight("I")
    return TheoreticalOil(
        iodine_value=_WHOLE * iodine * double_bonds / mass,
        saponification_value=_ESTERS * KOH_MG_PER_MOL / mass,
        molar_mass_g_mol=mass,
        double_bonds=double_bonds,
        standing=Standing.THEORETICAL,
        why="a neutral oil of triglycerides alone is assumed, without free acid or other matter",
        notes=_profile_notes(acids, total),
    )


def mean_triglyceride(saponification_value: Decimal, acid_value: Decimal) -> Estimate:
    """Work out the mean molar mass of the triglycerides of an oil from its values.

    Parameters: saponification_value [mg KOH/g, 100-400]; acid_value [mg KOH/g, 0-50].
    Returns: [g/mol] the mean molar mass; triolein has 885, trilinolenin 873.
    Raises: OutOfRange for either.
    Source: stoichiometry, 3 x 56106 / (SV - AV).

    >>> round(mean_triglyceride(Decimal(192), Decimal(2)).value, 1)
    Decimal('885.9')
    """
    within(saponification_value, 100, high=400, name="saponification_value")
    within(acid_value, 0, high=50, name="acid_value")
    return Estimate(
        _ESTERS * KOH_MG_PER_MOL / (saponification_value - acid_value),
        Standing.APPROXIMATE,
        "it holds for a neutral oil: free acid and other matter shift it",
    )


def free_fatty_acid_percent(acid_value: Decimal, acid: str = _OLEIC) -> Estimate:
    """Turn an acid value into percent of free fatty acid.

    Parameters: acid_value [mg KOH/g, 0-250]; acid [one of `fatty_acids()`; the acid it is
    written as].
    Returns: [%] free fatty acid by mass.
    Raises: OutOfRange for the acid value, or so much acid that it passes 100 %, or an unknown
    acid.
    Source: stoichiometry, AV M / 561.06; 0.50345 AV for oleic acid.

    >>> round(free_fatty_acid_percent(Decimal(4)).value, 3)
    Decimal('2.014')
    """
    within(acid_value, 0, high=250, name="acid_value")
    mass = _acids()[one_of(acid, fatty_acids(), name="acid")].molar_mass
    percent = _WHOLE * acid_value * mass / KOH_MG_PER_MOL
    if percent > _WHOLE:
        raise OutOfRange(
            f"an acid value of {acid_value:f} is more than pure {acid} acid has",
            "name an acid of smaller molar mass",
            field="acid",
        )
    return Estimate(percent, Standing.CONVENTION, f"all acid is counted as {acid} acid")


def acid_value_from_free_fatty_acid(
    free_fatty_acid_percent: Decimal, acid: str = _OLEIC
) -> Estimate:
    """Turn percent of free fatty acid, as a certificate states it, into an acid value.

    Parameters: free_fatty_acid_percent [%, 0-100]; acid [one of `fatty_acids()`; the acid that
    the certificate writes it as].
    Returns: [mg KOH/g] the acid value.
    Raises: OutOfRange for the percentage or an unknown acid.
    Source: stoichiometry, AV = 561.06 percent / M.

    >>> round(acid_value_from_free_fatty_acid(Decimal(2)).value, 2)
    Decimal('3.97')
    """
    within(free_fatty_acid_percent, 0, high=100, name="free_fatty_acid_percent")
    mass = _acids()[one_of(acid, fatty_acids(), name="acid")].molar_mass
    value = free_fatty_acid_percent / _WHOLE * KOH_MG_PER_MOL / mass
    return Estimate(value, Standing.CONVENTION, f"all acid is counted as {acid} acid")


def _total(acids: Sequence[AcidShare]) -> Decimal:
    count(acids, 1, name="acids")
    for place, each in enumerate(acids):
        one_of(each.acid, fatty_acids(), name=f"acids/{place}/acid")
        above(each.share_percent, 0, high=100, name=f"acids/{place}/share_percent")
    total = sum((each.share_percent for each in acids), Decimal(0))
    low, high = _TOTAL
    if not low <= total <= high:
        raise OutOfRange(
            f"the shares add up to {plain(round_significant(total, 4))} %",
            f"send all fatty acids of the oil, {low} to {high} % together",
            field="acids",
        )
    return total


def _profile_notes(acids: Sequence[AcidShare], total: Decimal) -> tuple[str, ...]:
    notes = []
    if total != _WHOLE:
        notes.append(f"the shares add up to {plain(total)} % and were brought to 100")
    if any(_acids()[each.acid].conjugated for each in acids):
        notes.append("conjugated acids take up Wijs reagent slowly: a measured value is lower")
    return tuple(notes)


@functools.cache
def _acids() -> dict[str, _FattyAcid]:
    return {
        row["acid"]: _FattyAcid(
            molar_mass(row["formula"]), int(row["double_bonds"]), row["remark"] == "conjugated"
        )
        for row in rows("fatty_acids.csv")
    }
