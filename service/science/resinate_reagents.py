"""The alkalis, metal salts and oxides that resinates are made with, by formula."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulas import atomic_weight, mass_of_formula, plain_formula
from service.science.names import words
from service.science.ranges import above, number
from service.science.rounding import plain, round_significant
from service.science.tables import rows


class Reagent(NamedTuple):
    """A reagent of the table, its masses in g/mol."""

    formula: str
    metal: str
    valence: int
    metals: int
    driven_off: str

    @property
    def equivalents(self) -> int:
        """How many equivalents one mole of it holds."""
        return self.valence * self.metals

    @property
    def molar_mass(self) -> Decimal:
        """Its molar mass, crystal water included."""
        return mass_of_formula(self.formula)

    @property
    def metal_weight(self) -> Decimal:
        """The atomic weight of its metal."""
        return atomic_weight(self.metal)

    @property
    def basic_soap(self) -> bool:
        """Whether its metal comes down as a basic soap: aluminium and iron(III) do."""
        return self.valence == 3


def bases() -> tuple[str, ...]:
    """List the alkalis that make a soap of rosin.

    Parameters: none. Raises: nothing. Returns: their formulas with crystal water.
    Source: tables/resinate_reagents.csv.

    >>> "KOH" in bases()
    True
    """
    return tuple(_reagents("base"))


def salts() -> tuple[str, ...]:
    """List the metal salts that precipitate a rosin soap.

    Parameters: none. Raises: nothing. Returns: their formulas with crystal water.
    Source: tables/resinate_reagents.csv.

    >>> "ZnSO4.7H2O" in salts()
    True
    """
    return tuple(_reagents("salt"))


def fusion_reagents() -> tuple[str, ...]:
    """List the oxides, hydroxides and acetates that rosin is fused with.

    Parameters: none. Raises: nothing. Returns: their formulas with crystal water.
    Source: tables/resinate_reagents.csv.

    >>> "Ca(OH)2" in fusion_reagents()
    True
    """
    return tuple(_reagents("fusion"))


def known_reagent(formula: str, use: str, *, name: str) -> Reagent:
    """Look a reagent up by its formula, however its dots and figures were typed.

    Parameters: formula [text, with its crystal water]; use [text, base, salt or fusion]; name
    [text, the caller's parameter to blame].
    Returns: the reagent. Raises: NumberMalformed for an empty or overlong text, NotApplicable
    for an unknown reagent or unstated crystal water.
    Source: tables/resinate_reagents.csv.

    >>> known_reagent("ZnSO₄·7H₂O", "salt", name="salt").metal
    'Zn'
    """
    known, plain = _reagents(use), plain_formula(formula, name=name)
    if plain in known:
        return known[plain]
    hydrates = [other for other in known if other.partition(".")[0] == plain]
    if hydrates:
        raise NotApplicable(
            f"“{plain}” does not say its crystal water",
            f"write {' or '.join(hydrates)}",
            field=name,
        )
    raise NotApplicable(
        f"“{plain}” is no {use} reagent known here", f"use one of: {', '.join(known)}", field=name
    )


def purity_share(percent: Decimal, *, name: str = "purity_percent") -> Decimal:
    """Give the share of a reagent that is what its name says.

    Parameters: percent [%, above 1 up to 100]; name [text, the caller's parameter to blame].
    Returns: [1] the share. Raises: OutOfRange outside; 1 and less is a share sent for a percent,
    which would call for a hundred times the reagent. Source: definition.

    >>> purity_share(Decimal(98))
    Decimal('0.98')
    """
    if 0 < number(percent, name) <= 1:
        meant = plain(round_significant(100 * percent, 6).normalize())
        raise OutOfRange(
            f"{words(name)} is {percent:.6g}, as if it were a share",
            f"send a purity of {meant} % as {meant}",
            field=name,
        )
    return above(percent, 1, high=100, name=name) / 100


@functools.cache
def _reagents(use: str) -> dict[str, Reagent]:
    return {
        row["formula"]: Reagent(
            row["formula"],
            row["metal"],
            int(row["valence"]),
            int(row["metals"]),
            row["driven_off"],
        )
        for row in rows("resinate_reagents.csv")
        if row["use"] == use
    }
