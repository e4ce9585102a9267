"""Bringing a pot to a target by one addition: how much, how much of it at first, what it did.

Every rule is a mean by mass of an index: of the figure itself, of its logarithm where viscosities
are mixed, of its reciprocal where densities are.
"""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulas import plain_formula
from service.science.ranges import number, one_of, positive
from service.science.resinate_reagents import bases, fusion_reagents, known_reagent, purity_share
from service.science.rosin_soap import KOH_MG_PER_MOL

# Of the addition worked out, since the rules err and nothing can be taken out again.
FIRST_FROM, FIRST_TO = Decimal("0.6"), Decimal("0.7")
_MEAN, _LOGARITHM, _RECIPROCAL = "mean", "logarithm", "reciprocal"
_LARGEST = Decimal("1e9")


class Adding(NamedTuple):
    """What to add in all and at first, with the figure that the first part comes to."""

    add_g: Decimal
    first_from_g: Decimal
    first_to_g: Decimal
    first_from_value: Decimal
    first_to_value: Decimal


class _Law(NamedTuple):
    into: Callable[[Decimal], Decimal]
    back: Callable[[Decimal], Decimal]
    above_zero: bool


_LAWS: Mapping[str, _Law] = {
    _MEAN: _Law(lambda value: value, lambda index: index, False),
    _LOGARITHM: _Law(Decimal.ln, Decimal.exp, True),
    _RECIPROCAL: _Law(lambda value: 1 / value, lambda index: 1 / index, True),
}


def adding_laws() -> tuple[str, ...]:
    """List the laws by which a figure of a mixture follows from its portions, by mass.

    Parameters: none. Raises: nothing. Source: mass balance; Arrhenius rule for the logarithm;
    added volumes for the reciprocal.

    >>> adding_laws()
    ('mean', 'logarithm', 'reciprocal')
    """
    return tuple(_LAWS)


def addition_to_target(
    mass_g: Decimal, value: Decimal, *, target: Decimal, added: Decimal, law: str
) -> Adding:
    """Work out how much of an addition brings a pot to a target, and how much of it to add first.

    Parameters: mass_g [g, above 0; in the pot]; value [1, any; of the pot, above 0 unless the law
    is mean, in the unit of the other figures]; target [1, any; in the same unit]; added [1, any;
    of what is added, in the same unit, below 0 for what takes up what is counted]; law [one of
    `adding_laws()`].
    Returns: the addition, 60 and 70 % of it, and the figures that these come to.
    Raises: OutOfRange for a number, or a target that does not lie between the pot and what is
    added.
    Source: mean by mass of the index of the law, m (I - It) / (It - Ia); first 60 to 70 % by
    common practice.

    >>> addition_to_target(Decimal(1000), Decimal(60), target=Decimal(50), added=Decimal(0),
    ...                    law="mean").add_g
    Decimal('200')
    """
    mass = positive(mass_g, "mass_g")
    now, then = _index(value, law, "value"), _index(target, law, "target")
    other = _index(added, law, "added")
    if not min(now, other) < then < max(now, other):
        raise OutOfRange(
            f"{target:.6g} does not lie between {value:.6g} of the pot and {added:.6g} of what is "
            "added",
            "add something that lies beyond the target",
            field="target",
        )
    add = mass * (now - then) / (then - other)
    parts = [
        (part * add, _mixed((mass, now), (part * add, other), law))
        for part in (FIRST_FROM, FIRST_TO)
    ]
    return Adding(add, parts[0][0], parts[1][0], parts[0][1], parts[1][1])


def value_after(
    mass_g: Decimal, value: Decimal, *, added_g: Decimal, added: Decimal, law: str
) -> Decimal:
    """Work out the figure that a pot comes to by an addition.

    Parameters: mass_g [g, above 0; in the pot]; value [1, any; of the pot, above 0 unless the law
    is mean]; added_g [g, above 0; of what is added]; added [1, any; its figure, in the same
    unit]; law [one of `adding_laws()`].
    Returns: [1] the figure, in the same unit. Raises: OutOfRange for a number or the law.
    Source: mean by mass of the index of the law.

    >>> value_after(Decimal(1000), Decimal(60), added_g=Decimal(200), added=Decimal(0), law="mean")
    Decimal('50')
    """
    pot = positive(mass_g, "mass_g"), _index(value, law, "value")
    return _mixed(pot, (positive(added_g, "added_g"), _index(added, law, "added")), law)


def counted_as(
    mass_g: Decimal, before: Decimal, *, after: Decimal, added_g: Decimal, law: str
) -> Decimal:
    """Find as what an addition counted, from what the pot read before and after it.

    Parameters: mass_g [g, above 0; in the pot before]; before [1, any; of the pot, above 0 unless
    the law is mean]; after [1, any; in the same unit]; added_g [g, above 0; of what was added];
    law [one of `adding_laws()`].
    Returns: [1] the figure of what was added that explains the answer, in the same unit.
    Raises: OutOfRange for a number; NotApplicable where no figure explains it.
    Source: mean by mass of the index of the law, (I2 (m + a) - I1 m) / a.

    >>> counted_as(Decimal(1000), Decimal(60), after=Decimal(50), added_g=Decimal(200), law="mean")
    Decimal('0')
    """
    mass, add = positive(mass_g, "mass_g"), positive(added_g, "added_g")
    first, second = _index(before, law, "before"), _index(after, law, "after")
    index = (second * (mass + add) - first * mass) / add
    if not abs(index) < _LARGEST or (law == _RECIPROCAL and index <= 0):
        raise _unexplained()
    if law == _LOGARITHM and abs(index) > _LARGEST.ln():
        raise _unexplained()
    return _LAWS[law].back(index)


def alkali_value(formula: str, purity_percent: Decimal) -> Decimal:
    """Work out how much acid a base, an oxide or an acetate takes up, as potassium hydroxide.

    Parameters: formula [text, with its crystal water, one of `bases()` or `fusion_reagents()`];
    purity_percent [%, above 1 up to 100; its assay].
    Returns: [mg KOH/g] the acid it takes up; an addition of it counts as an acid value below 0.
    Raises: NotApplicable for any other formula, OutOfRange for the assay.
    Source: stoichiometry, 56.106 mg KOH to the milliequivalent.

    >>> round(alkali_value("NaOH", Decimal(100)), 1)
    Decimal('1402.8')
    """
    use = "base" if plain_formula(formula) in bases() else "fusion"
    reagent = known_reagent(formula, use, name="formula")
    share = purity_share(purity_percent)
    return KOH_MG_PER_MOL * reagent.equivalents / reagent.molar_mass * share


def takes_up_acid(formula: str | None) -> bool:
    """Whether a substance is known here as one that takes up the acid of rosin.

    Parameters: formula [text, with its crystal water], None if it has none.
    Raises: NumberMalformed for an empty or overlong text.
    Source: tables/resinate_reagents.csv.

    >>> takes_up_acid("CaO"), takes_up_acid(None)
    (True, False)
    """
    return formula is not None and plain_formula(formula) in {*bases(), *fusion_reagents()}


def _index(value: Decimal, law: str, name: str) -> Decimal:
    found = _LAWS[one_of(law, adding_laws(), name="law")]
    number(value, name)
    return found.into(positive(value, name) if found.above_zero else value)


def _mixed(pot: tuple[Decimal, Decimal], more: tuple[Decimal, Decimal], law: str) -> Decimal:
    mean = (pot[0] * pot[1] + more[0] * more[1]) / (pot[0] + more[0])
    return _LAWS[law].back(mean)


def _unexplained() -> NotApplicable:
    return NotApplicable(
        "no figure of what was added explains what the pot read after it",
        "read the pot again, stirred and at the same temperature",
        field="after",
    )
