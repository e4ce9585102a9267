"""The parts of a version as they are shown: lines, steps, stages, bands and work by hand."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from pydantic import TypeAdapter

from service.science.rounding import decimal_of, plain, round_significant
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount
from service.workshop.materials.queries import names
from service.workshop.materials.rules import properties
from service.workshop.recipes import queries
from service.workshop.recipes.bodies.derivations import DeriveOut
from service.workshop.recipes.bodies.evidence import LabourOut, ProvedOut
from service.workshop.recipes.bodies.lines import LineOut
from service.workshop.recipes.bodies.stages import DeclaredLossOut, StageOut, StepOut
from service.workshop.recipes.rules import RULE_FIGURES, Charge

_DERIVED: TypeAdapter[DeriveOut] = TypeAdapter(DeriveOut)
_LOOK_AT_LINES = frozenset({"neutralise", "precipitate", "cut", "strength"})
_REACTING = frozenset({"neutralise", "precipitate"})
_IN_WORDS = frozenset({"check", "strain", "note"})
_WHOLE_UNITS = ((604800, "week"), (86400, "d"), (60, "min"))


def percent(value: Decimal | None) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit="%")


def duration(seconds: int) -> Amount:
    """A time as the bench reads it: whole weeks, days or minutes where it can be."""
    for size, unit in _WHOLE_UNITS:
        if seconds % size == 0:
            return Amount(value=str(seconds // size), unit=unit)
    return Amount(value=str(seconds), unit="s")


def lines(
    session: ReadSession, rows: Sequence[queries.Line], charges: Sequence[Charge]
) -> list[LineOut]:
    """The lines with the share of each, where the version could be worked through."""
    called = names(session, [line.material for line in rows])
    shares = {charge.line: charge.kept for charge in charges if charge.kept}
    made_by = queries.recipes_making(session, called)
    return [
        LineOut(
            line=line.line,
            material=line.material,
            name=called[line.material],
            parts=plain(line.amount) if line.amount and line.basis == "parts" else None,
            percent=plain(line.amount) if line.amount and line.basis == "percent" else None,
            derive=_derivation(line),
            share=percent(
                round_significant(decimal_of(100 * shares[line.line]), 4)
                if line.line in shares
                else None
            ),
            stage=line.stage,
            tolerance=percent(line.tolerance),
            condition=line.condition,
            made_by=made_by.get(line.material, []),
        )
        for line in rows
    ]


def _derivation(row: queries.Line) -> DeriveOut | None:
    """The rule of a line in the form in which it was sent."""
    if row.rule is None:
        return None
    told: dict[str, Any] = {"rule": row.rule}
    if row.rule in RULE_FIGURES and row.amount is not None:
        field, unit = RULE_FIGURES[row.rule]
        told[field] = Amount(value=plain(row.amount), unit=unit)
    if row.rule in _LOOK_AT_LINES:
        told["of"] = [int(number) for number in row.of_lines]
    if row.rule in _REACTING:
        told["excess"] = percent(row.excess or Decimal(0))
    if row.rule == "metal":
        told["on"] = row.rule_on
    if row.rule == "as-needed":
        told["until"] = row.condition
    return _DERIVED.validate_python(told)


def step(row: queries.Step) -> StepOut:
    spoken = row.do in _IN_WORDS
    rate = row.ramp_k_min
    told: Mapping[str, Any] = {
        "line": row.line,
        "do": row.do,
        "to": None if row.to_c is None else Amount(value=plain(row.to_c), unit="°C"),
        "ramp": None if rate is None else Amount(value=plain(rate), unit="K/min"),
        "for": None if row.seconds is None else duration(row.seconds),
        "until": None if spoken else row.until,
        "text": row.until if spoken else None,
        "stage": row.stage,
    }
    return StepOut.model_validate(told)


def stages(rows: Sequence[queries.StageRow], losses: Sequence[queries.Loss]) -> list[StageOut]:
    return [
        StageOut(
            stage=row.stage,
            lasts=None if row.seconds is None else duration(row.seconds),
            losses=[_loss(loss) for loss in losses if loss.stage == row.stage],
            remark=row.remark,
        )
        for row in rows
    ]


def _loss(row: queries.Loss) -> DeclaredLossOut:
    value = Amount(value=plain(row.percent), unit="%")
    return DeclaredLossOut(cause=row.cause, percent=value, basis="declared")


def all_told(losses: Sequence[queries.Loss], stage: str) -> Amount | None:
    """The sum of what a stage is declared to lose, or None where nothing is declared."""
    found = [loss.percent for loss in losses if loss.stage == stage]
    return percent(sum(found, Decimal(0))) if found else None


def labour(row: queries.Version) -> LabourOut | None:
    made = mass(row.labour_for_mg)
    if row.labour_seconds is None or made is None:
        return None
    return LabourOut.model_validate({"time": duration(row.labour_seconds), "for": made})


def band(row: queries.ProvedBand) -> ProvedOut:
    known = properties()[row.property]
    told = {
        "material": row.material,
        "property": row.property,
        "label": known.label,
        "from": Amount(value=plain(row.low), unit=known.unit),
        "to": Amount(value=plain(row.high), unit=known.unit),
    }
    return ProvedOut.model_validate(told)
