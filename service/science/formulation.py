"""A recipe worked through stage by stage: what is weighed in, what leaves, and what is left.

Lines in parts or percent say what is in the pot at the end, so what the declared losses of the
stages take is weighed in beside it. Lines by a rule follow from the pot as it is when they go
in. Reactions then take place where the stage says so, and every gram is accounted for.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.derived_lines import AS_NEEDED, Around, derived
from service.science.errors import NotApplicable, OutOfRange
from service.science.pots import (
    SPENT,
    Component,
    Left,
    Substance,
    cleared,
    total,
    weighed_in,
    with_acid,
)
from service.science.ratios import shares
from service.science.reactions import fused, precipitated, soaped
from service.science.rosin_soap import KOH_MG_PER_MOL
from service.science.work_plan import HOT as HOT
from service.science.work_plan import OXYGEN as OXYGEN
from service.science.work_plan import STAGES as STAGES
from service.science.work_plan import WATER as WATER
from service.science.work_plan import DeclaredLoss as DeclaredLoss
from service.science.work_plan import Formula as Formula
from service.science.work_plan import FormulaLine as FormulaLine
from service.science.work_plan import FormulaStage as FormulaStage
from service.science.work_plan import Reading as Reading

# What is taken up is a thing of its own in the pot; oxygen stays in the film.
_TAKEN_UP: dict[str, Substance | None] = {
    OXYGEN: None,
    WATER: Substance(
        WATER,
        WATER,
        density_kg_l=Decimal("0.998"),
        non_volatile_percent=Decimal(0),
        water_percent=Decimal(100),
    ),
}
# Stages in which what did not dissolve is left behind.
_CLEARING = frozenset({"settle", "decant", "filter", "strain"})
_REACTIONS = {
    **dict.fromkeys(HOT, fused),
    "saponify": soaped,
    "precipitate": precipitated,
}
_FIXED = ("parts", "percent")


class Charged(NamedTuple):
    """A line as it is weighed in, in units of the recipe; None for what is added as needed."""

    line: int
    substance: str
    stage: str
    mass: Fraction | None
    how: str


class Pot(NamedTuple):
    """The pot at a stage when all of its lines are in, and the mass that goes on from it."""

    stage: str
    contents: tuple[Component, ...]
    goes_on: Fraction


class Worked(NamedTuple):
    """A recipe worked through for one unit of its lines."""

    charged: tuple[Charged, ...]
    contents: tuple[Component, ...]
    left: tuple[Left, ...]
    pots: tuple[Pot, ...]
    undecided: tuple[tuple[str, str], ...]
    before_reading: tuple[int, ...]
    notes: tuple[str, ...] = ()

    @property
    def makes(self) -> Fraction:
        """What comes out of one unit."""
        return total(self.contents)


def worked(formula: Formula) -> Worked:
    """Work a recipe through.

    Parameters: formula [lines in order of addition, every stage once in the order of the work,
    a substance for every line].
    Returns: lines as weighed in, what is left and what left, for one unit of the recipe; in
    `undecided` what would have to be known for a reaction that was not reckoned.
    Raises: Lacking naming the values without which a derived line cannot be worked out;
    OutOfRange for shares or losses that cannot be, more metal than the acid can take, or a rule's
    figure out of its range; NotApplicable for a line whose stage is not listed, or a recipe of
    which nothing is left.
    Source: mass balance; rules and reactions as `derived_lines` and `reactions` say.

    >>> oil, spirit = Substance("OIL", "drying-oil"), Substance("SPIRIT", "solvent")
    >>> recipe = Formula(
    ...     (FormulaLine(1, "OIL", "parts", Decimal(3), "cook"),
    ...      FormulaLine(2, "SPIRIT", "parts", Decimal(2), "thin")),
    ...     (FormulaStage("cook", (DeclaredLoss("fumes", Decimal(4)),)), FormulaStage("thin")),
    ...     {"OIL": oil, "SPIRIT": spirit})
    >>> [each.mass for each in worked(recipe).charged], worked(recipe).makes
    ([Fraction(5, 8), Fraction(2, 5)], Fraction(1, 1))
    """
    _check_stages(formula)
    run = _Run(formula)
    for stage in formula.stages:
        run.through(stage)
    if not run.pot:
        raise NotApplicable(
            "nothing of this recipe is left", "add a line that stays", field="lines"
        )
    return Worked(
        tuple(sorted(run.charged, key=lambda each: each.line)),
        tuple(run.pot),
        tuple(run.left),
        tuple(run.pots),
        tuple(dict.fromkeys(run.undecided)),
        tuple(run.before_reading),
        tuple(dict.fromkeys(run.notes)),
    )


def fixed_masses(formula: Formula) -> dict[int, Fraction]:
    """Find what the lines in parts and percent weigh in, what the declared losses take included.

    Parameters: formula. Returns: masses by line number, for one unit of these lines at the end.
    Raises: OutOfRange for shares that cannot be, NotApplicable where no line has an amount.
    Source: mass balance.

    >>> fixed_masses(Formula((FormulaLine(1, "OIL", "parts", Decimal(3), "cook"),),
    ...                      (FormulaStage("cook"),), {}))
    {1: Fraction(1, 1)}
    """
    lines = [line for line in formula.lines if line.basis in _FIXED]
    pairs = [(line.basis, line.amount or Decimal(0)) for line in lines]
    rest = [line for line in formula.lines if line.rule and line.rule.rule == "rest"]
    if rest:
        pairs += [("percent", _rest(pairs, rest))]
    kept = _kept_from(formula.stages)
    return {
        line.line: share / kept[line.stage]
        for line, share in zip([*lines, *rest], shares(pairs), strict=True)
    }


def _rest(pairs: Sequence[tuple[str, Decimal]], rest: Sequence[FormulaLine]) -> Decimal:
    """What the percent lines leave for the one line that fills up."""
    if len(rest) > 1 or any(basis == "parts" for basis, _ in pairs):
        raise OutOfRange(
            "one line alone can be the rest, beside lines in percent",
            "give all others in percent",
            field=f"lines/{rest[0].line}",
        )
    left = 100 - sum((amount for _, amount in pairs), Decimal(0))
    if left <= 0:
        raise OutOfRange(
            "the percent lines leave nothing for the rest",
            "let them add up to less than 100",
            field=f"lines/{rest[0].line}",
        )
    return left


def _kept_from(stages: Sequence[FormulaStage]) -> dict[str, Fraction]:
    """What is kept of a thing from each stage to the end."""
    found, left = {}, Fraction(1)
    for stage in reversed(stages):
        left *= stage.kept
        found[stage.stage] = left
    return found


def _one_part(
    formula: Formula, fixed: Mapping[int, Fraction], kept: Mapping[str, Fraction]
) -> Fraction:
    """What one part comes to at the end, or one percent where all lines are in percent."""
    lines = [line for line in formula.lines if line.basis in _FIXED]
    for line in sorted(lines, key=lambda line: line.basis != "parts"):
        return fixed[line.line] * kept[line.stage] / Fraction(line.amount or 1)
    return Fraction(1, 100)


def _check_stages(formula: Formula) -> None:
    listed = [stage.stage for stage in formula.stages]
    for line in formula.lines:
        if line.stage not in listed:
            raise NotApplicable(
                f"line {line.line} stands in a stage that is not listed: {line.stage}",
                f"list it among the stages: {', '.join(listed)}",
                field=f"lines/{line.line}",
            )
    for stage in formula.stages:
        if stage.kept <= 0:
            raise OutOfRange(
                f"the losses of {stage.stage} leave nothing",
                "send losses below 100 %",
                field=f"stages/{stage.stage}",
            )


class _Run:
    """The pot on its way through the stages."""

    def __init__(self, formula: Formula) -> None:
        self.formula = formula
        self.fixed = fixed_masses(formula)
        self.kept = _kept_from(formula.stages)
        self.readings = {reading.stage: reading for reading in formula.readings}
        self.pot: list[Component] = []
        self.charged: list[Charged] = []
        self.left: list[Left] = []
        self.pots: list[Pot] = []
        self.undecided: list[tuple[str, str]] = []
        self.before_reading: list[int] = []
        self.notes: list[str] = []
        self.cooked = False  # since the acid of the pot was last known

    def through(self, stage: FormulaStage) -> None:
        """Lines in, then the reaction, then what leaves, then what was read."""
        for line in self.formula.lines:
            if line.stage == stage.stage:
                self._add(line)
        contents = tuple(self.pot)
        self._react(stage.stage)
        self._let_out(stage.stage)
        for loss in stage.losses:
            self._lose(stage.stage, loss)
        self.pots.append(Pot(stage.stage, contents, total(self.pot)))
        if stage.stage in HOT:
            self.cooked = True
        if reading := self.readings.get(stage.stage):
            self._read(reading)

    def _add(self, line: FormulaLine) -> None:
        substance = self.formula.substances[line.substance]
        mass, how = self.fixed.get(line.line), "as the recipe says"
        if mass is None and line.rule and line.rule.rule != AS_NEEDED:
            mass, how, notes = derived(line.rule, self._around(line, substance))
            self.notes += [f"line {line.line}: {note}" for note in notes]
            if self.cooked and line.rule.rule == "neutralise":
                self.before_reading.append(line.line)
        elif line.rule:
            how = "the rest" if line.rule.rule == "rest" else "as much as it needs"
        self.charged.append(Charged(line.line, line.substance, line.stage, mass, how))
        if mass:
            self.pot.append(weighed_in(line.line, substance, mass))

    def _around(self, line: FormulaLine, substance: Substance) -> Around:
        one_gram = _one_part(self.formula, self.fixed, self.kept) / self.kept[line.stage]
        return Around(substance, tuple(self.pot), self.formula.makes_density_kg_l, one_gram)

    def _react(self, stage: str) -> None:
        reaction = _REACTIONS.get(stage)
        if reaction is None:
            return
        found = reaction(self.pot)
        self.pot, self.undecided = list(found.pot), [*self.undecided, *found.undecided]
        self.notes += [f"{stage}: {note}" for note in found.notes]
        self.left += [Left(stage, what, mass, "calculated") for what, mass in found.left]

    def _let_out(self, stage: str) -> None:
        """Washing takes what is spent, drying what water is left, the cloth what is insoluble."""
        if stage in _CLEARING:
            self.pot, dirt = cleared(self.pot)
            self.left += [Left(stage, what, mass, "calculated") for what, mass in dirt]
        gone = list(_washed(self.pot, stage))
        for one in gone:
            self.left.append(Left(stage, one.name, one.mass, "calculated"))
        self.pot = [one for one in self.pot if one not in gone]

    def _lose(self, stage: str, loss: DeclaredLoss) -> None:
        lost = total(self.pot) * Fraction(loss.percent) / 100
        if not lost:
            return
        self.left.append(Left(stage, loss.cause, lost, "declared"))
        if lost < 0 and loss.cause in _TAKEN_UP:
            lines = tuple(line for one in self.pot for line in one.lines)
            what = _TAKEN_UP[loss.cause]
            family = loss.cause
            self.pot.append(Component(f"{loss.cause} taken up", family, lines, -lost, what))
            return
        factor = 1 - Fraction(loss.percent) / 100
        self.pot = [one.times(factor) for one in self.pot]

    def _read(self, reading: Reading) -> None:
        """What was measured stands in place of what was reckoned."""
        if missing := total(self.pot) * (1 - reading.mass_share):
            self.left.append(Left(reading.stage, "not found on weighing", missing, "measured"))
            self.pot = [one.times(reading.mass_share) for one in self.pot]
        if reading.acid_value is None:
            return
        measured = total(self.pot) * Fraction(reading.acid_value) / Fraction(KOH_MG_PER_MOL)
        if (found := with_acid(self.pot, measured)) is not None:
            self.pot, self.cooked = found, False


def _washed(pot: Sequence[Component], stage: str) -> Iterator[Component]:
    going = {"wash": SPENT, "dry": "water"}.get(stage)
    return (one for one in pot if going is not None and one.family == going)
