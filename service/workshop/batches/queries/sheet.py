"""The batch sheet: numbered lines to work by, and the page that comes back."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import groupby
from typing import Any

from service.office.equipment.queries import equipment
from service.office.workshop_card.queries import card
from service.science import units
from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.amounts import litres
from service.web.fields import Figure
from service.web.footnotes import Footnotes
from service.workshop.batches._tables import Batch, BatchLine
from service.workshop.batches.bodies.plans import (
    Caution,
    Fullest,
    PageToSend,
    SheetKettle,
    SheetLine,
    SheetOut,
    SheetStage,
)
from service.workshop.batches.queries import records
from service.workshop.batches.queries.shown import figure, grams
from service.workshop.batches.rules import (
    HOT,
    POUR_MARGIN_K,
    TOLERANCE_RULE,
    filling,
    pour_reason,
)
from service.workshop.materials import queries as materials
from service.workshop.materials.rules import properties
from service.workshop.products import queries as products
from service.workshop.recipes import queries as recipes
from service.workshop.scalings import queries as scalings

SHOWN_CAUTIONS = 1  # a sheet that cautions everywhere is read nowhere
_OPEN_COOK = Caution(
    text="Lid and extinguisher within reach. Never leave a cooking kettle.", rule="open-cook"
)


def sheet(session: ReadSession, batch: Batch) -> SheetOut:
    """The whole sheet; it ends with the body to send back, its lines still null."""
    lines = records.lines(session, batch)
    plan = scalings.scaling(session, batch.scaling)
    codes = [line.material for line in lines if line.material]
    bench = _Bench(session, batch, plan, materials.names(session, codes))
    stages = [
        bench.stage(stage, list(group)) for stage, group in groupby(lines, lambda row: row.stage)
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
        tolerance=TOLERANCE_RULE,
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


class _Bench:
    """What one sheet is written from, and the footnotes it gathers."""

    def __init__(
        self, session: ReadSession, batch: Batch, plan: dict[str, Any], names: dict[str, str]
    ) -> None:
        self.session, self.batch, self.plan, self.names = session, batch, plan, names
        self.notes = Footnotes()

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

    def stage(self, stage: str, lines: Sequence[BatchLine]) -> SheetStage:
        cautions = self._cautions(stage, lines)
        rest = cautions[SHOWN_CAUTIONS:]
        return SheetStage(
            stage=stage,
            cautions=cautions[:SHOWN_CAUTIONS],
            folded=len(rest),
            folded_cautions=rest or None,
            lines=[_WRITTEN[line.do](self, line) for line in lines],
        )

    def _cautions(self, stage: str, lines: Sequence[BatchLine]) -> list[Caution]:
        found = [_OPEN_COOK] if stage in HOT else []
        found += [pour_caution(line) for line in lines if is_pour(line)]
        numbers = {line.line for line in lines if line.do == "weigh"}
        said = {caution.rule for caution in found}
        for caution in self.plan["cautions"]:
            own = caution["line"] in numbers or (caution["line"] is None and stage in HOT)
            if own and caution["rule"] not in said:
                found.append(Caution(text=caution["text"], rule=caution["rule"]))
        return found

    def weigh(self, line: BatchLine) -> SheetLine:
        return SheetLine(
            line=line.line,
            do="weigh",
            what=line.material,
            name=self.names[line.material or ""],
            target=figure(grams(line.target_mg or 0), "calculated"),
            allow=grams(line.tolerance_mg or 0),
            lots=list(line.lots),
            on=self.plan["balance"],
        )

    def heat(self, line: BatchLine) -> SheetLine:
        return SheetLine(line=line.line, do=line.do, to=_declared(line.to_c), until=line.until)

    def hold(self, line: BatchLine) -> SheetLine:
        return SheetLine(
            line=line.line, do="hold", for_=_duration(line.seconds or 0), until=line.until
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
        cook, strain = self.plan["loss_cook"], self.plan["loss_strain"]
        how = f"charged less {cook} cook, {strain} straining"
        note = self.notes.add("loss", {"basis": "calculated", "how": how})
        target = figure(grams(line.target_mg or 0), "calculated", note)
        return SheetLine(line=line.line, do="yield", target=target)


_WRITTEN: dict[str, Callable[[_Bench, BatchLine], SheetLine]] = {
    "weigh": _Bench.weigh,
    "heat": _Bench.heat,
    "hold": _Bench.hold,
    "cool": _Bench.cool,
    "strain": _Bench.words,
    "note": _Bench.words,
    "yield": _Bench.result,
}


def is_pour(line: BatchLine) -> bool:
    """Whether a line was added to say how hot a solvent may be poured."""
    return line.do == "cool" and (line.figure is not None or line.to_c is None)


def pour_limit(line: BatchLine) -> Decimal | None:
    """The hottest that a cool line lets the kettle be at the pour."""
    if line.to_c is None or line.figure is None:
        return line.to_c
    return line.to_c + POUR_MARGIN_K


def pour_caution(line: BatchLine) -> Caution:
    """What is said beside a pour; without a limit it says what is missing, never a number."""
    limit = pour_limit(line)
    if limit is None:
        text = (
            "Off the heat, no flame. How hot it may be poured is undecided: the initial boiling "
            f"point of {line.until} is not known."
        )
    else:
        text = f"Off the heat, no flame, {plain(limit)} °C or below."
    return Caution(text=text, rule="solvent-into-hot-varnish")


def _declared(celsius: Decimal | None) -> Figure:
    return Figure(value=plain(celsius or Decimal(0)), unit="°C", basis="declared")


def _duration(seconds: int) -> Figure:
    if seconds % 60:
        return Figure(value=str(seconds), unit="s", basis="declared")
    return Figure(value=str(seconds // 60), unit="min", basis="declared")
