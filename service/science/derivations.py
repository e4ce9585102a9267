"""What a derived line is: a rule with its figure, the pot that it looks at, and what it found."""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.pots import Component, Substance

RESINS = frozenset({"resin", "resinate"})
MADE = "what is made"  # stands for what comes out where one of its own values is lacking


class Derivation(NamedTuple):
    """A line that follows from others: the rule, its figure, the lines it looks at, and more.

    Fields: line [1]; rule [one of `line_rules()`]; amount [1, the rule's figure in its unit];
    of [1, line numbers; all that fit where there are none]; on [one of `drier_bases()`, of the
    rule metal]; excess_percent [%, 0-100; of the rules neutralise and precipitate].
    """

    line: int
    rule: str
    amount: Decimal | None
    of: tuple[int, ...] = ()
    on: str = "oil"
    excess_percent: Decimal = Decimal(0)


class Derived(NamedTuple):
    """The mass of a derived line in units of the recipe, how it was found, and what to look out
    for."""

    mass: Fraction
    how: str
    notes: tuple[str, ...] = ()


class Around(NamedTuple):
    """What a rule may look at: the line's substance, the pot when it goes in, the density of
    what is made, and what one gram of the recipe's parts weighs in this pot."""

    substance: Substance
    pot: tuple[Component, ...]
    makes_density_kg_l: Decimal | None = None
    one_gram: Fraction = Fraction(1)


def figure_of(wanted: Derivation) -> Decimal:
    """Give the figure of a rule that needs one.

    Parameters: wanted. Returns: [1] its figure. Raises: OutOfRange without one above 0.
    Source: common practice.

    >>> figure_of(Derivation(2, "solids", Decimal(60)))
    Decimal('60')
    """
    if wanted.amount is None or wanted.amount <= 0:
        raise OutOfRange(
            f"the rule {wanted.rule} needs its figure",
            "send a number above 0",
        )
    return wanted.amount


def nothing_in(wanted: Derivation, what: str, hint: str) -> NotApplicable:
    """Say that there is nothing in the pot for a line to follow from.

    Parameters: wanted; what [text, what is not there]; hint [text]. Returns: the refusal.
    Raises: nothing. Source: common practice.

    >>> nothing_in(Derivation(2, "cut", None), "no resin", "add one").message
    'there is no resin in the pot for line 2'
    """
    return NotApplicable(f"there is {what} in the pot for line {wanted.line}", hint)
