"""The preview of a batch sheet, from a frozen scaling alone: the same scaling, the same sheet."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from service.office.documents.queries import latest
from service.science import units
from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.amounts import whole
from service.web.fields import Amount, Figure
from service.web.footnotes import Footnotes
from service.workshop.materials import queries as materials
from service.workshop.recipes import queries as recipes
from service.workshop.scalings import queries
from service.workshop.scalings.bodies.sheet import (
    ScalingSheetCaution,
    ScalingSheetKettle,
    ScalingSheetLine,
    ScalingSheetOut,
    ScalingSheetStage,
)
from service.workshop.scalings.bodies.shown import CautionOut, Makes, ScalingOut, TargetOut
from service.workshop.scalings.paper.lines import BenchLine, Pour, ordered
from service.workshop.scalings.rules import POUR_MARGIN_K, TOLERANCE_RULE, natural_time, tolerance
from service.workshop.scalings.told.picking import grams

OWN_TOLERANCE = "; the recipe's own where a line has one"


def sheet(session: ReadSession, recipe_code: str, number: str) -> ScalingSheetOut:
    """The preview of the sheet of a batch. Raises UnknownRecipe, UnknownScaling."""
    plan = ScalingOut.model_validate(queries.shown(session, recipe_code, number))
    frozen = latest(session, "scaling", plan.scaling)
    version = recipes.version(session, plan.recipe, plan.version)
    known = materials.by_codes(session, [row.material for row in plan.lines])
    listed = {row.stage: row for row in recipes.stages(session, version)}
    by_stage = ordered(
        plan.lines,
        recipes.steps(session, version),
        listed=list(listed),
        solvents={code for code, row in known.items() if row.family == "solvent"},
        cautions=plan.cautions,
    )
    bench = _Bench(plan, {code: row.name for code, row in known.items()})
    return ScalingSheetOut(
        scaling=plan.scaling,
        sha256=frozen.sha256 if frozen else "",
        recipe=plan.recipe,
        version=plan.version,
        draft=plan.draft,
        title=recipes.recipe(session, plan.recipe).name,
        for_=plan.asked["text"],
        makes=bench.makes(),
        kettle=bench.kettle(),
        balance=plan.balance,
        tolerance=_rule(plan.lines),
        steps=[bench.stage(name, listed.get(name), lines) for name, lines in by_stage.items()],
        flags=plan.flags,
        to_make=plan.to_make,
        shopping=plan.shopping,
        notes=bench.notes.as_json(),
    )


def _rule(lines: Sequence[TargetOut]) -> str:
    return TOLERANCE_RULE + (OWN_TOLERANCE if any(line.tolerance for line in lines) else "")


class _Bench:
    """What one sheet is written from, and the footnotes that it takes along."""

    def __init__(self, plan: ScalingOut, names: dict[str, str]) -> None:
        self.plan, self.names = plan, names
        self.notes = Footnotes()
        self.heats = {row.line: row for row in plan.heat}
        self.step_mg = whole(units.parse(plan.rounding.to, "mass"))

    def _noted(self, mark: str | None) -> str | None:
        return None if mark is None else self.notes.add(mark, self.plan.notes[mark])

    def _figure(self, found: Figure | None) -> Figure | None:
        """A frozen figure, its footnote taken along."""
        if found is None:
            return None
        return _figure(found, found.basis, self._noted(found.note))

    def makes(self) -> Makes:
        found = self.plan.makes
        mass = _figure(found.mass, found.mass.basis, self._noted(found.mass.note))
        return Makes(mass=mass, volume=self._figure(found.volume))

    def kettle(self) -> ScalingSheetKettle | None:
        code, fill = self.plan.kettle, self.plan.fill
        if code is None:
            return None
        if fill is None:
            return _unmeasured(code)
        return ScalingSheetKettle(
            equipment=code,
            holds=f"{fill.holds.value} {fill.holds.unit}",
            cold=self._figure(fill.cold),
            hot=self._figure(fill.hot),
            at_most=self._figure(fill.at_most),
            stage=fill.stage,
            missing=fill.missing,
        )

    def stage(
        self, name: str, listed: recipes.StageRow | None, lines: Sequence[BenchLine]
    ) -> ScalingSheetStage:
        own = [row for row in self.plan.cautions if row.stage == name]
        folded = [self._caution(row) for row in own if not row.shown]
        return ScalingSheetStage(
            stage=name,
            for_=_duration(listed.seconds) if listed and listed.seconds else None,
            remark=listed and listed.remark,
            cautions=[self._caution(row) for row in own if row.shown],
            folded=len(folded),
            folded_cautions=folded,
            lines=[self._line(line) for line in lines],
        )

    def _caution(self, row: CautionOut) -> ScalingSheetCaution:
        return ScalingSheetCaution(
            text=row.text,
            rule=row.rule,
            danger=row.danger,
            why=row.why,
            line=row.line,
            note=self._noted(row.note),
        )

    def _line(self, line: BenchLine) -> ScalingSheetLine:
        if line.weighed is not None:
            told = self._weigh(line.weighed)
        elif line.step is not None:
            told = _WRITTEN[line.do](self, line.step)
        elif line.pour is not None:
            told = self._pour(line.pour)
        else:
            told = {"target": self._result()}
        # What does not apply to a line is left out of it, not told as a null.
        kept = {name: value for name, value in told.items() if value is not None}
        return ScalingSheetLine(line=line.line, do=line.do, **kept)

    def _weigh(self, row: TargetOut) -> dict[str, Any]:
        return {
            "what": row.material,
            "name": self.names[row.material],
            "target": self._figure(row.target),
            "how": row.how,
            "condition": row.condition,
            "allow": self._allow(row),
            "from_": row.from_ if row.target else None,
            "others": None if row.target else row.others,
            "short": row.short,
            "on": self.plan.balance,
        }

    def _allow(self, row: TargetOut) -> Amount | None:
        if row.target is None or row.tolerance is not None:
            return row.tolerance
        return grams(tolerance(_mg(row.target), self.step_mg))

    def heat(self, step: recipes.Step) -> dict[str, Any]:
        needs = self.heats.get(step.line)
        rate = step.ramp_k_min
        return {
            "to": None if step.to_c is None else _told(plain(step.to_c), "°C"),
            "ramp": None if rate is None else _told(plain(rate), "K/min"),
            "time": self._figure(needs.time) if needs else None,
            "until": step.until,
        }

    def hold(self, step: recipes.Step) -> dict[str, Any]:
        lasts = None if step.seconds is None else _duration(step.seconds)
        return {"for_": lasts, "until": step.until}

    def words(self, step: recipes.Step) -> dict[str, Any]:
        return {"text": step.until}

    def _pour(self, pour: Pour) -> dict[str, Any]:
        if pour.planned_c is None:
            return {"undecided": pour.why}
        frozen = self.plan.notes.get(pour.note or "", {})
        how = f"{plain(pour.limit_c or Decimal(0))} °C at most, less {POUR_MARGIN_K} K"
        note: dict[str, Any] = {"basis": "calculated", "how": how, "source": "common practice"}
        if "from" in frozen:
            note["from"] = frozen["from"]
        mark = self.notes.add("cool", note)
        to = Figure(value=plain(pour.planned_c), unit="°C", basis="calculated", note=mark)
        return {"to": to}

    def _result(self) -> Figure:
        mass = self.plan.makes.mass
        how = f"charged less {_leaving(self.plan)}"
        note = self.notes.add("loss", {"basis": "calculated", "how": how})
        return _figure(grams(_mg(mass)), "calculated", note)


_WRITTEN: dict[str, Callable[[_Bench, recipes.Step], dict[str, Any]]] = {
    "heat": _Bench.heat,
    "cool": _Bench.heat,
    "hold": _Bench.hold,
    "wait": _Bench.hold,
    "check": _Bench.words,
    "strain": _Bench.words,
    "note": _Bench.words,
}


def _unmeasured(code: str) -> ScalingSheetKettle:
    """A kettle of which it is not known what it holds."""
    return ScalingSheetKettle(
        equipment=code,
        holds=None,
        cold=None,
        hot=None,
        at_most=None,
        stage=None,
        missing=[f"what {code} holds"],
    )


def _figure(size: Amount, basis: Any, note: str | None) -> Figure:
    """A figure that has a note, or none at all rather than a null."""
    more = {} if note is None else {"note": note}
    return Figure(value=size.value, unit=size.unit, basis=basis, **more)


def _told(value: str, unit: str) -> Figure:
    return Figure(value=value, unit=unit, basis="declared")


def _duration(seconds: int) -> Figure:
    count, unit = natural_time(seconds)
    return _told(str(count), unit)


def _mg(size: Amount) -> int:
    return whole(units.quantity(size.value, size.unit, "mass")) or 0


def _leaving(plan: ScalingOut) -> str:
    """What leaves on the way, and what comes to it, in words."""
    gone = [row for row in plan.losses if not row.mass.value.startswith("-")]
    come = [row for row in plan.losses if row.mass.value.startswith("-")]
    said = ", ".join(f"{row.mass.value} {row.mass.unit} {row.what} ({row.stage})" for row in gone)
    more = "".join(
        f"; {row.mass.value.removeprefix('-')} {row.mass.unit} {row.what} come in {row.stage}"
        for row in come
    )
    return (said or "nothing") + more
