"""Formulas and molar masses from conventional atomic weights."""

import functools
import re
import unicodedata
from collections import Counter
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, NumberMalformed, OutOfRange
from service.science.ranges import one_of
from service.science.tables import rows

_LONGEST_FORMULA = 64
_MOST_ATOMS = 100_000
# A subscript beyond four figures is a slip of the key, and its product with others would be huge.
_LONGEST_SUBSCRIPT = 4
_DOTS = re.compile(r"\s*[.·•∙⋅*]\s*")
_PART = re.compile(r"([0-9]*)(.+)")
_TOKEN = re.compile(r"(?:([A-Z][a-z]?)|([(\[])|([)\]]))([0-9]*)")
_CLOSING = {"(": ")", "[": "]"}


class Part(NamedTuple):
    """What stands between two dots of a formula: how many of it, and the atoms of one."""

    times: int
    atoms: dict[str, int]


def plain_formula(formula: str, *, name: str = "formula") -> str:
    """Write a formula with plain figures and full stops, however it was typed.

    Parameters: formula [text, at most 64 characters]; name [text, the caller's parameter to
    blame].
    Returns: the formula as `Na2CO3.10H2O`. Raises: NumberMalformed if it is empty or too long.
    Source: IUPAC formula notation.

    >>> plain_formula("Na₂CO₃ · 10H₂O")
    'Na2CO3.10H2O'
    """
    if not formula or len(formula) > _LONGEST_FORMULA:
        raise _no_formula(formula, name)
    return _DOTS.sub(".", unicodedata.normalize("NFKC", formula).strip())


def formula_parts(formula: str, *, name: str = "formula") -> tuple[Part, ...]:
    """Take a formula apart at its dots, the salt first and its crystal water behind.

    Parameters: formula [text, such as ZnSO4.7H2O, at most 64 characters; groups in round or
    square brackets may nest]; name [text, the caller's parameter to blame].
    Returns: the parts in their order, one of them at least with an atom.
    Raises: NumberMalformed for text that is no formula, OutOfRange for more than 100000 atoms.
    Source: IUPAC formula notation.

    >>> [part.times for part in formula_parts("ZnSO4.7H2O")]
    [1, 7]
    """
    parts = tuple(_part(text, name) for text in plain_formula(formula, name=name).split("."))
    atoms = sum(part.times * sum(part.atoms.values()) for part in parts)
    if not atoms:
        raise _no_formula(formula, name)
    if atoms > _MOST_ATOMS:
        raise OutOfRange(
            f"“{formula}” has more than {_MOST_ATOMS} atoms",
            "check its subscripts",
            field=name,
        )
    return parts


def parse_formula(formula: str, *, name: str = "formula") -> dict[str, int]:
    """Count the atoms of a formula, groups in brackets and crystal water behind a dot included.

    Parameters: formula [text, such as ZnSO4.7H2O, at most 64 characters]; name [text, the
    caller's parameter to blame].
    Returns: how many of each element.
    Raises: NumberMalformed for text that is no formula, OutOfRange for more than 100000 atoms.
    Source: IUPAC formula notation.

    >>> parse_formula("ZnSO4.7H2O")
    {'Zn': 1, 'S': 1, 'O': 11, 'H': 14}
    """
    atoms: Counter[str] = Counter()
    for part in formula_parts(formula, name=name):
        for element, count in part.atoms.items():
            atoms[element] += count * part.times
    return {element: count for element, count in atoms.items() if count}


def elements() -> tuple[str, ...]:
    """List the elements that have an atomic weight here.

    Parameters: none. Raises: nothing. Returns: their symbols.
    Source: IUPAC/CIAAW 2021, tables/atomic_weights.csv.

    >>> "Zn" in elements()
    True
    """
    return tuple(_weights())


def atomic_weight(element: str) -> Decimal:
    """Look an atomic weight up.

    Parameters: element [one of `elements()`].
    Returns: [g/mol] the conventional atomic weight.
    Raises: OutOfRange for an element not in the table.
    Source: IUPAC/CIAAW 2021, tables/atomic_weights.csv.

    >>> atomic_weight("Zn")
    Decimal('65.38')
    """
    return _weights()[one_of(element, elements(), name="element")]


def mass_of_formula(formula: str, *, name: str = "formula") -> Decimal:
    """Add up the atomic weights of a formula, blaming the caller's own parameter.

    Parameters: formula [text, such as ZnSO4.7H2O]; name [text, the parameter to blame].
    Returns: [g/mol] the molar mass.
    Raises: NumberMalformed for text that is no formula, OutOfRange for an unknown element or
    more than 100000 atoms.
    Source: IUPAC/CIAAW 2021, tables/atomic_weights.csv.

    >>> mass_of_formula("ZnO")
    Decimal('81.379')
    """
    atoms = parse_formula(formula, name=name)
    if unknown := next((element for element in atoms if element not in _weights()), None):
        raise OutOfRange(
            f"“{unknown}” in {formula} is no element with an atomic weight here",
            "write each element with its capital, as in NaOH or Co(OH)2",
            field=name,
        )
    return sum((_weights()[element] * count for element, count in atoms.items()), Decimal(0))


def molar_mass(formula: str) -> Decimal:
    """Add up the atomic weights of a formula, its crystal water included.

    Parameters: formula [text, such as ZnSO4.7H2O or Ca(OH)2, at most 64 characters; groups in
    round or square brackets may nest].
    Returns: [g/mol] the molar mass.
    Raises: NumberMalformed for text that is no formula, OutOfRange for an unknown element or
    more than 100000 atoms.
    Source: IUPAC/CIAAW 2021, tables/atomic_weights.csv.

    >>> molar_mass("KOH")
    Decimal('56.105')
    """
    return mass_of_formula(formula)


def metal_factor(compound: str, metal: str) -> Decimal:
    """Give the share of a metal in a compound of it, the factor from ash to metal.

    Parameters: compound [text, a formula such as ZnO]; metal [one of `elements()`].
    Returns: [1] the mass of metal in one part of the compound.
    Raises: NumberMalformed or OutOfRange for the formula, OutOfRange for an unknown element,
    NotApplicable if the metal is not in the compound.
    Source: ratio of molar masses, IUPAC/CIAAW 2021.

    >>> round(metal_factor("ZnO", "Zn"), 4)
    Decimal('0.8034')
    """
    weight = atomic_weight(one_of(metal, elements(), name="metal"))
    mass = mass_of_formula(compound, name="compound")
    count = parse_formula(compound).get(metal, 0)
    if not count:
        raise NotApplicable(
            f"there is no {metal} in {compound}", "name a compound of the metal", field="metal"
        )
    return count * weight / mass


@functools.cache
def _weights() -> dict[str, Decimal]:
    return {row["element"]: Decimal(row["weight"]) for row in rows("atomic_weights.csv")}


def _part(text: str, name: str) -> Part:
    found = _PART.fullmatch(text)
    if not found or len(found[1]) > _LONGEST_SUBSCRIPT:
        raise _no_formula(text, name)
    return Part(int(found[1] or 1), _atoms(found[2], name))


def _atoms(body: str, name: str) -> dict[str, int]:
    """The atoms of one part, read from the left with a pile of the groups still open."""
    groups: list[Counter[str]] = [Counter()]
    expected: list[str] = []
    place = 0
    while token := _TOKEN.match(body, place):
        place = token.end()
        element, opening, closing, figures = token.groups()
        if opening and not figures:
            groups.append(Counter())
            expected.append(_CLOSING[opening])
        elif element:
            groups[-1][element] += _subscript(figures, body, name)
        elif expected and closing == expected[-1] and groups[-1]:
            expected.pop()
            times = _subscript(figures, body, name)
            for atom, count in groups.pop().items():
                groups[-1][atom] += count * times
        else:
            raise _no_formula(body, name)
    if place < len(body) or expected or not groups[-1]:
        raise _no_formula(body, name)
    return dict(groups[-1])


def _subscript(figures: str, body: str, name: str) -> int:
    count = int(figures or 1) if len(figures) <= _LONGEST_SUBSCRIPT else 0
    if not count:
        raise _no_formula(body, name)
    return count


def _no_formula(text: str, name: str) -> NumberMalformed:
    return NumberMalformed(
        f"“{text[:_LONGEST_FORMULA]}” is not a formula",
        "write it as in ZnSO4.7H2O or Ca(OH)2, with at most 64 characters and subscripts "
        "from 1 to 9999",
        code="formula-malformed",
        field=name,
    )
