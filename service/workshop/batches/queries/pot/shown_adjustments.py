"""Adjustments as they are shown: the goal, each reading with what went in after it, the next."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from service.science.flow_cups import kinematic_viscosity
from service.science.rounding import plain, round_significant
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount, Figure
from service.web.footnotes import Footnotes
from service.workshop.batches._tables import Batch, Weighing
from service.workshop.batches._tables_pot import Adjustment
from service.workshop.batches.bodies.adjustments import (
    Added,
    AdjustmentOut,
    AdjustmentStep,
    LotToAdd,
    Proposal,
    Undecided,
)
from service.workshop.batches.queries.plan.pours import is_solvent, solvent_caution
from service.workshop.batches.queries.pot.adjustments import adjustments
from service.workshop.batches.queries.pot.events import celsius, entered
from service.workshop.batches.queries.pot.loops import Counts, Loop, Turn, loop, lot_to_add
from service.workshop.batches.queries.record.shown import as_entered, figure, grams, percent
from service.workshop.batches.rules import goals
from service.workshop.batches.rules.goals import GOALS
from service.workshop.materials import queries as materials
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties
from service.workshop.stock import queries as stock

_DIGITS = 3  # more would say of the rules what they do not hold


def shown_adjustment(session: ReadSession, batch: Batch, row: Adjustment) -> AdjustmentOut:
    """An adjustment with all that was read, added and is proposed."""
    found, notes = loop(session, batch, row), Footnotes()
    target, within = entered(row.target_entered), entered(row.within_entered)
    assert target is not None
    assert within is not None
    total = sum(each.amount_mg for each in found.added)
    return AdjustmentOut(
        batch=batch.code,
        adjustment=row.number,
        property=row.property,
        label=properties()[row.property].label,
        target=figure(target, "declared"),
        within=within,
        material=row.material,
        name=materials.names(session, [row.material])[row.material],
        cup=row.cup,
        method=row.method,
        state=found.state,
        steps=_steps(session, found, notes),
        added=figure(grams(total), "measured"),
        proposal=_proposal(session, found, notes),
        undecided=found.open and Undecided(text=found.open.text, needs=found.open.needs),
        by=row.by,
        opened_at=row.happened_at,
        void=row.void,
        reason=row.reason,
        notes=notes.as_json(),
    )


def _steps(session: ReadSession, found: Loop, notes: Footnotes) -> list[AdjustmentStep]:
    lots = stock.lots_by_id(session, [each.lot for each in found.added])
    closed: list[Decimal | None] = [
        goals.closed_percent(before.read.value, now.read.value, target=found.row.target)
        for before, now in pairwise(found.turns)
    ]
    warmth = [_otherwise_warm(found.row, before, now) for before, now in pairwise(found.turns)]
    return [
        AdjustmentStep(
            step=place,
            figure=turn.read.number,
            read=as_entered(turn.read.entered_value, turn.read.entered_unit),
            temperature=celsius(turn.read.temperature_c),
            off=_off(found.row, turn),
            closed=None if share is None else percent(share),
            warmth=told,
            mass=_held(turn, notes),
            added=[_added(each, lots[each.lot]) for each in turn.added],
            by=turn.read.by,
            happened_at=turn.read.happened_at,
        )
        for place, (turn, share, told) in enumerate(
            zip(found.turns, [None, *closed], [None, *warmth], strict=False), 1
        )
    ]


def _otherwise_warm(row: Adjustment, before: Turn, now: Turn) -> str | None:
    if row.property not in goals.FLOWS:
        return None
    return goals.warmth_note(before.read.temperature_c, now.read.temperature_c)


def _off(row: Adjustment, turn: Turn) -> Amount:
    off = turn.read.value - row.target
    return Amount(value=plain(off.normalize() + 0), unit=properties()[row.property].unit)


def _held(turn: Turn, notes: Footnotes) -> Figure | None:
    if turn.held is None or (shown := mass(turn.held.mg)) is None:
        return None
    return figure(
        shown, "calculated", notes.add("pot", {"basis": "calculated", "how": turn.held.how})
    )


def _added(row: Weighing, lot: stock.Lot) -> Added:
    return Added(
        entry=row.row_id,
        material=row.material,
        lot=lot.number,
        weighed=as_entered(row.entered_value, row.entered_unit),
        by=row.by,
        happened_at=row.happened_at,
    )


def _proposal(session: ReadSession, found: Loop, notes: Footnotes) -> Proposal | None:
    if found.adding is None or found.counts is None:
        return None
    row, adding = found.row, found.adding
    note = notes.add("proposal", _how(found))
    lots = stock.open_lots(session, row.material)
    number = lot_to_add(session, row.material)
    cautions = []
    if is_solvent(session, row.material):
        cautions.append(solvent_caution(session, row.material, number))
    return Proposal(
        add=_grams(adding.add_g, note),
        first_from=_grams(adding.first_from_g, note),
        first_to=_grams(adding.first_to_g, note),
        expect_from=_value(row, adding.first_from_value, note),
        expect_to=_value(row, adding.first_to_value, note),
        standing=GOALS[row.property].rule(found.counts.by).status,
        remarks=_remarks(found, found.counts),
        lots=[LotToAdd(lot=each.lot.number, left=grams(each.left)) for each in lots],
        enough=sum(each.left for each in lots) >= 1000 * adding.first_to_g,
        cautions=cautions,
    )


def _how(found: Loop) -> dict[str, object]:
    counts = found.counts
    assert counts is not None
    rule = GOALS[found.row.property].rule(counts.by)
    note: dict[str, object] = {
        "basis": "calculated",
        "how": f"{rule.rule}, {found.row.material} by {counts.how}; 60 to 70 % of it at first",
        "source": "tables/mixing_rules.csv; common practice",
    }
    if counts.figure is not None:
        row = counts.figure
        source = {
            "name": properties()[row.property].label.lower(),
            "value": row.entered_value,
            "unit": row.entered_unit,
            "basis": row.basis,
            row.subject_kind: row.subject,
            "figure": row.number,
        }
        note["from"] = [source]
    return note


def _remarks(found: Loop, counts: Counts) -> list[str]:
    row, last = found.row, found.turns[-1].read
    remarks = [GOALS[row.property].rule(counts.by).why]
    if row.cup is not None:
        remarks += kinematic_viscosity(
            row.cup, last.value, temperature_c=_within_cups(last.temperature_c)
        ).notes
    if row.property in goals.FLOWS:
        before = found.turns[-2].read.temperature_c if len(found.turns) > 1 else None
        told = (goals.warmth_note(before, last.temperature_c), _mixed_warm(row, counts, last))
        remarks += [each for each in told if each]
    return remarks


def _mixed_warm(row: Adjustment, counts: Counts, last: FigureRow) -> str | None:
    """Whether the figure of what is added is as warm as the pot was."""
    own = counts.figure
    label = properties()[GOALS[row.property].figure].label.lower()
    return goals.figure_warmth_note(
        f"the {label} of {row.material}",
        None if own is None else own.temperature_c,
        last.temperature_c,
        by_figure=own is not None,
    )


def _within_cups(temperature_c: Decimal | None) -> Decimal | None:
    """A warmth that the notes on cups speak of."""
    if temperature_c is None or not 0 <= temperature_c <= 60:
        return None
    return temperature_c.normalize() + 0


def _grams(value: Decimal, note: str) -> Figure:
    return Figure(value=_short(value), unit="g", basis="calculated", note=note)


def _value(row: Adjustment, value: Decimal, note: str) -> Figure:
    unit = properties()[row.property].unit
    return Figure(value=_short(value), unit=unit, basis="calculated", note=note)


def _short(value: Decimal) -> str:
    return plain(round_significant(value, _DIGITS).normalize() + 0)


def shown_adjustments(
    session: ReadSession, batch: Batch, rows: Sequence[Adjustment]
) -> list[AdjustmentOut]:
    return [shown_adjustment(session, batch, row) for row in rows]


def unreached(session: ReadSession, batch: Batch) -> list[str]:
    """The goals of a batch that no reading shows to be reached, each with what was last read."""
    rows = [(row, loop(session, batch, row)) for row in adjustments(session, batch)]
    return [_missed(row, found) for row, found in rows if found.state != "reached"]


def _missed(row: Adjustment, found: Loop) -> str:
    label = properties()[row.property].label.lower()
    goal = f"{label} to {row.target_entered} within {row.within_entered}"
    if not found.turns:
        return f"Adjustment {row.number}, {goal}: it was not read."
    last = found.turns[-1].read
    since = ", and something went in since" if found.state == "read-again" else ""
    said = f"it read {last.entered_value} {last.entered_unit}{since}"
    return f"Adjustment {row.number}, {goal}: {said}."
