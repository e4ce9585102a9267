"""The batch sheet: numbered lines to work by, and the page that comes back."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from service.office.equipment.queries import equipment
from service.office.workshop_card.queries import card
from service.science import units
from service.science.bench_cautions import SHOWN
from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.amounts import litres
from service.web.fields import Figure
from service.web.footnotes import Footnotes
from service.workshop.batches._tables import Batch, BatchLine
from service.workshop.batches.bodies.plans import (
    Fullest,
    PageToSend,
    SheetKettle,
    SheetLine,
    SheetOut,
    SheetStage,
)
from service.workshop.batches.queries.plan.cautions import stage_cautions
from service.workshop.batches.queries.plan.targets import Aim, aims, followed, theory_mg
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.record.shown import figure, grams, leaving
from service.workshop.batches.rules import (
    TOLERANCE_RULE,
    filling,
    natural_time,
    pour_reason,
)
from service.workshop.materials import queries as materials
from service.workshop.materials.rules import properties
from service.workshop.products import queries as products
from service.workshop.recipes import queries as recipes
from service.workshop.scalings import queries as scalings

OWN_TOLERANCE = "; the recipe's own where a line has one"


def sheet(session: ReadSession, batch: Batch) -> SheetOut:
    """The whole sheet; it ends with the body to send back, its lines still null."""
    lines = records.lines(session, batch)
    plan = scalings.scaling(session, batch.scaling)
    codes = [line.material for line in lines if line.material]
    bench = _Bench(session, batch, plan, materials.names(session, codes))
    bench.aims.update(aims(session, batch, lines))
    stages = [
        bench.stage(stage, listed, [line for line in lines if line.stage == stage])
        for stage, listed in records.planned_stages(session, batch)
    ]
    return SheetOut(
        batch=batch.code,
        recipe=batch.recipe,
        version=batch.version,
        title=_title(session, batch),
        for_=batch.asked,
        state=batch.state,
        sheet=records.next_page(session, batch),
        kettle=bench.kettle(lines),
        tolerance=_tolerance(plan),
        steps=stages,
        notes=bench.notes.as_json(),
        page_to_send=PageToSend(
            lines={str(line): None for line in sorted(row.line for row in lines)}, notes={}
        ),
    )


def _title(session: ReadSession, batch: Batch) -> str:
    """The product's name in the workshop's first language that has one, else the recipe's."""
    for language in card(session).languages if batch.product else ():
        if text := products.text(session, batch.product or "", language):
            return text.name
    return recipes.recipe(session, batch.recipe).name


def _tolerance(plan: dict[str, Any]) -> str:
    own = any(line.get("tolerance") for line in plan["lines"])
    return TOLERANCE_RULE + (OWN_TOLERANCE if own else "")


class _Bench:
    """What one sheet is written from, and the footnotes it gathers."""

    def __init__(
        self, session: ReadSession, batch: Batch, plan: dict[str, Any], names: dict[str, str]
    ) -> None:
        self.session, self.batch, self.plan, self.names = session, batch, plan, names
        self.notes = Footnotes()
        self.aims: dict[int, Aim] = {}

    def kettle(self, lines: Sequence[BatchLine]) -> SheetKettle | None:
        if self.batch.kettle is None:
            return None
        row = equipment(self.session, self.batch.kettle)
        holds = litres(row.holds_ul)
        said = None if holds is None else f"{holds.value} {holds.unit}"
        return SheetKettle(
            equipment=row.code, holds=said, fullest=self._fullest(lines, row.holds_ul)
        )

    def _fullest(self, lines: Sequence[BatchLine], holds_ul: int | None) -> Fullest | None:
        """All that is charged, as dense as what comes out, over what the kettle holds."""
        weighed = [line for line in lines if line.do == "weigh"]
        volume = self.plan["makes"]["volume"]
        if volume is None or not holds_ul:
            return None
        makes = units.canonical(units.quantity(volume["value"], volume["unit"], "volume"))
        charged = sum(line.target_mg or 0 for line in weighed)
        share = 100 * filling(makes, charged, self.batch.target_mg, holds_ul)
        how = "all that is charged, as dense as what comes out, over what the kettle holds"
        note = self.notes.add("fullest", {"basis": "calculated", "how": how})
        last = weighed[-1]
        at = f"line {last.line}{', thinned' if last.stage == 'thin' else ''}"
        return Fullest(value=str(round(share)), unit="%", basis="calculated", note=note, at=at)

    def stage(
        self, stage: str, listed: recipes.StageRow | None, lines: Sequence[BatchLine]
    ) -> SheetStage:
        cautions = stage_cautions(stage, lines, self.plan["cautions"])
        rest = cautions[SHOWN:]
        lasts = listed and listed.seconds
        return SheetStage(
            stage=stage,
            for_=_duration(lasts) if lasts else None,
            remark=listed and listed.remark,
            cautions=cautions[:SHOWN],
            folded=len(rest),
            folded_cautions=rest or None,
            lines=[_WRITTEN[line.do](self, line) for line in lines],
        )

    def weigh(self, line: BatchLine) -> SheetLine:
        aim = self.aims[line.line]
        target, allow, planned = aim.target_mg, aim.tolerance_mg, line.target_mg
        follows = None if aim.scaling is None else self._follows(aim.scaling)
        moved = planned is not None and planned != target
        return SheetLine(
            line=line.line,
            do="weigh",
            what=line.material,
            name=self.names[line.material or ""],
            target=None if target is None else figure(grams(target), "calculated", follows),
            planned=figure(grams(planned), "calculated") if moved and planned else None,
            condition=line.condition,
            allow=None if allow is None else grams(allow),
            lots=list(line.lots),
            on=self.plan["balance"],
        )

    def _follows(self, scaling: str) -> str:
        how = "follows what was weighed, by " + scaling
        return self.notes.add("bench", {"basis": "calculated", "how": how})

    def heat(self, line: BatchLine) -> SheetLine:
        rate = line.ramp_k_min
        return SheetLine(
            line=line.line,
            do=line.do,
            to=_declared(line.to_c),
            ramp=None
            if rate is None
            else Figure(value=plain(rate), unit="K/min", basis="declared"),
            until=line.until,
        )

    def hold(self, line: BatchLine) -> SheetLine:
        return SheetLine(
            line=line.line, do=line.do, for_=_duration(line.seconds or 0), until=line.until
        )

    def cool(self, line: BatchLine) -> SheetLine:
        if line.to_c is None:
            lacks = f"the initial boiling point of {line.until}"
            return SheetLine(line=line.line, do="cool", undecided=lacks)
        if line.figure is None:
            return self.heat(line)
        note = self.notes.add("pour", self._pour_note(line.figure, line.to_c))
        to = Figure(value=plain(line.to_c), unit="°C", basis="calculated", note=note)
        return SheetLine(line=line.line, do="cool", to=to)

    def _pour_note(self, number: str, planned_c: Decimal) -> dict[str, Any]:
        row = materials.figure_numbered(self.session, number)
        label = properties()[row.property].label
        source: dict[str, Any] = {
            "name": label[:1].lower() + label[1:],
            "value": row.entered_value,
            "unit": row.entered_unit,
            "basis": row.basis,
            row.subject_kind: row.subject,
            "figure": row.number,
        }
        how = pour_reason(label, row.value, planned_c)
        return {"basis": "calculated", "how": how, "from": [source], "source": "common practice"}

    def words(self, line: BatchLine) -> SheetLine:
        return SheetLine(line=line.line, do=line.do, text=line.until)

    def result(self, line: BatchLine) -> SheetLine:
        how = f"charged less {leaving(followed(self.session, self.batch))}"
        note = self.notes.add("loss", {"basis": "calculated", "how": how})
        theory, planned = theory_mg(self.session, self.batch), line.target_mg or 0
        return SheetLine(
            line=line.line,
            do="yield",
            target=figure(grams(theory), "calculated", note),
            planned=figure(grams(planned), "calculated") if planned != theory else None,
        )


_WRITTEN: dict[str, Callable[[_Bench, BatchLine], SheetLine]] = {
    "weigh": _Bench.weigh,
    "heat": _Bench.heat,
    "hold": _Bench.hold,
    "cool": _Bench.cool,
    "wait": _Bench.hold,
    "check": _Bench.words,
    "strain": _Bench.words,
    "note": _Bench.words,
    "yield": _Bench.result,
}


def _declared(celsius: Decimal | None) -> Figure:
    return Figure(value=plain(celsius or Decimal(0)), unit="°C", basis="declared")


def _duration(seconds: int) -> Figure:
    count, unit = natural_time(seconds)
    return Figure(value=str(count), unit=unit, basis="declared")
