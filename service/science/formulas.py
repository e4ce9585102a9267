"""Formulas and molar masses from conventional atomic weights."""

import functools
import re
from collections import Counter
from decimal import Decimal

from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.tables import rows

_LONGEST_FORMULA = 64
_ATOM = re.compile(r"([A-Z][a-z]?)([0-9]*)")
_ATOMS = re.compile(r"(?:[A-Z][a-z]?[0-9]*)+")
_GROUP = re.compile(rf"\(({_ATOMS.pattern})\)([0-9]*)")


def parse_formula(formula: str) -> dict[str, int]:
    """Count the atoms of a formula, groups in brackets and crystal water behind a dot included.

    Parameters: formula [1, such as ZnSO4.7H2O, at most 64 characters].
    Raises: NumberMalformed for text that is no formula, OutOfRange for an unknown element.
    Source: IUPAC formula notation.

    >>> parse_formula("ZnSO4.7H2O")
    {'Zn': 1, 'S': 1, 'O': 11, 'H': 14}
    """
    if not formula or len(formula) > _LONGEST_FORMULA:
        raise _no_formula(formula[:_LONGEST_FORMULA])
    atoms: Counter[str] = Counter()
    for part in re.split("[.·*]", formula):
        body = part.lstrip("0123456789")
        count = int(part[: len(part) - len(body)] or 1)
        for element, number in _atoms(body, formula).items():
            atoms[element] += number * count
    return {element: number for element, number in atoms.items() if number}


def _atoms(body: str, formula: str) -> Counter[str]:
    flat = body
    while group := _GROUP.search(flat):
        inside = "".join(
            f"{element}{int(number or 1) * int(group[2] or 1)}"
            for element, number in _ATOM.findall(group[1])
        )
        flat = flat[: group.start()] + inside + flat[group.end() :]
    if not _ATOMS.fullmatch(flat):
        raise _no_formula(formula)
    atoms: Counter[str] = Counter()
    for element, number in _ATOM.findall(flat):
        atoms[element] += int(number or 1)
    return atoms


def _no_formula(formula: str) -> NumberMalformed:
    return NumberMalformed(
        f"“{formula}” is not a formula",
        "write it as in ZnSO4.7H2O or Ca(OH)2",
        code="formula-malformed",
    )


@functools.cache
def _weights() -> dict[str, Decimal]:
    return {row["element"]: Decimal(row["weight"]) for row in rows("atomic_weights.csv")}


def atomic_weight(element: str) -> Decimal:
    """Look an atomic weight up, in g/mol.

    Parameters: element [1, the symbol]. Raises: OutOfRange for one not in the table.
    Source: IUPAC/CIAAW 2021, tables/atomic_weights.csv.

    >>> atomic_weight("Zn")
    Decimal('65.38')
    """
    if element not in _weights():
        raise OutOfRange(
            f"there is no atomic weight for “{element}”", f"use: {', '.join(_weights())}"
        )
    return _weights()[element]


def molar_mass(formula: str) -> Decimal:
    """Add up the atomic weights of a formula, in g/mol.

    Parameters: formula [1, as `parse_formula`]. Raises: as `parse_formula`.
    Source: IUPAC/CIAAW 2021, tables/atomic_weights.csv.

    >>> molar_mass("KOH")
    Decimal('56.105')
    """
    return sum(
        (atomic_weight(element) * count for element, count in parse_formula(formula).items()),
        Decimal(0),
    )


def metal_factor(oxide: str, metal: str) -> Decimal:
    """Give the share of a metal in its oxide, the factor from ash to metal.

    Parameters: oxide, metal [1, formula and symbol]. Raises: NotApplicable if it is not in it.
    Source: ratio of molar masses, IUPAC/CIAAW 2021.

    >>> round(metal_factor("ZnO", "Zn"), 4)
    Decimal('0.8034')
    """
    count = parse_formula(oxide).get(metal, 0)
    if not count:
        raise NotApplicable(f"there is no {metal} in {oxide}", "name the oxide of the metal")
    return count * atomic_weight(metal) / molar_mass(oxide)
