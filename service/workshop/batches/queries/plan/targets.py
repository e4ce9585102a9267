"""What is aimed at, line by line: the plan, or what follows from what was weighed first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import col, select

from service.science import units
from service.store.lists import Listing
from service.store.records import corrections_of, standing
from service.store.session import ReadSession
from service.web.amounts import whole
from service.workshop.batches._tables import Batch, BatchLine
from service.workshop.batches._tables_entries import Retarget as Retarget
from service.workshop.batches.bodies.retargets import OpenLine, RetargetOut
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.record.shown import figure, grams
from service.workshop.batches.rules import BESIDE_THE_PLAN, tolerance
from service.workshop.scalings import queries as scalings
from service.workshop.stock import queries as stock

Frozen = Mapping[str, Any]
LISTING = Listing("retargets", Retarget, sorts=("id", "happened_at"), default_sort="id")


@dataclass(frozen=True, slots=True)
class Aim:
    """What a line is weighed to, and how far off is within; `scaling` where no longer the plan."""

    target_mg: int | None
    tolerance_mg: int | None
    scaling: str | None = None

    @property
    def mg(self) -> tuple[int | None, int | None]:
        """The target and how far off is within, whatever they follow from."""
        return self.target_mg, self.tolerance_mg


def mg(figure: Frozen | None) -> int:
    """A mass of a frozen scaling in milligrams; nothing of what is added as needed."""
    if figure is None:
        return 0
    return whole(units.quantity(figure["value"], figure["unit"], "mass")) or 0


def rounded_to(plan: Frozen) -> int | None:
    """The step in mg to which the lines of a scaling are rounded."""
    return whole(units.parse(plan["rounding"]["to"], "mass"))


def aim_of(line: Frozen, step_mg: int | None) -> Aim:
    """What a line of a frozen scaling says; nothing of what is added as needed."""
    if line["target"] is None:
        return Aim(None, None)
    target = mg(line["target"])
    own = line.get("tolerance")
    return Aim(target, tolerance(target, step_mg) if own is None else mg(own))


def retargets(session: ReadSession, batch: Batch) -> list[Retarget]:
    """What stands of the times that open lines were worked out anew, the newest first."""
    found = select(Retarget).where(Retarget.batch == batch.row_id, standing(Retarget))
    return list(session.exec(found.order_by(col(Retarget.id).desc())))


def aims(session: ReadSession, batch: Batch, lines: list[BatchLine]) -> dict[int, Aim]:
    """What each line is aimed at. A line that was weighed keeps what it was weighed to."""
    planned = {line.line: Aim(line.target_mg, line.tolerance_mg) for line in lines}
    for row in reversed(retargets(session, batch)):
        planned |= _following(session, row)
    return {line.line: planned[line.line] for line in lines}


def _following(session: ReadSession, row: Retarget) -> dict[int, Aim]:
    """The lines that a scaling worked out anew; those that it follows are none of them."""
    plan = scalings.scaling(session, row.scaling)
    step = rounded_to(plan)
    found = {}
    for line in plan["lines"]:
        if line["target"] is not None and str(line["line"]) not in row.weighed:
            aim = aim_of(line, step)
            found[line["line"]] = Aim(aim.target_mg, aim.tolerance_mg, row.scaling)
    return found


def aim(session: ReadSession, batch: Batch, line: BatchLine) -> Aim:
    """What one line is aimed at now."""
    return aims(session, batch, [line])[line.line]


def moved(session: ReadSession, batch: Batch) -> list[OpenLine]:
    """The lines still to be weighed that are no longer aimed at what was planned."""
    lines = records.lines(session, batch)
    aimed, done = aims(session, batch, lines), weighed(session, batch)
    return [
        OpenLine(
            line=line.line,
            material=line.material,
            planned=figure(grams(line.target_mg or 0), "calculated"),
            target=figure(grams(aimed[line.line].target_mg or 0), "calculated"),
        )
        for line in lines
        if line.do == "weigh"
        and line.line not in done
        and aimed[line.line].target_mg != line.target_mg
    ]


def followed(session: ReadSession, batch: Batch) -> Frozen:
    """The scaling that counts: the plan, or what follows from what was weighed in bench mode."""
    newest = next(iter(retargets(session, batch)), None)
    return scalings.scaling(session, batch.scaling if newest is None else newest.scaling)


def theory_mg(session: ReadSession, batch: Batch) -> int:
    """What should come out: of what was planned, or of what was weighed where the lines follow."""
    return mg(followed(session, batch)["makes"]["mass"])


def weighed(session: ReadSession, batch: Batch) -> dict[int, int]:
    """What went in at each line that has its weight, in mg; of the material that it asks for. A
    line with anything else in it leads no other: its weight is not that of what is named."""
    planned = {line.line: line for line in records.lines(session, batch) if line.target_mg}
    found: dict[int, int] = {}
    done: set[int] = set()
    entries = records.weighings(session, batch)
    mixed = {entry.line for entry in entries if entry.substitute}
    for entry in entries:
        if entry.line in planned and entry.line not in mixed:
            found[entry.line] = found.get(entry.line, 0) + entry.amount_mg
            if entry.verdict != "none":
                done.add(entry.line)
    return {line: amount for line, amount in found.items() if line in done}


def lots_weighed(session: ReadSession, batch: Batch) -> dict[str, str]:
    """By material the lot that most of it came from: what is known of it, the lines follow."""
    drawn: dict[str, dict[int, int]] = {}
    for entry in records.weighings(session, batch):
        if entry.line != BESIDE_THE_PLAN and not entry.substitute:
            of_lot = drawn.setdefault(entry.material, {})
            of_lot[entry.lot] = of_lot.get(entry.lot, 0) + entry.amount_mg
    most = {material: max(lots, key=lambda key: lots[key]) for material, lots in drawn.items()}
    rows = stock.lots_by_id(session, list(most.values()))
    return {material: rows[lot].number for material, lot in most.items()}


def shown(session: ReadSession, batch: Batch, rows: Sequence[Retarget]) -> dict[int, RetargetOut]:
    """Each time the lines were worked out anew, by key, as it is shown."""
    later = corrections_of(session, rows)
    return {
        row.row_id: RetargetOut(
            entry=row.row_id,
            batch=batch.code,
            scaling=row.scaling,
            weighed=list(row.weighed),
            by=row.by,
            happened_at=row.happened_at,
            corrects=row.corrects,
            corrected_by=later.get(row.row_id),
            void=row.void,
            reason=row.reason,
        )
        for row in rows
    }
