"""A version worked through by the science: from its rows to a formula, and back to charges."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.science.derived_lines import Derivation
from service.science.exact import added
from service.science.formulation import (
    DeclaredLoss,
    Formula,
    FormulaLine,
    FormulaStage,
    Reading,
    Worked,
    worked,
)
from service.science.pots import Lacking, Substance
from service.store.session import ReadSession
from service.workshop.recipes import queries
from service.workshop.recipes.rules import Charge

Losses = Mapping[str, Decimal]  # by stage, in percent: in place of all that is declared there


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a version that the sums go by, and its losses where others are meant."""

    version: queries.Version
    lines: Sequence[queries.Line]
    stages: Sequence[queries.StageRow]
    losses: Sequence[queries.Loss]
    instead: Losses


@dataclass(frozen=True, slots=True)
class Work:
    """A version worked through for one unit, or the value that is lacking for it."""

    formula: Formula
    done: Worked | None
    lacking: Lacking | None
    charges: tuple[Charge, ...]  # per unit of what comes out; none where something is lacking


def rows_of(session: ReadSession, version: queries.Version) -> Rows:
    """What is to be known of a version for the sums, in three queries."""
    return Rows(
        version,
        queries.lines(session, version),
        queries.stages(session, version),
        queries.losses(session, version),
        {},
    )


def work(
    rows: Rows,
    substances: Mapping[str, Substance],
    *,
    makes_density_kg_l: Decimal | None = None,
    readings: Sequence[Reading] = (),
) -> Work:
    """Raises ScienceError for a plan that cannot be; a value that is missing is told."""
    formula = Formula(
        tuple(_line(row) for row in rows.lines),
        tuple(_stage(stage, rows) for stage in _stages(rows)),
        substances,
        makes_density_kg_l,
        tuple(readings),
    )
    try:
        done = worked(formula)
    except Lacking as lacking:
        return Work(formula, None, lacking, ())
    return Work(formula, done, None, tuple(_charges(formula, done)))


def _line(row: queries.Line) -> FormulaLine:
    rule = None
    if row.rule is not None:
        rule = Derivation(
            row.line,
            row.rule,
            row.amount,
            tuple(int(number) for number in row.of_lines),
            row.rule_on or "oil",
            row.excess or Decimal(0),
        )
    return FormulaLine(row.line, row.material, row.basis, row.amount, row.stage, rule)


def _stages(rows: Rows) -> list[str]:
    """The stages in their order; a loss that is sent for straining needs a stage to stand in."""
    listed = [row.stage for row in rows.stages]
    return listed if "strain" in listed or "strain" not in rows.instead else [*listed, "strain"]


def _stage(stage: str, rows: Rows) -> FormulaStage:
    if stage in rows.instead:
        return FormulaStage(stage, (DeclaredLoss("as sent", rows.instead[stage]),))
    return FormulaStage(
        stage,
        tuple(
            DeclaredLoss(loss.cause, loss.percent) for loss in rows.losses if loss.stage == stage
        ),
    )


def _charges(formula: Formula, done: Worked) -> list[Charge]:
    """Lines per unit of what comes out; `kept` is what the declared losses leave of each."""
    kept, left = {}, Fraction(1)
    for stage in reversed(formula.stages):
        left *= stage.kept
        kept[stage.stage] = left
    masses = [(each, each.mass or Fraction(0)) for each in done.charged]
    makes = done.makes
    stays = added(mass * kept[each.stage] for each, mass in masses)
    return [
        Charge(
            line=each.line,
            material=each.substance,
            charged=mass / makes,
            kept=mass * kept[each.stage] / stays,
        )
        for each, mass in masses
    ]
