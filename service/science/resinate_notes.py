"""What to look out for when a resinate is made, by its metal and how it is made."""

from decimal import Decimal

from service.science.formulas import mass_of_formula
from service.science.resinate_reagents import Reagent
from service.science.rounding import plain, round_significant

CARRIED_TO_ITS_END = "a reaction carried to its end is assumed: measure the acid number"
_NEUTRAL = "a neutral soap, its salts washed out, is assumed: measure the metal by ash"
_BASIC_SOAPS = {"Fe": "iron(III) falls", "Al": "aluminium falls"}
# Percent on the rosin, reckoned as the compound named, beyond which an open kettle seldom holds.
_OPEN_KETTLE_PERCENT = 7
_OPEN_KETTLE = {
    "Ca": ("Ca(OH)2", "lime usually stops at 4-7 % Ca(OH)2 on rosin: more gels"),
    "Zn": (
        "ZnO",
        "zinc in an open kettle goes clear at about 4-7 % ZnO on rosin: more clouds or "
        "crystallises",
    ),
}


def soap_note(metal: str, valence: int) -> str:
    """Say what the sum takes for granted of the soap that a metal makes.

    Parameters: metal [text, its symbol]; valence [1, 1 to 4].
    Returns: the note. Raises: nothing.
    Source: common practice (from memory).

    >>> soap_note("Al", 3).split(":")[0]
    'aluminium falls as a basic soap'
    """
    if valence != 3:
        return _NEUTRAL
    falls = _BASIC_SOAPS.get(metal, f"{metal}(III) may fall")
    return (
        f"{falls} as a basic soap: the acid bound is at most this; metal may be higher and free "
        "acid is left: measure the metal by ash"
    )


def alkali_notes(alkali_mol: Decimal, acid_mol: Decimal | None) -> tuple[str, ...]:
    """Say what the alkali charged does to the metal, told apart beyond the fourth figure.

    Parameters: alkali_mol [mol, above 0]; acid_mol [mol, above 0], None where it is not known.
    Returns: the notes. Raises: nothing.
    Source: stoichiometry.

    >>> alkali_notes(Decimal("0.5"), Decimal(1))
    ('50 % of the rosin acid meets no alkali and stays rosin',)
    """
    if acid_mol is None or abs(alkali_mol - acid_mol) * 10_000 <= acid_mol:
        return ()
    if alkali_mol < acid_mol:
        part = round_significant(100 * (1 - alkali_mol / acid_mol), 2)
        return (f"{plain(part)} % of the rosin acid meets no alkali and stays rosin",)
    beyond = round_significant(100 * (alkali_mol / acid_mol - 1), 2)
    return (
        f"the alkali exceeds the rosin acid by {plain(beyond)} %: its "
        "metal comes down as hydroxide or carbonate and stays in the cake",
    )


def salt_notes(reagent: Reagent) -> tuple[str, ...]:
    """Say what the metal of a salt does to the work and the colour.

    Parameters: reagent [a metal salt].
    Returns: the notes. Raises: nothing.
    Source: common practice (from memory).

    >>> salt_notes(Reagent("CuSO4.5H2O", "Cu", 2, 1, ""))
    ('ferric and cupric resinates darken the varnish',)
    """
    if reagent.metal == "Fe" and not reagent.basic_soap:
        return ("iron(II) turns to iron(III) in air: work fast and dry at once; it darkens",)
    if reagent.metal in ("Fe", "Cu"):
        return ("ferric and cupric resinates darken the varnish",)
    return ()


def fusion_notes(reagent: Reagent, metal_mol: Decimal, *, rosin_g: Decimal) -> tuple[str, ...]:
    """Say what boils off in a fusion, and how much metal an open kettle holds.

    Parameters: reagent [an oxide, hydroxide or acetate]; metal_mol [mol, above 0; all of its
    metal]; rosin_g [g, above 0; the rosin it goes into].
    Returns: the notes. Raises: nothing.
    Source: limits of an open kettle from memory.

    >>> len(fusion_notes(Reagent("ZnO", "Zn", 2, 1, "H2O"), Decimal(1), rosin_g=Decimal(1000)))
    2
    """
    leaves = "acetic acid" if "COO" in reagent.formula else "steam"
    notes = [f"{leaves} boils off and foams: small portions, draught, kettle at most half full"]
    if reagent.metal in _OPEN_KETTLE:
        compound, warning = _OPEN_KETTLE[reagent.metal]
        if 100 * metal_mol * mass_of_formula(compound) / rosin_g > _OPEN_KETTLE_PERCENT:
            notes.append(warning)
    return tuple(notes)
