"""A recipe as the sums take it: its lines, its stages in their order, and what was measured."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.derivations import Derivation
from service.science.pots import Substance

# In the usual order of the work; a recipe may say another.
STAGES = (
    *("run", "melt", "saponify", "precipitate", "wash", "dry", "sun-thicken", "cook"),
    *("dissolve", "mix", "thin", "other", "settle", "decant", "filter", "strain", "mature"),
)
HOT = frozenset({"run", "melt", "cook"})
OXYGEN, WATER = "oxygen", "water"


class DeclaredLoss(NamedTuple):
    """What a stage takes of all that is in the pot, in percent; below 0 it gives."""

    cause: str
    percent: Decimal


class FormulaStage(NamedTuple):
    """A stage of the work, in its place, with what is declared lost in it."""

    stage: str
    losses: tuple[DeclaredLoss, ...] = ()

    @property
    def kept(self) -> Fraction:
        """The share that its declared losses leave."""
        left = Fraction(1)
        for loss in self.losses:
            if loss.cause == WATER and loss.percent < 0:
                continue  # what a wet cake takes up leaves again when it is dried
            above, below = loss.percent.as_integer_ratio()
            left *= Fraction(100 * below - above, 100 * below)
        return left


class FormulaLine(NamedTuple):
    """A line: its material, what its amount is, its stage, and the rule where it has one."""

    line: int
    substance: str
    basis: str
    amount: Decimal | None
    stage: str
    rule: Derivation | None = None


class Reading(NamedTuple):
    """What was measured in the pot at the end of a stage: its acid value, and its mass beside
    the mass that was expected."""

    stage: str
    acid_value: Decimal | None = None
    mass_share: Fraction = Fraction(1)


class Formula(NamedTuple):
    """A recipe as the sums take it."""

    lines: tuple[FormulaLine, ...]
    stages: tuple[FormulaStage, ...]
    substances: Mapping[str, Substance]
    makes_density_kg_l: Decimal | None = None
    readings: tuple[Reading, ...] = ()
